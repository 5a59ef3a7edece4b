"""Whether the scale of difficulty holds, by all that the club has answered. It changes nothing."""

from collections.abc import Callable
from functools import cache

import chess

from coachbook.club.book import Book
from coachbook.club.results import answers
from coachbook.club.sheets import load_worksheet
from coachbook.endgame.material import UnknownEndingError, material_of
from coachbook.exercises.drawn_positions import is_drawn_from
from coachbook.exercises.generate import survey_of
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.model.facts import Slip
from coachbook.model.scale import Answered, ScaleCheck
from coachbook.model.worksheet import Exercise
from coachbook.progress.scale_check import check_scale

Progress = Callable[[int, int, str], None]
"""(done, of how many, what is being done)."""


def check_difficulty(book: Book, progress: Progress = lambda _done, _of, _what: None) -> ScaleCheck:
    """Compare the scale of today with the answers that hold: of an item that was logged twice, the later one,
    and none that was taken back. Raises CoachbookError for a damaged sheet.

    What was left blank is not counted: nobody can tell whether it was too hard, or the time was over.
    """
    with book.reading() as tx:
        logged = answers(tx)
        tried = [each for each in logged if each.slip != Slip.NOT_TRIED]
        sheets = {code: load_worksheet(tx, code) for code in sorted({each.sheet for each in tried})}
    answered = []
    for done, each in enumerate(tried):
        progress(done, len(tried), f"sheet {each.sheet}")
        item = sheets[each.sheet].items[each.item - 1]
        answered.append(Answered(item.kind, _difficulty_today(item), each.right))
    return check_scale(answered, len(logged) - len(tried))


def _difficulty_today(item: Exercise) -> int:
    """By the scale as it is now, which may have changed since a sheet was made; where the kind would not make
    the exercise any more, that which was stored."""
    today = _drafted(item.kind, item.position.fen) if item.kind in kind_names() else None
    return today or item.difficulty


@cache
def _drafted(kind_name: str, fen: str) -> int | None:
    """The difficulty of what a kind makes of a position; None if it does not suit the kind, or the tables of
    its ending are not built."""
    kind, board = find_kind(kind_name), chess.Board(fen)
    side = 0 if board.turn else 1
    if side not in kind.sides:
        return None
    ending = material_of(board).name
    try:
        suits = is_drawn_from(ending) or len(kind.candidates(survey_of(ending, side).of_one(board))) > 0
        draft = kind.draft(board) if suits else None
    except UnknownEndingError:
        draft = None
    return draft.difficulty if draft else None
