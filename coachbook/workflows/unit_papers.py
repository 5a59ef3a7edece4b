"""The papers of a unit: its lesson plan, and its play-out cards."""

from datetime import date
from pathlib import Path

import chess

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import derived_seed, make_example
from coachbook.exercises.kinds import find_kind
from coachbook.method.methods import course_for, find_method
from coachbook.method.rules import Method
from coachbook.method.stages import staged
from coachbook.model.play_outs import PlayOutCard, card_code
from coachbook.model.position import Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import LessonSheet, RuleInWords, ShownLine, ShownStep
from coachbook.model.shown_claims import read_claim
from coachbook.model.syllabus import Goal, Show, Syllabus, Unit
from coachbook.model.term_plan import Slot, SlotKind
from coachbook.model.worksheet import Exercise
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.wording.definitions import DEFINITIONS, definitions_of_card
from coachbook.wording.show_sentences import claim_in_words, show_task, shown_words
from coachbook.workflows.endings import proof_line
from coachbook.workflows.members import named_group, planned_session, term_at
from coachbook.workflows.papers import file_name_of, put_in_folder


def print_lesson(
    book: Book, syllabus: Syllabus, unit: Unit, group: str, on: date, path: Path, options: PaperOptions
) -> None:
    """Write the lesson plan of a unit as PDF. Raises CoachbookError for an unknown group, and if the file
    cannot be written."""
    with book.reading() as tx:
        session = planned_session(tx, group, on)
        plan = term_at(tx, group, on).plan if session else None
    slots = session.slots if session and any(slot.unit == unit.code for slot in session.slots) else ()
    lesson = lesson_sheet(syllabus, unit, book.club_name, group, on, slots, plan.at if plan else "")
    put_in_folder(path, lesson_pdf(lesson, options))


def make_lesson(
    book: Book,
    syllabus: Syllabus,
    unit: Unit,
    group: str | None,
    on: date,
    folder: Path,
    options: PaperOptions,
) -> Path:
    """Write the lesson plan of a unit into a folder and return its path. Raises CoachbookError for an unknown
    group, and if the file cannot be written."""
    with book.reading() as tx:
        name = named_group(tx, group).name if group is not None else ""
    path = folder / f"lesson-{unit.code}-{on}.pdf"
    print_lesson(book, syllabus, unit, name, on, path, options)
    return path


def lesson_sheet(
    syllabus: Syllabus,
    unit: Unit,
    club: str,
    group: str,
    on: date,
    slots: tuple[Slot, ...],
    at: str = "",
) -> LessonSheet:
    """Everything that the lesson plan of a unit shows."""
    method = find_method(unit.method)
    return LessonSheet(
        unit=unit,
        level_title=syllabus.level_of(unit).title,
        club=club,
        group=group,
        on=on,
        slots=slots or usual_slots(unit),
        shows=shown_lines(unit),
        homework=homework(unit, on),
        rules=rules_in_words(method) if method else stages_in_words(unit),
        proof_line=proof_line(unit.method) or stages_line(unit),
        definitions=tuple(DEFINITIONS[code] for code in definitions_of_card(unit.method)),
        at=at,
        titles=syllabus.titles_in_plans,
        new_kinds=new_kinds(syllabus, unit),
    )


def new_kinds(syllabus: Syllabus, unit: Unit) -> tuple[str, ...]:
    """The kinds of exercise of a unit that no unit before it in the syllabus has, in its order."""
    before = syllabus.units[: syllabus.units.index(unit)]
    known = {use.kind for earlier in before for use in earlier.kinds}
    return tuple(dict.fromkeys(use.kind for use in unit.kinds if use.kind not in known))


def rules_in_words(method: Method) -> tuple[RuleInWords, ...]:
    """A method's rules in the order in which a child learns them, with the words to tick on a worksheet."""
    return tuple(RuleInWords(method.number_of(rule), rule.card_words, rule.name) for rule in method.told)


def stages_in_words(unit: Unit) -> tuple[RuleInWords, ...]:
    """The goals of an ending that is taught in stages; none for another."""
    course = course_for(chess.Board(unit.demonstration))
    stages = course.stages if course else ()
    return tuple(RuleInWords(number, stage.goal) for number, stage in enumerate(stages, start=1))


def stages_line(unit: Unit) -> str:
    """How long each stage of such an ending takes at most; "" for another."""
    course = course_for(chess.Board(unit.demonstration))
    if course is None:
        return ""
    figures = staged(course).figures
    longest = ", ".join(str(stage.longest) for stage in figures.stages)
    return (
        f"From every won position each stage can be forced: in at most {longest} moves (the quickest way"
        f" needs at most {figures.optimum} in all). The lines are computed, not found by rules."
    )


