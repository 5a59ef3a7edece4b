"""The marks of a board alone, to be laid under and over the men of a board that is moved on."""

from coachbook.model.position import Arrow, Marks, Position, Sign, SquareSign
from coachbook.paper.board_svg import board_svg, marks_svg

POSITION = Position("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1")
MARKS = Marks((0,), (1, 2), (Arrow(27, 35),), (SquareSign(44, Sign.TICK),))


def layers(marks: Marks) -> list[str]:
    return marks_svg(marks, POSITION.pieces).split("</svg>")[:-1]


def test_shades_outlines_and_arrows_lie_below_the_men_and_signs_above() -> None:
    below, above = layers(MARKS)
    assert 'class="marks"' in below
    assert "<polygon" in below
    assert "<circle" not in below
    assert 'class="marks above"' in above
    assert "<circle" in above


def test_they_are_drawn_as_on_a_whole_board() -> None:
    whole = board_svg(POSITION, MARKS, "/pieces.svg", "A board")
    for layer in layers(MARKS):
        assert layer.partition(">")[2] in whole


def test_no_marks_make_no_layer_and_a_reader_is_not_told_of_those_there_are() -> None:
    assert layers(Marks()) == []
    assert all('aria-hidden="true"' in layer for layer in layers(MARKS))
