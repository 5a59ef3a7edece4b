"""How the pages of a file share leaves of paper: on one side or both, alone or two side by side.

A *piece* is what goes into one hand: the copy of a sheet, a page of cards, what the coach keeps. A *face* is
one printed side of a leaf, with the numbers of the pages on it (None is a blank).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, zip_longest

Face = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class PaperUsed:
    """How many pages the printed file has, and how many leaves of paper it takes."""

    pages: int
    leaves: int


def paper_used(pieces: Sequence[int], *, two_sides: bool, two_up: bool) -> PaperUsed:
    """What pieces of so many pages take."""
    pages = len(faces(pieces, two_sides=two_sides, two_up=two_up))
    return PaperUsed(pages, -(-pages // 2) if two_sides else pages)


def faces(pieces: Sequence[int], *, two_sides: bool, two_up: bool) -> list[Face]:
    """The faces in the order of printing, of pieces of so many pages.

    On both sides a piece begins on a new leaf. Two side by side, it begins at the left, but for a piece of
    one page. With both, a piece has halves of leaves, front and back: when each leaf is cut down the middle,
    no half belongs to two. The back is printed for a leaf that is turned over its short edge.
    """
    ends = [sum(pieces[: at + 1]) for at in range(len(pieces))]
    runs = [list[int | None](range(end - count, end)) for end, count in zip(ends, pieces, strict=True)]
    if two_sides:
        runs = [[*run, None] if len(run) % 2 else run for run in runs]
    if two_sides and two_up:
        return _without_end([face for halves in _in_pairs(_halves(runs)) for face in _cut_apart(*halves)])
    if not two_up:
        return _without_end([(page,) for page in chain.from_iterable(runs)])
    slots: list[int | None] = []
    for run in runs:
        slots += [None, *run] if len(run) > 1 and len(slots) % 2 else run
    return list(zip_longest(slots[::2], slots[1::2]))


_Half = tuple[int | None, int | None]
"""The front and the back of half a leaf."""


def _halves(runs: Sequence[Sequence[int | None]]) -> list[_Half]:
    return [(front, back) for run in runs for front, back in zip(run[::2], run[1::2], strict=True)]


def _in_pairs(halves: Sequence[_Half]) -> list[tuple[_Half, _Half]]:
    return list(zip_longest(halves[::2], halves[1::2], fillvalue=(None, None)))


def _cut_apart(left: _Half, right: _Half) -> tuple[Face, Face]:
    """The front of a leaf and its back, where what is behind the left half stands at the right."""
    return (left[0], right[0]), (right[1], left[1])


def _without_end(printed: list[Face]) -> list[Face]:
    """Without a blank face at the end."""
    return printed[:-1] if printed and not any(page is not None for page in printed[-1]) else printed
