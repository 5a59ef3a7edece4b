"""King, rook and pawn against king and rook, with all that it leads to: what the tables say, against
Syzygy's and against the rules of chess. In the long run only (see `five_men`)."""

from itertools import islice

import chess
import pytest

from coachbook.endgame.build_large import figures_of, parts_needed
from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import Result, probe
from coachbook.endgame.tables import Tables
from coachbook.files.reading import cache_folder
from tests.endgame.five_men import KRPKR
from tests.endgame.positions import positions
from tests.endgame.test_rules import from_successors
from tests.judges.published import Published

ENDINGS = ["KQRKR", "KRRKR", "KRBKR", "KRNKR", "KRPKR"]
MEBIBYTE = 2**20


@pytest.mark.long
@pytest.mark.parametrize("ending", ENDINGS)
def test_who_wins_agrees_with_syzygy_in_100_000_positions(
    ending: str, of_five_men: Published, five_men: Tables
) -> None:
    boards = positions(parse_material(ending), 100_000, seed=21)
    assert [b.fen() for b in boards if of_five_men.result(b) != probe(b, five_men).result] == []


@pytest.mark.long
def test_rook_and_pawn_against_rook_win_in_at_most_74_moves(five_men: Tables) -> None:
    white, black = figures_of(KRPKR, cache_folder())
    assert white.longest == 74
    assert white.example is not None
    outcome = probe(chess.Board(white.example), five_men)
    assert (outcome.result, outcome.moves) == (Result.WIN, 74)
    for figures in (white, black):
        assert figures.won + figures.drawn + figures.lost == figures.positions


@pytest.mark.long
def test_the_files_take_at_most_300_mebibytes(five_men: Tables) -> None:
    assert five_men.folder is not None
    sizes = [part.path(five_men.folder).stat().st_size for part in parts_needed(KRPKR)]
    assert sum(sizes) < 300 * MEBIBYTE


@pytest.mark.long
@pytest.mark.parametrize("ending", ENDINGS)
def test_100_000_positions_of_each_are_worth_their_best_successor(ending: str, five_men: Tables) -> None:
    for board in positions(parse_material(ending), 100_000, seed=22):
        assert probe(board, five_men) == from_successors(board, five_men), board.fen()


@pytest.mark.long
@pytest.mark.parametrize("ending", ENDINGS)
def test_positions_with_a_capture_or_a_promotion_are_worth_their_best_successor(
    ending: str, five_men: Tables
) -> None:
    boards = (b for b in positions(parse_material(ending), 100_000, seed=23) if leads_out(b))
    for board in islice(boards, 2000):
        assert probe(board, five_men) == from_successors(board, five_men), board.fen()


def leads_out(board: chess.Board) -> bool:
    """Whether some move leads to a smaller ending, or makes a piece of a pawn."""
    return any(move.promotion or board.is_capture(move) for move in board.legal_moves)
