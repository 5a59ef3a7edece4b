"""King, rook and pawn against king and rook, with all that it leads to, for the tests of the long run:
built in earnest, a few minutes, by the first test that asks for it.

Who wins is compared with Syzygy's tables of these endings, made with their published generator. They are no
part of coachbook: the folder in COACHBOOK_FIVE_MEN has them (KRPvKR.rtbw and so on), or the test is skipped.
"""

import fcntl
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from coachbook.endgame import block_file
from coachbook.endgame.build_large import build_large
from coachbook.endgame.material import parse_material
from coachbook.endgame.tables import Tables
from coachbook.files.reading import cache_folder
from tests.judges.published import Published

KRPKR = parse_material("KRPKR")
VARIABLE = "COACHBOOK_FIVE_MEN"


@pytest.fixture(scope="session")
def five_men() -> Iterator[Tables]:
    """All five endings, built in this run by the first who asks: the folder is one for all workers. All
    blocks that are read stay in memory, because positions by chance need each of them again and again."""
    folder = cache_folder()
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "five-men.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        build_large(KRPKR, folder, lambda *_: None)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(block_file, "_MOST_KEPT", 20_000)
        yield Tables(folder)


@pytest.fixture(scope="session")
def of_five_men(published: Published) -> Published:
    """Results of the endings in the folder, and of all that they lead to."""
    folder = Path(os.environ.get(VARIABLE, ""))
    if VARIABLE not in os.environ or not (folder / "KRPvKR.rtbw").is_file():
        pytest.skip(f"no tables of five men: {VARIABLE} names no folder with KRPvKR.rtbw")
    published.results.add_directory(str(folder))
    return published
