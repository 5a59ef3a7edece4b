"""Play-outs and notes: what a coach says of them, judged and kept."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

import chess

from coachbook.club.book import Book, Writing
from coachbook.club.log import log_observation, log_play_out
from coachbook.club.results import evenings, last_play_out, play_outs
from coachbook.club.students import student_named, student_numbered
from coachbook.club.taken_back import take_back
from coachbook.endgame.probe import Result, probe
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.games import check_count, check_told, lacks_count, read_game, read_told
from coachbook.exercises.judging import judge_play_out
from coachbook.files.reading import read_text
from coachbook.files.writing import check_places
from coachbook.method.methods import find_method
from coachbook.model.facts import Impression, LogEntry, Observation, PlayOutEnd, PlayOutResult, Slip
from coachbook.model.play_outs import JudgedPlayOut, read_card_code
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Goal, PlayOut, Syllabus, Unit
from coachbook.paper.judged_play_out import play_out_pdf
from coachbook.workflows.care import before_logging
from coachbook.workflows.endings import most_moves_to_mate
from coachbook.workflows.kept_once import Touch, keep_once
from coachbook.workflows.papers import papers_in
from coachbook.workflows.written_plans import read_board

LONGEST_NOTE = 300
LONGEST_GAME = 20_000
"""In characters: the longest game with some remarks takes a quarter of it."""

_MOST_MOVES = 50  # Laws of Chess 9.3: after 50 moves by each side a draw may be claimed


@dataclass(frozen=True, slots=True)
class Start:
    """What was played out: a unit's position, and the code of its card, or "" for another position."""

    unit: Unit
    play_out: PlayOut
    card: str = ""


def start_of(syllabus: Syllabus, text: str, unit: str | None, allowance: int | None) -> Start:
    """The play-out that a coach names: a card's code (PLAY- may be left out), or a position in FEN.

    A position of the coach's own needs a `unit`. Without an `allowance` it is the most moves that the unit's
    method takes to mate from there (with the queen's box, once it has made a queen); the goal is what best
    play reaches. Raises CoachbookError for a text that is neither, a card or unit that there is not, a
    position that cannot be judged or without a unit, and an allowance that is unknown or out of bounds.
    """
    found = read_card_code(text) or read_card_code(f"PLAY-{text.strip()}")
    if found is not None:
        code, number = found
        named = syllabus.unit(code)
        return Start(named, named.play_out(number), f"PLAY-{code.upper()}-{number}")
    if "/" not in text:
        raise CoachbookError(
            f"'{text}' is neither a card's code nor a position.",
            "Write the code on the card, such as PLAY-QUEEN-BOX-1, or the position in FEN.",
        )
    if unit is None:
        raise CoachbookError("A position of your own needs a unit.", Advice(Step.NAME_THE_UNIT))
    own = syllabus.unit(unit)
    return Start(own, _own_play_out(read_board(text.strip()), own, allowance))


def lacks_its_count(start: Start, text: str) -> bool:
    """Whether only the number of moves is missing in a text that says it was mate."""
    return lacks_count(text, start.play_out.goal)


def judge(letters: str, start: Start, text: str) -> JudgedPlayOut | None:
    """The play-out judged move by move, if `text` is a game, perhaps with the club's own `letters`; None if
    it says only how it ended.

    Raises CoachbookError for an end that cannot have been, or lacks its number of moves; for moves that
    cannot be read or are not legal, naming the first; and for more than LONGEST_GAME characters.
    """
    if len(text) > LONGEST_GAME:
        raise CoachbookError(
            f"A play-out cannot have {len(text):,} characters.",
            f"Give the moves of one game, in at most {LONGEST_GAME:,}.",
        )
    goal, board = start.play_out.goal, chess.Board(start.play_out.fen)
    if read_told(text, goal) is not None:
        check_told(text, board, goal)
        return None
    check_count(text, goal)
    moves = read_game(board, text, letters or None)
    if not moves:
        raise CoachbookError(
            "There is nothing to log.", "Say how it ended, such as 'mated in 14', or write the moves."
        )
    return judge_play_out(board, moves, goal, start.play_out.allowance, find_method(start.unit.method))


def keep_play_out(
    book: Book, student: str, start: Start, text: str, judged: JudgedPlayOut | None, on: date, now: datetime
) -> tuple[PlayOutResult, LogEntry]:
    """Log a play-out, judged or as its text says, as one entry. Raises CoachbookError for an unknown student,
    and if the backup of the day cannot be made; then nothing is logged."""
    before_logging(book, now)
    with book.writing() as tx:
        result = play_out_told(student_named(tx, student).name, start, text, judged, on)
        return result, log_play_out(tx, result, now)


def touch_play_out(
    book: Book,
    touch: Touch,
    student: int,
    start: Start,
    text: str,
    on: date,
    *,
    replaces: bool = False,
    against_coachbook: bool = False,
) -> JudgedPlayOut | None:
    """Log how a play-out of a student (by id) went, as it is told or by its moves, and return what is to be
    said of the moves. If it `replaces` the last one of this card on that evening, that is taken back.

    Raises CoachbookError where `judge` does, and for an unknown student.
    """
    judged = judge(book.letters, start, text)

    def keep(tx: Writing) -> None:
        last = last_play_out(tx, student, start.card, on) if replaces else None
        if last is not None:
            take_back(tx, touch.at, last)
        result = play_out_told(student_numbered(tx, student).name, start, text, judged, on)
        log_play_out(tx, replace(result, against_coachbook=against_coachbook), touch.at)

    keep_once(book, touch, keep)
    return judged


