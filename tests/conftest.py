"""For all tests: a throw-away cache folder, hypothesis profiles, and the published data."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import chess.gaviota
import chess.syzygy
import pytest
from hypothesis import HealthCheck, Phase, settings

from coachbook.files.reading import FOLDER_VARIABLE
from tests.authority.fetch import NotAvailableError, is_required, published_data
from tests.judges.published import Published

_cache = tempfile.TemporaryDirectory(prefix="coachbook-tests-")

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
    os.environ[FOLDER_VARIABLE] = _cache.name
    usual = "full" if config.getoption("-m") in ("full", "long") else "everyday"
    settings.load_profile(config.getoption("--hypothesis-profile") or usual)


def pytest_unconfigure() -> None:
    _cache.cleanup()


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
