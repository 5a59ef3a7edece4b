"""Checked against Gaviota's distance-to-mate tables, from the source distribution of `chess` 1.11.2."""

import chess
import chess.gaviota
import numpy as np
import pytest

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import Outcome, Result, probe, probe_many
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import Tables
from tests.endgame.positions import OF_THREE_MEN, all_arrangements, board_at, plies, positions
from tests.judges.published import Published

# shared facts: positions with either side to move, by the `chess` package's own validity test
LEGAL_POSITIONS = {"KQK": 368_452, "KRK": 399_112, "KPK": 331_352, "KBK": 417_228, "KNK": 429_440}

ALWAYS_DRAWN = ("KBK", "KNK")


def agrees(outcome: Outcome, told: int, board: chess.Board) -> bool:
    """Gaviota gives plies to mate, negative if the side to move is mated; 0 for a draw and for a
    checkmate, which are told apart here by the rules."""
    if told:
        return plies(outcome) == told
    expected = Outcome(Result.LOSS, 0) if board.is_checkmate() else Outcome(Result.DRAW, None)
    return outcome == expected


@pytest.mark.parametrize("ending", OF_THREE_MEN)
def test_mate_distances_agree_with_gaviota(ending: str, published: Published, tables: Tables) -> None:
    for board in positions(parse_material(ending), 2000, seed=1):
        assert agrees(probe(board, tables), published.distances.probe_dtm(board), board), board.fen()


@pytest.mark.parametrize(
    "ending",
    [
        pytest.param(ending, marks=pytest.mark.long if ending in ALWAYS_DRAWN else pytest.mark.full)
        for ending in OF_THREE_MEN
    ],
)
def test_every_position_of_three_men_agrees_with_gaviota(
    ending: str, published: Published, tables: Tables
) -> None:
    material, squares = parse_material(ending), all_arrangements(parse_material(ending))
    checked, mismatches = 0, []
    for side in (WHITE, BLACK):
        for row, value in zip(squares, probe_many(material, side, squares, tables), strict=True):
            board = board_at(material, side, row)
            if not board.is_valid():
                right = value == IMPOSSIBLE
            else:
                checked += 1
                right = agrees(probe(board, tables), published.distances.probe_dtm(board), board)
            if not right:
                mismatches.append(board.fen())
    assert mismatches == []
    assert checked == LEGAL_POSITIONS[ending]


@pytest.mark.parametrize("ending", OF_THREE_MEN)
def test_the_tables_have_as_many_positions_as_the_rules(ending: str, tables: Tables) -> None:
    material = parse_material(ending)
    squares = all_arrangements(material)
    counts = [
        np.count_nonzero(probe_many(material, side, squares, tables) != IMPOSSIBLE) for side in (WHITE, BLACK)
    ]
    assert sum(counts) == LEGAL_POSITIONS[ending]
