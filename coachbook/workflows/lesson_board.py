"""The lesson board: a unit's demonstration step by step, and what a move of the class does there."""

from dataclasses import dataclass

from coachbook.endgame.probe import after_move
from coachbook.errors import CoachbookError
from coachbook.exercises.class_moves import ClassMove, Verdict, class_move
from coachbook.exercises.show_claims import moments_of
from coachbook.method.methods import find_method
from coachbook.model.position import Marks, Position
from coachbook.model.syllabus import Show, Unit
from coachbook.paper.text import notated
from coachbook.wording.show_sentences import (
    allowed_by_rule,
    call_for_a_move,
    claim_in_words,
    claims_told,
    good_enough,
    lessons_move,
    off_the_rule,
    thrown_away,
)
from coachbook.workflows.board_moves import move_marked, read_legal_move, read_one_move


@dataclass(frozen=True, slots=True)
class AskedClass:
    """The question to the class at a moment of a line, and the answer to a move that was called out: the
    position after it with the move marked, its name and what is said of it; `move` is "" before one is."""

    question: str
    position: Position
    marks: Marks
    move: str = ""
    told: tuple[str, ...] = ()
    is_lessons: bool = False


def ask_class(unit: Unit, line: int, at: int, letters: str, uci: str = "", written: str = "") -> AskedClass:
    """What would the class play in place of the move `at` (from 0) of a line (from 1) of a unit? The move
    comes by the board (`uci`) or in writing, with these letters for the men (see `PaperOptions`).

    Raises CoachbookError if there is no such move in the line, or what comes is no legal move.
    """
    show = _show(unit, line, at)
    board = moments_of(show)[at].before
    question = call_for_a_move(white=board.turn)
    if not (uci or written):
        return AskedClass(question, Position(board.fen()), Marks())
    move = read_legal_move(board, uci) if uci else read_one_move(board, written, letters)
    found = class_move(show, at, move, find_method(unit.method))
    after = after_move(board, move)
    return AskedClass(
        question=question,
        position=Position(after.fen()),
        marks=move_marked(move),
        move=notated(found.san, letters),
        told=tuple(notated(each, letters) for each in _told(found) if each),
        is_lessons=found.verdict is Verdict.LESSONS,
    )


def _show(unit: Unit, line: int, at: int) -> Show:
    if not 1 <= line <= len(unit.shows) or not 0 <= at < len(unit.shows[line - 1].line):
        raise CoachbookError("This line has no such move.", "Go back to the page of its unit.")
    return unit.shows[line - 1]


def _told(found: ClassMove) -> list[str]:
    return [claims_told([claim_in_words(each) for each in found.claims]), _verdict(found)]


def _verdict(found: ClassMove) -> str:
    if found.verdict is Verdict.LESSONS:
        return lessons_move()
    if found.verdict is Verdict.THROWN:
        return thrown_away(found.goal, found.slip)
    if found.verdict is Verdict.MAN_LOST:
        return found.slip
    if found.verdict is Verdict.OFF_RULE:
        return off_the_rule(found.goal, found.rule)
    is_by_rule = found.verdict is Verdict.BY_RULE
    return allowed_by_rule(found.goal) if is_by_rule else good_enough(found.goal)