def last_played(book: Book, student: int, card: str, on: date) -> PlayOutResult | None:
    """How a student (by id) played a card last on an evening; None if not at all. Raises CoachbookError for
    an unknown student."""
    with book.reading() as tx:
        played = play_outs(tx, student=student_numbered(tx, student).name)
    return next((each for each in reversed(played) if each.card == card and each.on == on), None)


def play_out_told(
    student: str, start: Start, text: str, judged: JudgedPlayOut | None, on: date
) -> PlayOutResult:
    """A play-out as it is logged: as it was judged, or else as a text says how it ended."""
    end = judged or read_told(text, start.play_out.goal)
    if end is None:
        raise ValueError("a play-out that is not judged says how it ended")
    return PlayOutResult(
        student=student,
        unit=start.unit.code,
        on=on,
        fen=start.play_out.fen,
        goal=start.play_out.goal,
        allowance=start.play_out.allowance,
        end=end.end,
        used=end.used,
        card=start.card,
        moves=judged.moves if judged else (),
        slip=judged.slip if judged else _slip_of_end(end.end, start.play_out.goal),
    )


@contextmanager
def page_of_play_out(
    book: Book,
    start: Start,
    judged: JudgedPlayOut,
    student: str,
    on: date,
    path: Path,
    options: PaperOptions,
) -> Iterator[None]:
    """A judged play-out as one page for the student: written first, and put in its place when it was kept
    within. Raises CoachbookError if the file cannot be written."""
    check_places((path,))
    reached = _times_reached(book, student, start.unit, on) + (judged.how_good is not None)
    with papers_in(path.parent) as papers:
        papers.add(
            path, play_out_pdf(judged, student, book.club_name, start.unit.title, on, options, reached)
        )
        yield
        papers.put_in_place(kept="The play-out is in the log.")


def _times_reached(book: Book, student: str, unit: Unit, on: date) -> int:
    """In how many play-outs of a unit the student has reached the goal up to a day."""
    with book.reading() as tx:
        name = student_named(tx, student).name
        seen = evenings(tx, student=name, until=on)[name].get(unit.code, ())
    return sum(result.within for evening in seen for result in evening.play_outs)


def unit_of_note(
    book: Book, syllabus: Syllabus, student: str, unit: str | None, impression: Impression, on: date
) -> str:
    """The code of the unit that a note is about, "" for a note on the evening. Raises CoachbookError for an
    unknown unit, and, naming those that the student has begun, for an impression of none."""
    if unit is not None:
        return syllabus.unit(unit).code
    if not impression:
        return ""
    with book.reading() as tx:
        name = student_named(tx, student).name
        begun = evenings(tx, student=name, until=on)[name]
    codes = ", ".join(each.code for each in syllabus.units if each.code in begun)
    begun_units = Advice(Step.NAME_A_BEGUN_UNIT, {"student": name, "units": codes})
    raise CoachbookError(
        "Which unit is the note about?", begun_units if codes else Advice(Step.NAME_ANY_UNIT)
    )


def keep_observation(book: Book, seen: Observation, now: datetime) -> LogEntry:
    """Log what the coach saw, as one entry. Raises CoachbookError for an unknown student, an empty or
    too long note, or one with signs that cannot be printed."""
    note = check_note(seen.note)
    before_logging(book, now)
    with book.writing() as tx:
        return log_observation(tx, Observation(seen.student, seen.unit, seen.on, note, seen.impression), now)


def check_note(text: str) -> str:
    """The note as it is kept, with single spaces. Raises CoachbookError for one that can't be kept."""
    note = " ".join(text.split())
    if not note or not note.isprintable():
        raise CoachbookError("A note needs words that can be printed.", "Write what you saw.")
    if len(note) > LONGEST_NOTE:
        raise CoachbookError(f"The note has {len(note)} characters.", f"Use at most {LONGEST_NOTE}.")
    return note


def read_pgn_file(path: Path) -> str:
    """The text of a file. Raises CoachbookError if it cannot be read or is no UTF-8 text."""
    try:
        return read_text(path)
    except OSError as error:
        raise CoachbookError(f"{path} cannot be read ({error.strerror}).", "Check its name.") from error
    except UnicodeDecodeError as error:
        raise CoachbookError(f"{path} is not UTF-8 text.", "Save the game as PGN in UTF-8.") from error


def _slip_of_end(end: PlayOutEnd, goal: Goal) -> str:
    """The slip that an end names by itself."""
    return Slip.STALEMATE if end is PlayOutEnd.STALEMATE and goal is Goal.WIN else ""


def _own_play_out(board: chess.Board, unit: Unit, allowance: int | None) -> PlayOut:
    outcome = probe(board)
    if outcome.result is Result.LOSS:
        raise CoachbookError("The side to move loses that position.", "Give one that the student can hold.")
    goal = Goal.WIN if outcome.result is Result.WIN else Goal.DRAW
    method = find_method(unit.method)
    if allowance is None and method is not None:
        allowance = most_moves_to_mate(board, method)
    if allowance is None:
        raise CoachbookError(
            "coachbook does not know how many moves to allow from there.", Advice(Step.NAME_AN_ALLOWANCE)
        )
    if not 1 <= allowance <= _MOST_MOVES:
        raise CoachbookError(
            f"An allowance of {allowance} moves is not possible.", f"Allow 1 to {_MOST_MOVES}."
        )
    return PlayOut(board.fen(), allowance, goal)
