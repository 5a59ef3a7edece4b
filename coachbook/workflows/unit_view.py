"""A unit for a screen: what its lesson says and asks, its lines move by move, its rules with pictures."""

from dataclasses import dataclass

from coachbook.errors import CoachbookError
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.show_claims import marks_of, moments_of
from coachbook.method.methods import find_method
from coachbook.model.position import Marks, Position
from coachbook.model.printed import RuleInWords, ShownLine
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.paper.text import notated
from coachbook.wording.definitions import DEFINITIONS, definitions_of_card
from coachbook.wording.people import play_out_task, secure_in_words
from coachbook.wording.show_sentences import set_up
from coachbook.workflows.endings import proof_line
from coachbook.workflows.posters import aim_pictures, rule_pictures
from coachbook.workflows.unit_papers import rules_in_words, shown_lines, stages_in_words, stages_line


@dataclass(frozen=True, slots=True)
class ShownQuestion:
    """A question with the answer to expect, the likely wrong one with the reply ("" for none), and the
    position that it is about, None for the one on the board."""

    ask: str
    expect: str
    wrong: str
    reply: str
    position: Position | None


@dataclass(frozen=True, slots=True)
class UnitView:
    """A unit with all that its lesson needs, moves with the club's letters.

    `after` are the units before it, by code and title; `kinds` its exercises, by code and what they ask;
    `play_outs` the positions to play out, each with its task.
    """

    unit: Unit
    level_title: str
    after: tuple[tuple[str, str], ...]
    shows: tuple[ShownLine, ...]
    say: tuple[str, ...]
    questions: tuple[ShownQuestion, ...]
    rules: tuple[RuleInWords, ...]
    play_outs: tuple[tuple[Position, str], ...]
    kinds: tuple[tuple[str, str], ...]
    secure: str


@dataclass(frozen=True, slots=True)
class ShownMoment:
    """A position of a line that is shown, with what is marked on it; which move led to it ("1. Qd5", "" at
    the start), what is said, and at the end with what the line ends ("" before)."""

    position: Position
    marks: Marks
    move: str
    words: str
    ends: str = ""


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """A rule, or what the rules speak of, under its number or letter; with a board on which it decides, where
    it is met often enough."""

    label: str
    head: str
    words: str
    position: Position | None = None
    marks: Marks | None = None
    caption: str = ""


@dataclass(frozen=True, slots=True)
class ShownRules:
    """The rules of a unit, and the pictures that they speak of; what their words mean, and how they are known
    to work."""

    rules: tuple[ShownPicture, ...]
    pictures: tuple[ShownPicture, ...]
    means: tuple[str, ...]
    proof: str


def unit_view(syllabus: Syllabus, code: str, letters: str) -> UnitView:
    """The unit of a code, with these letters for the men (see `PaperOptions`). Raises CoachbookError for an
    unknown one."""
    unit = syllabus.unit(code)
    return UnitView(
        unit=unit,
        level_title=syllabus.level_of(unit).title,
        after=tuple((each, syllabus.unit(each).title) for each in unit.prerequisites),
        shows=shown_lines(unit),
        say=tuple(notated(said, letters) for said in unit.say),
        questions=_questions(unit, letters),
        rules=_rules(unit),
        play_outs=tuple((Position(each.fen), play_out_task(each)) for each in unit.play_outs),
        kinds=tuple((use.kind, find_kind(use.kind).title) for use in unit.kinds),
        secure=secure_in_words(unit.secure),
    )


def shown_moments(unit: Unit, line: int, letters: str) -> tuple[ShownMoment, ...]:
    """A line of a unit (from 1) from its start, move by move. Raises CoachbookError if there is no such
    line."""
    lines = shown_lines(unit)
    if not 1 <= line <= len(lines):
        raise CoachbookError(f"{unit.title} shows no such line.", "Go back to its page.")
    shown = lines[line - 1]
    found = [ShownMoment(shown.start, Marks(), "", f"{set_up(shown.start)} {shown.task}")]
    show = unit.shows[line - 1] if unit.shows else None
    moves = zip(moments_of(show), show.line, shown.steps, strict=True) if show is not None else ()
    for at, (moment, move, step) in enumerate(moves, start=1):
        told = notated(f"{step.number} {step.san}", letters)
        words, ends = notated(step.words, letters), shown.ends if at == len(shown.steps) else ""
        found.append(
            ShownMoment(Position(moment.after.fen()), marks_of(move.words, moment), told, words, ends)
        )
    return tuple(found)


def shown_rules(unit: Unit, letters: str) -> ShownRules:
    """The rules of a unit with pictures. Raises CoachbookError if it has none."""
    rules, method = _rules(unit), find_method(unit.method)
    if not rules:
        raise CoachbookError(f"{unit.title} has no rules of its own.", "Go back to its page.")
    pictures = rule_pictures(method) if method else ()
    boards = {picture.label: picture.board for picture in pictures}
    aims = aim_pictures(method) if method else ()
    return ShownRules(
        rules=tuple(
            _picture(f"{rule.number}", rule.head, rule.words, boards.get(f"{rule.number}"), letters)
            for rule in rules
        ),
        pictures=tuple(_picture(aim.label, aim.head, aim.words, aim.board, letters) for aim in aims),
        means=tuple(DEFINITIONS[code] for code in definitions_of_card(unit.method)),
        proof=notated(proof_line(unit.method) or stages_line(unit), letters),
    )


def _rules(unit: Unit) -> tuple[RuleInWords, ...]:
    method = find_method(unit.method)
    return rules_in_words(method) if method else stages_in_words(unit)


def _picture(
    label: str, head: str, words: str, board: tuple[Position, Marks, str] | None, letters: str
) -> ShownPicture:
    told = notated(words, letters)
    if board is None:
        return ShownPicture(label, head, told)
    position, marks, caption = board
    return ShownPicture(label, head, told, position, marks, notated(caption, letters))


def _questions(unit: Unit, letters: str) -> tuple[ShownQuestion, ...]:
    return tuple(
        ShownQuestion(
            ask=notated(each.ask, letters),
            expect=notated(each.expect, letters),
            wrong=notated(each.wrong, letters),
            reply=notated(each.reply, letters),
            position=Position(each.fen) if each.fen else None,
        )
        for each in unit.questions
    )
