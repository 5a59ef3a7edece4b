"""Checked against Syzygy's win/draw/loss tables, from the source distribution of `chess` 1.11.2."""

from collections.abc import Iterable

import chess
import chess.syzygy
import pytest

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe
from coachbook.endgame.tables import Tables
from tests.endgame.positions import ENDINGS, OF_FOUR_MEN, en_passant_positions, positions
from tests.judges.published import Published


def mismatches(boards: Iterable[chess.Board], published: Published, tables: Tables) -> list[str]:
    """Positions in which another side wins. Syzygy's "cursed" wins (over 50 moves) are wins here."""
    return [b.fen() for b in boards if published.result(b) != probe(b, tables).result]


@pytest.mark.parametrize("ending", ENDINGS)
def test_who_wins_agrees_with_syzygy(ending: str, published: Published, tables: Tables) -> None:
    assert mismatches(positions(parse_material(ending), 300, seed=2), published, tables) == []


def test_en_passant_agrees_with_syzygy(published: Published, tables: Tables) -> None:
    assert mismatches(en_passant_positions(every=101), published, tables) == []


@pytest.mark.full
@pytest.mark.parametrize("ending", OF_FOUR_MEN)
def test_who_wins_agrees_with_syzygy_in_20_000_positions(
    ending: str, published: Published, tables: Tables
) -> None:
    assert mismatches(positions(parse_material(ending), 20_000, seed=3), published, tables) == []


@pytest.mark.full
def test_every_en_passant_position_agrees_with_syzygy(published: Published, tables: Tables) -> None:
    assert mismatches(en_passant_positions(), published, tables) == []