_SHARES = ((SlotKind.NEW, 0.4), (SlotKind.PRACTICE, 0.35), (SlotKind.PLAY_OUT, 0.25))
"""Of a unit's minutes; common practice, no source."""


def usual_slots(unit: Unit) -> tuple[Slot, ...]:
    """How the minutes of a unit are shared that is in no plan, in steps of five; a unit without play-outs has
    more practice."""
    shares = _SHARES if unit.play_outs else _SHARES[:2]
    slots, left = list[Slot](), unit.minutes
    for kind, share in shares[:-1]:
        minutes = 5 * max(1, round(unit.minutes * share / 5))
        slots.append(Slot(kind, "", minutes))
        left -= minutes
    return (*slots, Slot(shares[-1][0], "", left)) if left > 0 else tuple(slots)


def homework(unit: Unit, on: date) -> Exercise | None:
    """An exercise of the unit to take home, another one each day; None where there is none left."""
    uses = [use for use in unit.kinds if not find_kind(use.kind).reads_card]
    use = uses[on.toordinal() % len(uses)] if uses else unit.kinds[0]
    return make_example(unit, use, derived_seed(on.toordinal(), unit.code, "homework"), frozenset(), ())


def shown_lines(unit: Unit) -> tuple[ShownLine, ...]:
    """What is played out for the class; of a unit without such a line its position alone."""
    return tuple(_shown_line(show, unit.demonstration_goal) for show in unit.shows) or (_set_up(unit),)


def _set_up(unit: Unit) -> ShownLine:
    start = Position(unit.demonstration)
    return ShownLine(start, show_task(unit.demonstration, unit.demonstration_goal), (), start, "")


def _shown_line(show: Show, goal: Goal) -> ShownLine:
    board, steps = chess.Board(show.fen), list[ShownStep]()
    for shown in show.line:
        number = f"{board.fullmove_number}{'.' if board.turn else '...'}"
        steps.append(ShownStep(number, shown.san, shown_words(shown.words)))
        board.push_san(shown.san)
    claim = read_claim(show.until)
    ends = claim_in_words(claim) if claim else ""
    return ShownLine(Position(show.fen), show_task(show.fen, goal), tuple(steps), Position(board.fen()), ends)


_NEAREST = 3
"""Of so many units with cards the title is named, too, where a unit has none."""


def make_cards(
    book: Book,
    syllabus: Syllabus,
    unit: Unit,
    students: tuple[str, ...],
    folder: Path,
    options: PaperOptions,
    *,
    for_two: bool = False,
) -> tuple[Path, int]:
    """Print the cards of a unit, all positions for each student in turn; without students one of each
    with a blank name line. Those `for_two` have no names, and are as many as the students need who play
    each other. Returns the file and how many cards are in it.

    Raises CoachbookError if the unit has no play-out.
    """
    named = ("",) * -(-len(students) // 2) if for_two else students
    cards = unit_cards(syllabus, unit, book.club_name, named, for_two=for_two)
    if not cards:
        raise CoachbookError(
            f"The unit {unit.code} has no position to play out.", _units_with_cards(syllabus, unit)
        )
    whose = "-for-two" if for_two else f"-{file_name_of(book, students[0])}" if len(students) == 1 else ""
    path = folder / f"cards-{unit.code}{whose}.pdf"
    put_in_folder(path, cards_pdf(cards, options))
    return path, len(cards)


def _units_with_cards(syllabus: Syllabus, unit: Unit) -> str:
    """The nearest by code and title, then the codes of all others, in the order of the syllabus."""
    codes = [each.code for each in syllabus.units]
    here = codes.index(unit.code)
    known = [each for each in syllabus.units if each.play_outs]
    if not known:
        return "No unit has one: add a play_out in the syllabus."
    by_distance = sorted(known, key=lambda each: abs(codes.index(each.code) - here))
    nearest = [each for each in known if each in by_distance[:_NEAREST]]
    listed = ", ".join(f"{each.code} ({each.title})" for each in nearest)
    others = ", ".join(each.code for each in known if each not in nearest)
    return f"Near it, these have one: {listed}{f'; and then {others}' if others else ''}."


def unit_cards(
    syllabus: Syllabus, unit: Unit, club: str, students: tuple[str, ...], *, for_two: bool = False
) -> tuple[PlayOutCard, ...]:
    """The cards in printed order. The student has the side that is to move."""
    return tuple(
        PlayOutCard(
            code=card_code(unit.code, number),
            club=club,
            unit_title=unit.title,
            level_title=syllabus.level_of(unit).title,
            position=position,
            white=position.white_to_move,
            allowance=play_out.allowance,
            goal=play_out.goal,
            student=student,
            for_two=for_two,
        )
        for student in students or ("",)
        for number, play_out in enumerate(unit.play_outs, start=1)
        for position in [Position(play_out.fen)]
    )
