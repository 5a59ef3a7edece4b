"""For all tests: throw-away folders, hypothesis profiles, and the published data."""

import gc
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import chess.gaviota
import chess.syzygy
import pytest
from hypothesis import HealthCheck, Phase, settings
from pypdf import _cmap
from pypdf.generic import StreamObject
from sqlalchemy import Engine, create_engine

from coachbook.club import book, connection
from coachbook.files.reading import FOLDER_VARIABLE
from tests.authority.fetch import NotAvailableError, is_required, published_data
from tests.endgame.five_men import five_men, of_five_men
from tests.judges.published import Published

IN_MEMORY = Path("/dev/shm")  # noqa: S108 - the folders made in it have names that nobody can guess
ENOUGH_MEMORY = 4_000_000_000
__all__ = ["five_men", "of_five_men"]
A_WORKER = "PYTEST_XDIST_WORKER"
"""Set where pytest runs some of the tests for another pytest, or is itself run by a test."""

# No test depends on time or luck: the first example that needs a table waits until it is solved. Five
# times as many before a release.
UNTIMED = [HealthCheck.too_slow, HealthCheck.filter_too_much]
settings.register_profile("everyday", deadline=None, max_examples=60, suppress_health_check=UNTIMED)
settings.register_profile("full", settings.get_profile("everyday"), max_examples=300)
# The same few examples each time, none made simpler, where the tests run for each of thousands of faults.
settings.register_profile(
    "mutants", deadline=None, max_examples=10, derandomize=True, phases=(Phase.explicit, Phase.generate)
)


def pytest_configure(config: pytest.Config) -> None:
    which = config.getoption("-m")
    if which != "long":
        _work_in_memory()
    if A_WORKER not in os.environ:
        # One for all workers, as for two commands at once: what one of them solves the others read.
        cache = tempfile.TemporaryDirectory(prefix="coachbook-tests-")
        os.environ[FOLDER_VARIABLE] = cache.name
        config.add_cleanup(cache.cleanup)
    usual = "full" if which in ("full", "long") else "everyday"
    settings.load_profile(config.getoption("--hypothesis-profile") or usual)


def _work_in_memory() -> None:
    """Files in memory, where there is room: the disk's own time is half of the time of many tests. Before
    a release the long ones are run on the disk."""
    is_there = IN_MEMORY.is_dir() and os.access(IN_MEMORY, os.W_OK)
    if is_there and (A_WORKER in os.environ or shutil.disk_usage(IN_MEMORY).free > ENOUGH_MEMORY):
        os.environ["TMPDIR"] = str(IN_MEMORY)
        tempfile.tempdir = None  # to be looked for again


def pytest_collection_finish() -> None:
    """The modules that are loaded by now stay. To look through them again and again for garbage would take
    a tenth of the time of all tests."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def endings_of_five_men(request: pytest.FixtureRequest) -> None:
    """They are built for a test that says that it needs them."""
    if request.node.get_closest_marker("with_five_men"):
        request.getfixturevalue("five_men")


@pytest.fixture(autouse=True, scope="session")
def statements_translated_once() -> Iterator[None]:
    """Each test, and each command in it, opens a book of its own, and would translate each statement into
    SQL anew. The books share what was translated, as transactions of one book do."""
    with create_engine("sqlite://").connect() as first:  # a dialect has its settings when it is connected
        dialect, translated = first.dialect, first.engine._compiled_cache
    engine_of = connection.engine_of

    def with_what_is_known(path: Path) -> Engine:
        engine = engine_of(path)
        dialect.colspecs = engine.dialect.colspecs
        engine.dialect, engine._compiled_cache = dialect, translated
        return engine

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(book, "engine_of", with_what_is_known)
        yield


Letters = tuple[dict[Any, Any], list[int]]


@pytest.fixture(autouse=True, scope="session")
def letters_of_fonts_read_once() -> Iterator[None]:
    """To read the text of a page, `pypdf` works out the letters of each of its fonts anew, which takes longer
    than all the rest. An older `pypdf` has no such function, and does so here too."""
    read: Callable[[Any], Letters] | None = getattr(_cmap, "_parse_to_unicode", None)
    if read is None:
        yield
        return
    known: dict[bytes, Letters] = {}

    def read_once(font: Any) -> Letters:  # noqa: ANN401 - an untyped dictionary
        named = font.get("/ToUnicode")
        table = None if named is None else named.get_object()
        if not isinstance(table, StreamObject):
            return read(font)
        content = table.get_data()
        if content not in known:
            known[content] = read(font)
        letters, codes = known[content]
        return dict(letters), list(codes)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(_cmap, "_parse_to_unicode", read_once)
        yield


@pytest.fixture(scope="session")
def authority() -> Path:
    """The data that comes with the source distribution of `chess`, or a skip that says why not."""
    try:
        return published_data()
    except NotAvailableError as error:
        if is_required():
            pytest.fail(f"published data is required: {error}")
        pytest.skip(f"published data is not available: {error}")


@pytest.fixture(scope="session")
def gaviota_folder(authority: Path) -> Path:
    """Gaviota's distance-to-mate tables of all 3-man endings."""
    return authority / "gaviota"


@pytest.fixture(scope="session")
def syzygy_folder(authority: Path) -> Path:
    """Syzygy's win/draw/loss tables of all 3- and 4-man endings."""
    return authority / "syzygy" / "regular"


@pytest.fixture(scope="session")
def published(syzygy_folder: Path, gaviota_folder: Path) -> Iterator[Published]:
    """Results of all endings of up to four men, mate distances of those of three."""
    with (
        chess.syzygy.open_tablebase(str(syzygy_folder)) as results,
        chess.gaviota.open_tablebase(str(gaviota_folder)) as distances,
    ):
        assert isinstance(distances, chess.gaviota.PythonTablebase)
        yield Published(results, distances)


@pytest.fixture(scope="session")
def endgame_epd(authority: Path) -> Path:
    """Positions with known mate distances, among them the longest mate of every 4-man ending."""
    return authority / "endgame-dm-4.epd"
