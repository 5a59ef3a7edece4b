"""What is marked with a move of a demonstration is what its sentence claims."""

import chess
import pytest

from coachbook.exercises.show_claims import Moment, moments_of
from coachbook.exercises.show_marks import marks_of
from coachbook.model.position import Arrow
from coachbook.model.shown_claims import claims_in, read_claim
from coachbook.model.syllabus import Unit
from coachbook.workflows.standings import load_syllabus

SYLLABUS = load_syllabus()


def moment(fen: str, san: str) -> Moment:
    board = chess.Board(fen)
    return Moment(board, board.parse_san(san), board.turn)


def names(squares: tuple[int, ...]) -> list[str]:
    return [chess.square_name(square) for square in squares]


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_a_box_that_is_claimed_is_outlined_square_by_square(unit: Unit) -> None:
    for show in unit.shows:
        for shown, each in zip(show.line, moments_of(show), strict=True):
            marks = marks_of(shown.words, each)
            assert marks.arrows == (Arrow(each.move.from_square, each.move.to_square),)
            claims = [read_claim(text) for text in claims_in(shown.words)]
            boxes = [claim for claim in claims if claim and claim.form.startswith("box")]
            assert [len(marks.outlined)] * len(boxes) == [int(box.given[-1]) for box in boxes]


def test_a_black_queens_box_is_outlined_where_it_is() -> None:
    turned = moment("7k/8/8/8/3q4/4K3/8/8 b - - 0 1", "Qd5")
    assert names(marks_of("{box 12}", turned).outlined)[:3] == ["e1", "f1", "g1"]


def test_key_squares_and_the_square_are_those_of_a_black_pawn_too() -> None:
    white = moment("8/8/8/8/4P3/4K3/8/7k w - - 0 1", "Kd4")
    assert names(marks_of("On a {key square}.", white).shaded) == ["d6", "e6", "f6"]
    black = moment("7K/8/4k3/4p3/8/8/8/8 b - - 0 1", "Kd5")
    assert names(marks_of("On a {key square}.", black).shaded) == ["d3", "e3", "f3"]
    assert "e1" in names(marks_of("{outside the square}", black).outlined)


def test_the_square_between_kings_that_face_each_other_is_shaded() -> None:
    assert names(marks_of("{opposition}", moment("8/8/4k3/8/8/3K4/8/8 w - - 0 1", "Ke4")).shaded) == ["e5"]


def test_guarded_squares_are_shaded_by_their_names() -> None:
    mate = moment("7k/8/5K2/8/8/8/8/6R1 w - - 0 1", "Rg2")
    assert names(marks_of("The {rook guards g7 g8}.", mate).shaded) == ["g7", "g8"]


def test_words_without_claims_mark_the_move_alone() -> None:
    marks = marks_of("Step nearer.", moment("8/8/4k3/8/8/3K4/8/8 w - - 0 1", "Ke4"))
    assert (marks.shaded, marks.outlined, len(marks.arrows)) == ((), (), 1)
