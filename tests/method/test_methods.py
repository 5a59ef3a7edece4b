import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.method.border import choose, to_board
from coachbook.method.methods import find_method, methods_for
from coachbook.method.moves import Side
from coachbook.method.rules import Method
from coachbook.method.starts import decode
from coachbook.method.teaching_order import method_names
from tests.judges.turns import MIRRORED, TURNS, UPSIDE_DOWN, Turn, turned, turned_move
from tests.method.plain import legal_boards

METHODS = [method for name in method_names() if (method := find_method(name))]


@pytest.mark.parametrize("method", METHODS, ids=method_names())
def test_a_method_has_at_most_seven_rules_each_with_a_name_and_words(method: Method) -> None:
    assert len(method.told) <= 7
    assert all(rule.name and rule.words.endswith(".") for rule in method.told)
    assert method.title and method.summary.endswith(".")


@pytest.mark.parametrize("method", METHODS, ids=method_names())
def test_a_method_is_found_by_its_name(method: Method) -> None:
    assert find_method(method.name) is method


def test_an_unknown_name_finds_no_method() -> None:
    assert find_method("no-such-method") is None


def test_with_a_pawn_either_side_has_a_method() -> None:
    board = _board("P")
    assert methods_for(board)[0].name == "king-and-pawn"
    board.turn = chess.BLACK
    assert methods_for(board)[0].name == "hold-king-and-pawn"


@pytest.mark.parametrize(("ending", "name"), [("Q", "queen-box"), ("R", "rook-box"), ("RR", "two-majors")])
def test_the_first_method_for_a_board_is_found_by_its_ending(ending: str, name: str) -> None:
    board = _board(ending)
    assert methods_for(board)[0].name == name
    board.turn = chess.BLACK
    assert methods_for(board) == ()


def _board(ending: str) -> chess.Board:
    board = chess.Board("8/8/8/8/4k3/8/8/K7 w - - 0 1")
    for square, letter in zip((chess.B6, chess.C7), ending, strict=False):
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    return board


def _boards(method: Method, ending: str) -> st.SearchStrategy[chess.Board]:
    if method.most is not None:  # made for few positions of a large ending
        starts = method.starts(ending)
        return st.sampled_from(range(len(starts))).map(lambda row: to_board(decode(ending, starts), row))
    return legal_boards(ending, chess.WHITE if method.plays is Side.ATTACKER else chess.BLACK)


endings = st.sampled_from([(method, ending) for method in METHODS for ending in method.endings])


@given(endings, st.sampled_from(TURNS[1:]), st.data())
def test_turning_or_mirroring_the_board_turns_or_mirrors_the_moves(
    case: tuple[Method, str], turn: Turn, data: st.DataObject
) -> None:
    method, ending = case
    turn = MIRRORED[1] if "P" in ending else turn
    board = data.draw(_boards(method, ending))
    image = turned(board, turn)
    expected = {turned_move(move, turn) for move in choose(board, method).moves}
    chosen = choose(image, method)
    assert set(chosen.moves) == expected
    assert chosen.rule is choose(board, method).rule


@given(endings, st.data())
def test_a_method_plays_the_same_with_either_colour(case: tuple[Method, str], data: st.DataObject) -> None:
    method, ending = case
    board = data.draw(_boards(method, ending))
    expected = {turned_move(move, UPSIDE_DOWN) for move in choose(board, method).moves}
    assert set(choose(board.mirror(), method).moves) == expected


def test_the_smaller_of_two_boxes_is_taken() -> None:
    board = chess.Board("8/8/8/3k4/8/8/1K6/6Q1 w - - 0 1")  # common practice, no source; own position
    chosen = choose(board, _method("queen-box"))
    assert chosen.rule is not None
    assert chosen.rule.name == "make the box smaller"
    assert [board.san(move) for move in chosen.moves] == ["Qe3"]


def test_a_method_refuses_a_board_it_is_not_made_for() -> None:
    with pytest.raises(CoachbookError, match="does not fit"):
        choose(chess.Board(), _method("queen-box"))
    with pytest.raises(CoachbookError, match="does not fit"):
        choose(chess.Board("8/8/8/3k4/8/8/1K6/6Q1 b - - 0 1"), _method("queen-box"))


def _method(name: str) -> Method:
    method = find_method(name)
    assert method is not None
    return method
