import pytest

from coachbook.model.print_options import BOARDS_A_PAGE, PaperOptions, PaperSize
from coachbook.paper.diagram import rim_of
from coachbook.paper.page import frame_of
from coachbook.paper.sheet_layout import SMALLEST_BOARD, Area, Layout, Spot, cells, layouts, spots

ASKED = [PaperOptions(boards_a_page=9), PaperOptions(large_print=True)]
LAYOUTS = [layout for options in ASKED for layout in layouts(options)]
# A quarter of a millimetre.
THIN = 0.7


def apart(one: Area, other: Area) -> bool:
    return (
        one.x + one.width <= other.x + THIN
        or other.x + other.width <= one.x + THIN
        or one.top <= other.y + THIN
        or other.top <= one.y + THIN
    )


def within(inner: Area, outer: Area) -> bool:
    return (
        inner.x >= outer.x - THIN
        and inner.y >= outer.y - THIN
        and inner.x + inner.width <= outer.x + outer.width + THIN
        and inner.top <= outer.top + THIN
    )


def parts(layout: Layout, cell: Area, spot: Spot) -> list[Area]:
    """The task, the board with its coordinates, the side to move, and the answer."""
    rim = rim_of(layout.coordinates)
    side = (1.45 if spot.one_line else 2.5 if layout.beside else 3.8) * layout.label
    return [
        Area(0, cell.height - layout.task_height, cell.width, layout.task_height),
        Area(spot.x - rim, spot.y - rim, spot.board + rim, spot.board + rim),
        Area(spot.side_x, spot.side_top - side, cell.width - spot.side_x, side),
        spot.answer,
    ]


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_cells_fill_the_page_and_do_not_touch(layout: Layout, size: PaperSize) -> None:
    frame = frame_of(size)
    page = Area(frame.left, frame.bottom, frame.width, frame.top - frame.bottom)
    made = cells(layout, frame)
    assert len(made) == layout.boards
    assert all(within(cell, page) for cell in made)
    assert all(apart(a, b) for i, a in enumerate(made) for b in made[:i])


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_nothing_in_a_cell_overlaps_even_under_the_longest_task(layout: Layout, size: PaperSize) -> None:
    cell = cells(layout, frame_of(size))[0]
    whole = Area(0, 0, cell.width, cell.height)
    for spot in spots(layout, cell, layout.task_height):
        made = parts(layout, cell, spot)
        assert all(within(part, whole) for part in made)
        assert all(apart(a, b) for i, a in enumerate(made) for b in made[:i])


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_boards_are_never_too_small_to_copy_and_the_first_is_the_largest(
    layout: Layout, size: PaperSize
) -> None:
    cell = cells(layout, frame_of(size))[0]
    boards = [spot.board for spot in spots(layout, cell, layout.task_height)]
    assert boards == sorted(boards, reverse=True)
    assert min(boards) >= SMALLEST_BOARD


def test_every_number_of_boards_has_its_layout_and_the_next_ones_are_roomier() -> None:
    for asked in BOARDS_A_PAGE:
        boards = [layout.boards for layout in layouts(PaperOptions(boards_a_page=asked))]
        assert boards[0] == asked
        assert boards == sorted(boards, reverse=True)
