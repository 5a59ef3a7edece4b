"""Keys say why: by a verdict, or by what can be forced; and what the wrong move that tempts most allows."""

from collections.abc import Iterator
from dataclasses import replace

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, keeping_moves, probe
from coachbook.errors import CoachbookError
from coachbook.exercises.claims.verdict_claims import is_true
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.verify import check_exercise
from coachbook.method import king_and_pawn_verdicts, queen_against_pawn
from coachbook.method.border import attacker
from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs
from coachbook.model.worksheet import Exercise, Fact, Saying
from tests.exercises.reasons_read import check_reasons, has_reason
from tests.exercises.samples import USES, Use, sample
from tests.judges.moves import after
from tests.judges.published import Published
from tests.method.plain import legal_boards
from tests.method.test_queen_against_pawn import boards

ASKED = tuple(use for use in USES if use.use.kind in ("win_or_draw", "only_move"))
each_use = pytest.mark.parametrize("use", ASKED, ids=str)
lured = pytest.mark.parametrize(
    "use", [use for use in USES if use.use.kind in ("win_or_draw", "only_move", "opposition")], ids=str
)


def is_told(exercise: Exercise) -> bool:
    return has_reason(exercise) or any(isinstance(claim, ReasonIs) for claim in exercise.claims)


@each_use
def test_every_item_says_why(use: Use) -> None:
    assert all(is_told(exercise) for exercise in sample(use, 4))


def _tempts(board: chess.Board, move: chess.Move) -> bool:
    """It makes no minor piece or rook, and puts no piece where it can be taken for nothing."""
    then = after(board, move)
    pushed = board.piece_type_at(move.from_square) == chess.PAWN
    hangs = any(reply.to_square == move.to_square for reply in then.legal_moves)
    return move.promotion in (None, chess.QUEEN) and (pushed or board.is_capture(move) or not hangs)


@lured
def test_every_item_in_which_a_wrong_move_tempts_says_what_one_allows(use: Use, published: Published) -> None:
    for exercise in sample(use, 4):
        board = chess.Board(exercise.position.fen)
        wrong = {move.uci() for move in board.legal_moves} - published.keeping(board)
        tempting = [move for move in map(chess.Move.from_uci, wrong) if _tempts(board, move)]
        warned = any(warning.code == "lure" for warning in exercise.solution.watch_for)
        assert warned == bool(tempting)


@lured
def test_reasons_are_true_as_they_are_printed(use: Use, published: Published) -> None:
    for exercise in sample(use, 2):
        check_reasons(exercise, published)


@pytest.mark.long
@lured
def test_hundreds_of_reasons_are_true_as_they_are_printed(use: Use, published: Published) -> None:
    for exercise in sample(use, 500):
        check_reasons(exercise, published)


def _facts_with(saying: Saying, name: str, fact: Fact) -> tuple[tuple[str, Fact], ...]:
    return tuple(sorted({**dict(saying.facts), name: fact}.items()))


def _false_forced(exercise: Exercise, forced: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Another number of moves, the other result's goal, the other side, and too much or too little said."""
    side, goal, number = forced
    wins = probe(chess.Board(exercise.position.fen)).result is not Result.DRAW
    yield from ((side, goal, other) for other in (str(int(number) + 1), "0", "many"))
    yield side, "bare" if wins else "mate", number
    yield side, "hope", number
    if wins:
        yield {"white": "black", "black": "white"}[side], goal, number
    yield from ((*forced, side), forced[:-1])


def _false_lures(exercise: Exercise, lure: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """A move that keeps the result, and another reply, deed, winner, or too little said."""
    wrong, reply, does, winner = lure
    board = chess.Board(exercise.position.fen)
    yield from ((board.san(move), reply, does, winner) for move in keeping_moves(board))
    yield wrong, "Ka1xh8", does, winner
    yield wrong, reply, "takes rook" if does == "takes queen" else "takes queen", winner
    yield from ((wrong, reply, does, other) for other in {"white", "black", "draw"} - {winner})
    yield lure[:-1]


def _false_reasons(exercise: Exercise) -> Iterator[Exercise]:
    solution = exercise.solution
    forced = solution.text.fact("forced")
    for false in _false_forced(exercise, forced) if isinstance(forced, tuple) else ():
        stated = replace(solution.text, facts=_facts_with(solution.text, "forced", false))
        yield replace(exercise, solution=replace(solution, text=stated))
    for at, warning in enumerate(solution.watch_for):
        lure = warning.fact("lure")
        for false in _false_lures(exercise, lure) if isinstance(lure, tuple) else ():
            stated = replace(warning, facts=_facts_with(warning, "lure", false))
            said = (*solution.watch_for[:at], stated, *solution.watch_for[at + 1 :])
            yield replace(exercise, solution=replace(solution, watch_for=said))


@lured
def test_reasons_made_false_are_refused(use: Use) -> None:
    for exercise in sample(use, 2):
        check_exercise(exercise)
        for false in _false_reasons(exercise):
            with pytest.raises(CoachbookError, match=r"is not true \((forced|lure)\)"):
                check_exercise(false)


@given(legal_boards("P", chess.WHITE) | legal_boards("P", chess.BLACK), st.booleans())
def test_sentences_on_king_and_pawn_are_true_just_where_their_verdicts_hold(
    board: chess.Board, mirrored: bool
) -> None:
    board = board.mirror() if mirrored else board
    told = {each.because for each in king_and_pawn_verdicts.find_verdicts(board)}
    white = attacker(board)
    assert {because for because in Because if is_true(board, Verdict(because, white))} == told
    assert not any(is_true(board, Verdict(because, not white)) for because in Because)


@given(boards(), st.booleans())
def test_sentences_on_queen_and_pawn_are_true_just_where_their_verdicts_hold(
    board: chess.Board, mirrored: bool
) -> None:
    board = board.transform(chess.flip_horizontal) if mirrored else board
    won = probe(board).result is Result.WIN
    told = {each.because for each in queen_against_pawn.find_verdicts(board) if each.won == won}
    wing = queen_against_pawn.is_mirrored(board)
    assert {because for because in Because if is_true(board, Verdict(because, board.turn, wing))} == told


@pytest.mark.parametrize("fen", ["8/8/8/8/8/4k3/8/K3B3 w - - 0 1", "7k/8/8/8/8/8/R7/K7 w - - 0 1"])
def test_no_verdict_is_true_of_another_ending(fen: str) -> None:
    board = chess.Board(fen)
    assert not any(is_true(board, Verdict(because, white)) for because in Because for white in (True, False))


@pytest.mark.parametrize(
    ("fen", "words"),
    [
        (
            "k7/P7/8/8/8/8/8/2B3K1 w - - 0 1",
            "Black's king stands in the corner where the pawn would queen, and the bishop never guards this"
            " corner. A draw, if both sides play well.",
        ),
        (
            "7k/8/7P/7P/8/8/8/K7 w - - 0 1",
            "Black's king stands in the corner where the pawn would queen. A draw, if both sides play well.",
        ),
    ],
)
def test_a_king_that_stands_in_the_corner_is_said_to_stand_there(fen: str, words: str) -> None:
    made = find_kind("win_or_draw").draft(chess.Board(fen))
    assert made is not None
    assert made.solution.text.words == words
