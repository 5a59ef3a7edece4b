"""`coachbook log attendance`, `log playout` and `log note`: who was there, and what they did at the board."""

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import PreviewOption, SureOption, check_preview_of_table, settled_day, tell_kept
from coachbook.cli.completing import students_known, units_known
from coachbook.cli.console import can_ask, show_table, stop_if_any
from coachbook.cli.options import (
    BookOption,
    DateOption,
    GroupOption,
    LettersOption,
    NameArgument,
    NotationOption,
    OnPaperOption,
    PaperOption,
    SyllabusOption,
    TableOption,
    paper_options,
    read_number,
    today,
)
from coachbook.errors import CoachbookError
from coachbook.wording.counting import counted, shown_day

if TYPE_CHECKING:
    from coachbook.club.book import Book
    from coachbook.model.facts import Attendance, PlayOutResult
    from coachbook.model.play_outs import JudgedPlayOut
    from coachbook.model.syllabus import Syllabus
    from coachbook.workflows.playing import Start


def unit_first(
    words: list[str], syllabus: "Syllabus", *, alone: bool = False
) -> tuple[str | None, list[str]]:
    """A unit's code at the head of what is told, exactly as the syllabus has it, and what follows it. Where
    nothing follows it is no unit but what is told, unless it may stand `alone`."""
    if words[:1] and words[0] in syllabus.titles and (alone or words[1:]):
        return words[0], words[1:]
    return None, words


