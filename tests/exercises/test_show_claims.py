"""What a demonstration may claim: for each form an example that is true, and one that is not."""

import chess
import pytest

from coachbook.exercises.show_claims import Moment, is_true, marks_of, moments_of
from coachbook.model.position import Arrow
from coachbook.model.shown_claims import CLAIM_FORMS, claims_in, parts_of, read_claim
from coachbook.model.syllabus import Unit
from coachbook.wording.show_sentences import claim_in_words, shown_words
from coachbook.workflows.standings import load_syllabus

QUEEN = "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1"
CORNERED = "7k/4Q3/8/8/8/8/8/K7 w - - 0 1"
NEAR_MATE = "7k/4Q3/5K2/8/8/8/8/8 w - - 0 1"
PAWN = "8/8/8/4k3/8/4K3/4P3/8 w - - 0 1"
RUNNER = "8/8/8/P4k2/8/8/8/7K w - - 0 1"
PROMOTES = "8/P5k1/8/8/8/8/8/7K w - - 0 1"
FORK = "8/8/8/8/1k5r/8/8/KQ6 w - - 0 1"

EXAMPLES = [
    ("box N to N", QUEEN, "Qc5", "box 16 to 15", "box 16 to 12"),
    ("box N", QUEEN, "Qc5", "box 15", "box 16"),
    ("squares N", CORNERED, "Kb2", "squares 1", "squares 2"),
    ("mate", NEAR_MATE, "Qg7#", "mate", None),
    ("mate", NEAR_MATE, "Qd7", None, "mate"),
    ("stalemate", CORNERED, "Qf7", "stalemate", None),
    ("stalemate", CORNERED, "Kb2", None, "stalemate"),
    ("draw", CORNERED, "Qf7", "draw", None),
    ("draw", CORNERED, "Kb2", None, "draw"),
    ("too few men", "8/8/8/8/8/8/1k5p/7K w - - 0 1", "Kxh2", "too few men", None),
    ("too few men", CORNERED, "Kb2", None, "too few men"),
    ("mate in N", CORNERED, "Kb2", "mate in 5", "mate in 6"),
    ("new queen", PROMOTES, "a8=Q", "new queen", None),
    ("new queen", "8/Pk6/8/8/8/8/8/7K w - - 0 1", "a8=Q+", None, "new queen"),
    ("man won", FORK, "Qb2+", None, "man won"),
    ("man won", "8/8/8/8/4k2r/8/8/K6Q w - - 0 1", "Qxh4+", "man won", None),
    ("corner", CORNERED, "Kb2", "corner", None),
    ("corner", QUEEN, "Qc5", None, "corner"),
    ("opposition", "8/8/8/4k3/8/8/4K3/8 w - - 0 1", "Ke3", "opposition", None),
    ("opposition", PAWN, "Kd3", None, "opposition"),
    ("key square", "8/2k5/8/8/8/3K4/4P3/8 w - - 0 1", "Ke4", "key square", None),
    ("key square", PAWN, "Kd3", None, "key square"),
    ("inside the square", RUNNER, "Kg1", None, "inside the square"),
    ("inside the square", "8/8/8/P3k3/8/8/8/7K b - - 0 1", "Kd5", "inside the square", None),
    ("outside the square", "8/8/8/P3k3/8/8/8/7K b - - 0 1", "Kd5", None, "outside the square"),
    ("outside the square", RUNNER, "a6", "outside the square", None),
    ("only move", "8/8/4k3/8/4P3/4K3/8/8 w - - 0 1", "Kd3", None, "only move"),
    ("only move", "4k3/4P3/3K4/8/8/8/8/8 b - - 0 1", "Kf7", "only move", None),
    ("mate if MOVE", NEAR_MATE, "Kg6", "mate if Qg7", "mate if Kf7"),
    ("stalemate if MOVE", CORNERED, "Kb2", "stalemate if Qf7", "stalemate if Qd7"),
    ("draw if MOVE", CORNERED, "Kb2", "draw if Qf7", "draw if Qd7"),
    ("loss if MOVE", "8/8/5k2/8/4K3/4P3/8/8 b - - 0 1", "Ke6", "loss if Kg6", "loss if Kf6"),
    ("MAN lost if MOVE", QUEEN, "Qc5", "queen lost if Qd6", "queen lost if Qd3"),
    ("MAN guards SQUARES", "7k/4Q3/8/6K1/8/8/8/8 w - - 0 1", "Kf6", "king guards f7 g7", "king guards f8"),
    ("MAN attacks MAN", FORK, "Qb2+", None, "queen attacks rook"),
    ("MAN attacks MAN", FORK, "Qe4+", "queen attacks rook", "queen attacks queen"),
]


@pytest.mark.parametrize(("form", "fen", "san", "true", "false"), EXAMPLES)
def test_a_claim_is_true_where_it_is_so_and_nowhere_else(
    form: str, fen: str, san: str, true: str | None, false: str | None
) -> None:
    board = chess.Board(fen)
    moves = {board.san(move): move for move in board.legal_moves}
    moment = Moment(board, moves.get(san, chess.Move.null()), board.turn)
    if san not in moves:
        pytest.fail(f"{san} is no move in {fen}: {', '.join(moves)}")
    for text, expected in ((true, True), (false, False)):
        claim = read_claim(text) if text else None
        if claim is not None:
            assert is_true(claim, moment) is expected, text
            assert expected is False or claim.form == form


def test_every_form_has_a_true_and_a_false_example_and_words() -> None:
    forms = {form.written for form in CLAIM_FORMS}
    assert {form for form, *_, true, _ in EXAMPLES if true} == forms
    assert {form for form, *_, false in EXAMPLES if false} == forms
    for *_, true, false in EXAMPLES:
        for text in filter(None, (true, false)):
            claim = read_claim(text)
            assert claim is not None
            assert claim_in_words(claim)


def test_claims_are_told_in_words_where_they_stand() -> None:
    words = "The wall comes nearer: {box 16 to 9}. {squares 2}."
    assert [*claims_in(words)] == ["box 16 to 9", "squares 2"]
    assert shown_words(words) == (
        "The wall comes nearer: the box goes from 16 squares to 9. He has two squares to go to."
    )
    assert shown_words("{box 6 to 6}, and {king guards g7}.") == (
        "The box keeps its 6 squares, and the king guards g7."
    )
    assert [*parts_of("No claim.")] == [("No claim.", False)]


@pytest.mark.parametrize("text", ["box", "box 9 to", "box nine", "mate if", "queen guards", "wins", ""])
def test_what_has_no_known_form_is_no_claim(text: str) -> None:
    assert read_claim(text) is None


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
