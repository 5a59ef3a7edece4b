"""The published tables, for answers that only tables can settle."""

from collections.abc import Iterator
from pathlib import Path

import chess.gaviota
import chess.syzygy
import pytest

from tests.exercises.published import Published


@pytest.fixture(scope="session")
def published(syzygy_folder: Path, gaviota_folder: Path) -> Iterator[Published]:
    """Results of all endings of up to four men, mate distances of those of three."""
    with (
        chess.syzygy.open_tablebase(str(syzygy_folder)) as results,
        chess.gaviota.open_tablebase(str(gaviota_folder)) as distances,
    ):
        assert isinstance(distances, chess.gaviota.PythonTablebase)
        yield Published(results, distances)