def playout(
    name: NameArgument,
    start: Annotated[
        str, typer.Argument(metavar="CARD|FEN", help="The code on the card, or the position it began with.")
    ],
    told: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[UNIT] [HOW IT WENT]...",
            help="mated in 14, stalemate, gave up ...; or all the moves. After a FEN, the unit first.",
            autocompletion=units_known,
        ),
    ] = None,
    pgn: Annotated[Path | None, typer.Option("--pgn", metavar="FILE", help="The game, in PGN.")] = None,
    allowance: Annotated[
        int | None,
        typer.Option("--allowance", parser=read_number, metavar="N", help="Moves allowed from there."),
    ] = None,
    to: OnPaperOption = None,
    paper: PaperOption = None,
    notation: NotationOption = None,
    letters: LettersOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log a play-out. With the moves, coachbook judges them, also on a page for the student (--to)."""
    from coachbook.cli.talking import doing, talk
    from coachbook.wording.people import entry_in_words
    from coachbook.workflows.evening_to_log import doubt_of_students
    from coachbook.workflows.lines_conversation import HowItWent
    from coachbook.workflows.members import member_named, open_club
    from coachbook.workflows.playing import (
        judge,
        keep_play_out,
        page_of_play_out,
        read_pgn_file,
        start_of,
    )
    from coachbook.workflows.standings import load_syllabus

    read = load_syllabus(syllabus)
    start, told = _whole_code(start, told or [])
    unit, told = unit_first(told, read, alone=True) if "/" in start else (None, told)
    if pgn is not None and told:
        raise CoachbookError("The game is given twice.", "Give --pgn or the moves, not both.")
    opened = open_club(book)
    options = paper_options(opened.settings, paper, notation, letters)
    student, begun = member_named(opened, name).name, start_of(read, start, unit, allowance)
    day = settled_day(on, doubt_of_students(opened, today(on), today(None), [student]), sure=sure)
    is_asked = pgn is None and not told
    text = read_pgn_file(pgn) if pgn is not None else " ".join(told) or _waiting(opened, student, begun, day)
    text = talk(HowItWent(start=begun, told=text, counts=can_ask()), doing(opened)).told
    judged = judge(opened.letters, begun, text)
    if judged is None and to is not None:
        raise CoachbookError(
            "The page shows the moves, and there are none.", "Give the moves, or leave --to out."
        )
    page: AbstractContextManager[None] = nullcontext()
    if judged is not None:
        _show(judged)
        if to is not None:
            page = page_of_play_out(opened, begun, judged, student, day, to, options)
    with page, _aside(opened, student, begun, text, day) if is_asked else nullcontext():
        result, entry = keep_play_out(opened, student, begun, text, judged, day, datetime.now(UTC))
    typer.echo(f"Kept: {entry_in_words(entry.what)}{_verdict(result)}.")
    if to is not None:
        typer.echo(f"Written: {to}")


def note(
    name: NameArgument,
    text: Annotated[
        list[str],
        typer.Argument(
            metavar="[UNIT] NOTE...",
            help="The unit's code, such as queen-box, and what you saw, in your words.",
            autocompletion=units_known,
        ),
    ],
    can: Annotated[bool, typer.Option("--can", help="You saw that the student can do it.")] = False,
    trouble: Annotated[bool, typer.Option("--trouble", help="You saw that the student has trouble.")] = False,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
    syllabus: SyllabusOption = None,
) -> None:
    """Log what you saw of a student in a unit, or on an evening.

    Without a unit it is a note on the evening, such as "left early". A note alone does not count. With --can
    the unit counts as remembered that evening, with --trouble as remembered with trouble. Answers and
    play-outs count before a note. A note never makes a unit secure.
    """
    from coachbook.model.facts import Impression, Observation
    from coachbook.wording.people import entry_in_words
    from coachbook.workflows.evening_to_log import doubt_of_students
    from coachbook.workflows.members import open_club
    from coachbook.workflows.playing import keep_observation, unit_of_note
    from coachbook.workflows.standings import load_syllabus

    if can and trouble:
        raise CoachbookError("A note cannot say both.", "Give --can or --trouble, not both.")
    impression = Impression.CAN if can else Impression.TROUBLE if trouble else Impression.NONE
    opened, read = open_club(book), load_syllabus(syllabus)
    unit, words = unit_first(text, read)
    about = unit_of_note(opened, read, name, unit, impression, today(on))
    day = settled_day(on, doubt_of_students(opened, today(on), today(None), [name]), sure=sure)
    seen = Observation(name, about, day, " ".join(words), impression)
    entry = keep_observation(opened, seen, datetime.now(UTC))
    typer.echo(f"Kept: {entry_in_words(entry.what)}.")


def _waiting(book: "Book", student: str, start: "Start", on: date) -> str:
    """How it went as it was put aside before; "" if it is to be typed now."""
    from coachbook.cli.talking import taken_up
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.typed_answers import play_out_line, play_outs_aside

    waiting = play_outs_aside(book, play_out_line(book, student, start.card, "", on)) if start.card else {}
    if taken_up(book, list(waiting.values())):
        return list(waiting)[-1]
    before_typing(book, datetime.now(UTC))
    return ""


@contextmanager
def _aside(book: "Book", student: str, start: "Start", told: str, on: date) -> Iterator[None]:
    """Within, what was typed of a card is kept; until then, and if that fails, it is put aside."""
    from coachbook.cli.talking import doing, safe, show
    from coachbook.workflows.effects import Conversation, PutAside, Turn, drive
    from coachbook.workflows.typed_answers import forget, play_out_line

    if not start.card:
        yield
        return
    line = play_out_line(book, student, start.card, told, on)
    drive(Turn(Conversation(), (PutAside(line),)), doing(book), show)
    with safe():
        yield
    forget(book, [line])


def _whole_code(start: str, told: list[str]) -> tuple[str, list[str]]:
    """A code that was read off paper with a space after a hyphen comes in several words."""
    while start.endswith("-") and told:
        start, told = start + told[0], told[1:]
    return start, told


def _verdict(result: "PlayOutResult") -> str:
    if result.within:
        return ""
    if not result.counts:
        return ", does not count"
    if result.reached:
        return ", moves not counted" if result.used is None else ", not within the allowance"
    return ", goal not reached"


def _show(judged: "JudgedPlayOut") -> None:
    from coachbook.wording.conversations import judged_in_words

    typer.echo(judged.line)
    best = "" if judged.optimum is None else f", {judged.optimum} by the quickest way"
    how = f"{str(judged.end).capitalize()} after {counted(judged.used, 'move')}"
    typer.echo(f"{how} ({judged.allowance} allowed{best}).")
    for line in judged_in_words(judged):
        typer.echo(line)


def attendance(
    present: Annotated[
        list[str] | None,
        typer.Argument(metavar="[NAME]...", help="Those who were there.", autocompletion=students_known),
    ] = None,
    table: TableOption = None,
    preview: PreviewOption = False,
    came: Annotated[
        list[str] | None,
        typer.Option(
            "--present",
            metavar="NAME",
            help="A correction: was there after all; may be given again.",
            autocompletion=students_known,
        ),
    ] = None,
    missing: Annotated[
        list[str] | None,
        typer.Option(
            "--absent",
            metavar="NAME",
            help="A correction: was not there; may be given again.",
            autocompletion=students_known,
        ),
    ] = None,
    group: GroupOption = None,
    on: DateOption = None,
    sure: SureOption = False,
    book: BookOption = None,
) -> None:
    """Log who was there: named, typed in, or from a table.

    Students of the group whom you do not name were absent. A table has the columns date, student and
    present (yes or no); --preview only shows it. To correct one student later, and leave all others as they
    are, give --present or --absent.
    """
    from coachbook.workflows.evening_to_log import class_list, doubt_of_groups, who_was_there
    from coachbook.workflows.log_from_tables import attendance_from_table
    from coachbook.workflows.members import open_club

    if (came or missing) and (present or table is not None):
        raise CoachbookError(
            "Log a whole evening or correct some students, not both.",
            "Give --present and --absent without names or a table.",
        )
    check_preview_of_table(table, preview=preview)
    opened = open_club(book)
    if came or missing:
        _put_right(opened, group, came or [], missing or [], today(on))
        return
    if table is not None:
        now = datetime.now(UTC)
        logged = attendance_from_table(opened, table, today(None), now, preview=preview, sure=sure)
        stop_if_any(logged.problems)
        if preview:
            _show_attendance(logged.attendance)
        tell_kept(logged.entry)
        return
    name, students = class_list(opened, group)
    told = who_was_there(opened, group, present) if present else {}
    doubt = doubt_of_groups(opened, today(on), today(None), [name])
    day = settled_day(on, doubt, sure=sure)
    if present:
        absent = _asked_about(opened, [student for student, here in told.items() if not here], day)
        _keep_attendance(opened, name, {student: student not in absent for student in told}, day)
    else:
        _type_attendance(opened, name, students, day)


def _show_attendance(marks: "Sequence[Attendance]") -> None:
    show_table(
        ("Date", "Student", "Present"),
        [(str(each.on), each.student, "yes" if each.present else "no") for each in marks],
    )


def _type_attendance(book: "Book", group: str, students: tuple[str, ...], on: date) -> None:
    from coachbook.cli.talking import doing, taken_up, talk
    from coachbook.club.draft import Typed
    from coachbook.workflows.attendance_conversation import Absences
    from coachbook.workflows.care import before_typing
    from coachbook.workflows.evening_log import answers_that_evening
    from coachbook.workflows.typed_answers import evening_aside

    found = evening_aside(book, on, [group])
    lines = taken_up(book, [line for line in found if line.what is Typed.ABSENT])
    before_typing(book, datetime.now(UTC))
    absences = Absences(
        group=group,
        on=on,
        students=students,
        answered=answers_that_evening(book, students, on),
        waiting=lines[0].text if lines else None,
        tells_changes=True,
    )
    talk(absences, doing(book))


def _keep_attendance(book: "Book", group: str, present: "dict[str, bool]", on: date) -> None:
    """Keep a whole evening, and say of whom something else was logged before."""
    from coachbook.cli.talking import doing, show
    from coachbook.workflows.attendance_conversation import AttendanceNamed
    from coachbook.workflows.effects import drive

    drive(AttendanceNamed(group=group, present=present, on=on).begun(), doing(book), show)


def _put_right(book: "Book", group: str | None, came: list[str], missing: list[str], on: date) -> None:
    from coachbook.wording.conversations import names_or_nobody
    from coachbook.workflows.evening_log import put_right

    now = put_right(book, group, came, _asked_about(book, missing, on), on, datetime.now(UTC))
    tell_kept(now.entry)
    typer.echo(
        f"There on {shown_day(on)}: {names_or_nobody(now.there)}. Absent: {names_or_nobody(now.away)}."
    )
    if now.entry is not None:
        typer.echo("All others are as they were. To take it back: coachbook log undo")


def _asked_about(book: "Book", absent: list[str], on: date) -> list[str]:
    """Those who are to count as absent; at a terminal the coach is asked about who has answers."""
    from coachbook.cli.talking import doing, talk
    from coachbook.workflows.attendance_conversation import still_absent
    from coachbook.workflows.evening_log import answers_that_evening

    if not can_ask():
        return absent
    answered = answers_that_evening(book, absent, on)
    return list(talk(still_absent(tuple(answered), answered), doing(book)).absent)
