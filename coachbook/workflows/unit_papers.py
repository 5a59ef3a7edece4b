"""The papers of a unit: its lesson plan, its poster for the wall, its play-out cards."""

from datetime import date
from pathlib import Path

import chess

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.method.border import choose, fits
from coachbook.method.methods import course_for, find_method
from coachbook.method.moves import Aim
from coachbook.method.rules import Method
from coachbook.method.stages import staged
from coachbook.method.written_plan import find_length
from coachbook.model.play_outs import PlayOutCard, card_code
from coachbook.model.position import Arrow, Marks, Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import LessonSheet, RuleInWords
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import Slot
from coachbook.model.worksheet import Fact, Plan
from coachbook.paper.flow import CaptionedBoard
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.poster import poster_pdf
from coachbook.workflows.endings import method_named, proof_line, shipped_proofs
from coachbook.workflows.members import named_group, planned_session, term_at
from coachbook.workflows.papers import file_name_of, put_in_folder
from coachbook.workflows.written_plans import method_or_computed

_MOST_BOARDS = 5


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
    plan = method_or_computed(chess.Board(unit.demonstration), method)
    return LessonSheet(
        unit=unit,
        level_title=syllabus.level_of(unit).title,
        club=club,
        group=group,
        on=on,
        slots=slots,
        demonstration=plan,
        demonstration_boards=turning_points(plan),
        rules=rules_in_words(method) if method else stages_in_words(unit),
        proof_line=proof_line(unit.method) or stages_line(unit),
        at=at,
        titles=syllabus.titles,
    )


def rules_in_words(method: Method) -> tuple[RuleInWords, ...]:
    """A method's rules in the order in which a child learns them, with the words to tick on a worksheet."""
    return tuple(RuleInWords(method.number_of(rule), rule.words, rule.name) for rule in method.told)


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
        f"From every won position each stage can be forced: in at most {longest} moves (best play needs"
        f" at most {figures.optimum} in all). The lines are computed, not found by rules."
    )


def turning_points(plan: Plan) -> tuple[tuple[Position, Marks, str], ...]:
    """The first position, those in which another rule takes over, and the last: with the move to come."""
    board = chess.Board(plan.start.fen)
    boards: list[tuple[int, tuple[Position, Marks, str]]] = []
    turns, last_rule = list[int](), ("", tuple[tuple[str, Fact], ...]())
    for number, step in enumerate(plan.steps, start=1):
        move = board.parse_san(step.move)
        marks = Marks(arrows=(Arrow(move.from_square, move.to_square),))
        boards.append((number, (Position(board.fen()), marks, f"{number}. {step.move}: {step.rule.words}")))
        if (step.rule.code, step.rule.facts) != last_rule:
            turns.append(number)
            last_rule = step.rule.code, step.rule.facts
        board.push(move)
        if step.reply:
            board.push_san(step.reply)
    chosen = sorted({*turns[: _MOST_BOARDS - 1], len(plan.steps)})
    spread = _spread_over(len(plan.steps))
    for number in spread:
        if len(chosen) >= min(_MOST_BOARDS, len(plan.steps)):
            break
        chosen = sorted({*chosen, number})
    return tuple(board for number, board in boards if number in chosen)


def _spread_over(steps: int) -> list[int]:
    """Numbers of steps, evenly spread, to fill up with where few rules take turns."""
    return [1 + round(index * (steps - 1) / _MOST_BOARDS) for index in range(_MOST_BOARDS)]


def make_poster(syllabus: Syllabus, name: str, folder: Path, options: PaperOptions) -> Path:
    """Print the poster of the method with this name. Raises CoachbookError if there is none, its rules do not
    fit on a page, or the file cannot be written."""
    method = method_named(name)
    path = folder / f"poster-{method.name}.pdf"
    rules, boards = rules_in_words(method), poster_boards(syllabus, method)
    put_in_folder(path, poster_pdf(method.title, method.summary, rules, boards, proof_line(name), options))
    return path


def poster_boards(syllabus: Syllabus, method: Method) -> tuple[CaptionedBoard, ...]:
    """The demonstration of the first unit that teaches the method, and the position with the longest way
    of all that are proven; of a method that holds a draw, where there is no such length, one more.

    Each with a move of the method as an arrow, and the most moves that the method takes from there.
    Without a unit or a proof there is no such board, nor is one shown from which the method is not proven.
    """
    unit = next((unit for unit in syllabus.units if unit.method == method.name), None)
    first = _captioned("To begin with", chess.Board(unit.demonstration), None, method) if unit else None
    return tuple(board for board in (first, _hardest(method)) if board is not None)


def _hardest(method: Method) -> CaptionedBoard | None:
    """Where the longest line of the proofs begins, with its first move."""
    proofs = shipped_proofs(method.name)
    if not proofs:
        return None
    proof = max(proofs, key=lambda each: each.longest)
    caption = (
        "The hardest of all" if all(each.is_complete for each in proofs) else "The hardest that is proven"
    )
    caption = "Another one" if method.aim is Aim.DRAW else caption
    move = chess.Move.from_uci(proof.hardest.moves[0])
    return _captioned(caption, chess.Board(proof.hardest.fen), move, method)


def _captioned(
    caption: str, board: chess.Board, move: chess.Move | None, method: Method
) -> CaptionedBoard | None:
    """The board with a move of the method (the first by name, if none is given) and what it comes to.

    None where the method is not proven from there.
    """
    most = find_length(board, method) if fits(board, method) else None
    if most is None:
        return None
    chosen = choose(board, method)
    shown = move or chosen.moves[0]
    rule = chosen.rule.name if chosen.rule else ""
    moves = "1 move" if most == 1 else f"{most} moves"
    outcome = "it is a draw" if method.aim is Aim.DRAW else f"{method.aim} in at most {moves}"
    marks = Marks(arrows=(Arrow(shown.from_square, shown.to_square),))
    return Position(board.fen()), marks, f"{caption}: {board.san(shown)}, {rule}. By these rules {outcome}."


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
    cards = unit_cards(unit, book.club_name, named, for_two=for_two)
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
    return f"Near it these have: {listed}{f'; and then {others}' if others else ''}."


def unit_cards(
    unit: Unit, club: str, students: tuple[str, ...], *, for_two: bool = False
) -> tuple[PlayOutCard, ...]:
    """The cards in printed order. The student has the side that is to move."""
    return tuple(
        PlayOutCard(
            code=card_code(unit.code, number),
            club=club,
            unit_title=unit.title,
            level=unit.level,
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
