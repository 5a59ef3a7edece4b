"""How pages share leaves: nothing is lost, and what is cut apart or stapled belongs to one."""

from itertools import chain, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.paper.leaves import faces, paper_used

PIECES = st.lists(st.integers(1, 5), min_size=1, max_size=12)


def owners(pieces: list[int]) -> list[int]:
    """By page: the number of the piece."""
    return [number for number, count in enumerate(pieces) for _ in range(count)]


@given(PIECES, st.booleans(), st.booleans())
def test_every_page_is_printed_once(pieces: list[int], two_sides: bool, two_up: bool) -> None:
    printed = faces(pieces, two_sides=two_sides, two_up=two_up)
    pages = [page for page in chain.from_iterable(printed) if page is not None]
    assert sorted(pages) == list(range(sum(pieces)))
    assert all(len(face) == 1 + two_up for face in printed)


@given(PIECES)
def test_on_both_sides_no_leaf_belongs_to_two(pieces: list[int]) -> None:
    printed, of = faces(pieces, two_sides=True, two_up=False), owners(pieces)
    for (front,), (back,) in zip(printed[::2], printed[1::2], strict=False):
        assert front is not None
        assert back is None or (back == front + 1 and of[back] == of[front])


@given(PIECES)
def test_side_by_side_what_has_several_pages_needs_no_cut(pieces: list[int]) -> None:
    of = owners(pieces)
    for left, right in faces(pieces, two_sides=False, two_up=True):
        if left is not None and right is not None and of[left] != of[right]:
            assert pieces[of[right]] == 1
        assert left is not None


@given(PIECES)
def test_on_both_sides_and_side_by_side_each_half_belongs_to_one_when_the_leaf_is_cut(
    pieces: list[int],
) -> None:
    printed, of = faces(pieces, two_sides=True, two_up=True), owners(pieces)
    read = []
    for front, back in zip(printed[::2], [*printed[1::2], (None, None)], strict=False):
        for face, behind in ((front[0], back[1]), (front[1], back[0])):
            assert behind is None or (face is not None and behind == face + 1 and of[behind] == of[face])
            read += [page for page in (face, behind) if page is not None]
    assert all(one < other for one, other in pairwise(read))


@pytest.mark.parametrize(
    ("ways", "pages", "leaves"),
    [((False, False), 9, 9), ((True, False), 9, 5), ((False, True), 5, 5), ((True, True), 5, 3)],
)
def test_leaves_are_counted(ways: tuple[bool, bool], pages: int, leaves: int) -> None:
    used = paper_used([2, 2, 2, 2, 1], two_sides=ways[0], two_up=ways[1])
    assert (used.pages, used.leaves) == (pages, leaves)
