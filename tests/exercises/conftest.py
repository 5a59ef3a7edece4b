"""The published tables, for answers that only tables can settle."""

from collections.abc import Iterator
from pathlib import Path

import chess.syzygy
import pytest


@pytest.fixture(scope="session")
def tablebase(syzygy_folder: Path) -> Iterator[chess.syzygy.Tablebase]:
    """Syzygy's win/draw/loss tables of all endings of up to four men."""
    with chess.syzygy.open_tablebase(str(syzygy_folder)) as opened:
        yield opened
