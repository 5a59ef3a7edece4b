"""A line of a draw keeps the draw, and neither side plays what a person would not."""

import chess
from hypothesis import assume, given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, keeping_moves, probe
from coachbook.exercises.solution_lines import drawing_steps, how_many_hold, sensible_move
from tests.judges import moves

MEN = st.sampled_from(["P", "p", "Qp", "Rp", "Rr", "Bb", "Pp", "BP", "NP", "NN", "Rn", "Qr"])


@st.composite
def drawn_boards(draw: st.DrawFn) -> chess.Board:
    men = "Kk" + draw(MEN)
    squares = draw(st.lists(st.integers(0, 63), min_size=len(men), max_size=len(men), unique=True))
    board = chess.Board(None)
    board.turn = draw(st.booleans())
    for letter, square in zip(men, squares, strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    assume(board.is_valid() and any(board.legal_moves) and probe(board).result is Result.DRAW)
    return board


@given(drawn_boards())
def test_every_move_of_both_sides_keeps_the_draw(board: chess.Board) -> None:
    steps = drawing_steps(board)
    now = board.copy(stack=False)
    assert 1 <= len(steps) <= 6
    for san in (san for step in steps for san in (step.move, step.reply) if san):
        now.push_san(san)
        assert probe(now).result is Result.DRAW
    assert steps[-1].achieved.words.endswith(("a draw", "and so on"))
    if "stalemate" in steps[-1].achieved.words:
        assert now.is_stalemate()
    if "nobody can mate" in steps[-1].achieved.words:
        assert now.is_insufficient_material()


@given(drawn_boards())
def test_how_many_moves_hold_is_counted(board: chess.Board) -> None:
    count, of = len(keeping_moves(board)), board.legal_moves.count()
    told = how_many_hold(board).words
    assert ("only move" in told) is (count == 1 < of)
    assert (f"one of {count} moves" in told) is (1 < count < of)
    assert (told in ("no move wins", "every move draws")) is (count == of)


def _is_silly(board: chess.Board, san: str) -> bool:
    """Whether a move gives stalemate, or leaves a man to be taken by the king alone."""
    return moves.spoils(moves.after(board, board.parse_san(san)))


@given(
    st.lists(st.integers(0, 63), min_size=3, max_size=3, unique=True),
    st.sampled_from("PBN"),
    st.booleans(),
)
def test_who_has_more_gives_no_stalemate_and_leaves_no_man_to_the_king_while_it_can_help_it(
    squares: list[int], letter: str, white: bool
) -> None:
    board = chess.Board(None)
    for symbol, square in zip(("K", "k", letter), squares, strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    assume(board.is_valid() and any(board.legal_moves) and probe(board).result is Result.DRAW)
    board = board if white else board.mirror()
    others = [board.san(move) for move in keeping_moves(board)]
    assert not _is_silly(board, sensible_move(board).san) or all(_is_silly(board, san) for san in others)


def test_the_weaker_side_takes_the_last_pawn() -> None:
    assert sensible_move(chess.Board("8/8/8/8/2K5/8/3kP3/8 b - - 0 1")).san == "Kxe2"


def test_a_step_says_that_a_move_takes_what_it_takes() -> None:
    (step,) = drawing_steps(chess.Board("8/8/8/8/2K5/8/3kP3/8 b - - 0 1"))
    assert (step.move, step.reply) == ("Kxe2", "")
    assert step.achieved.words == "takes the pawn; then nobody can mate any more: a draw"
