"""What a move of the class does in a demonstration, beside the lesson's own move: by the claims that the
lesson's sentences make, by the tables, and by the unit's method."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum, auto

import chess

from coachbook.endgame.probe import Result, probe
from coachbook.exercises.show_claims import Moment, box_of, is_true, moments_of
from coachbook.exercises.turns import Turn, find_slip, student_turn
from coachbook.method.rules import Method
from coachbook.model.shown_claims import ShownClaim, claims_in, read_claim
from coachbook.model.syllabus import Goal, Show

_ALWAYS = ("mate", "stalemate")
_IN_THE_VERDICT = ("draw", "mate in N")


class Verdict(StrEnum):
    """What becomes of the goal: the lesson's own move; one that the rule allows, too; one that keeps it while
    the rule says another; one that keeps it where no rule decides; one that throws it away; one that leaves a
    man to be taken though the goal stays."""

    LESSONS = auto()
    BY_RULE = auto()
    OFF_RULE = auto()
    KEEPS = auto()
    THROWN = auto()
    MAN_LOST = auto()


@dataclass(frozen=True, slots=True)
class ClassMove:
    """A move that somebody called out: in SAN, what is true of it in the lesson's words, and what becomes of
    the `goal`. `rule` are the short words of the rule that decides there, `slip` what goes wrong; else ""."""

    san: str
    claims: tuple[ShownClaim, ...]
    goal: Goal
    verdict: Verdict
    rule: str = ""
    slip: str = ""


def class_move(show: Show, at: int, move: chess.Move, method: Method | None) -> ClassMove:
    """What a legal move does in place of the move `at` (from 0) of a line. Its side is to win if it can, and
    else to hold the draw."""
    lessons = moments_of(show)[at]
    moment, board = replace(lessons, move=move), lessons.before
    goal = Goal.WIN if probe(board).result is Result.WIN else Goal.DRAW
    turn = student_turn(1, board, move, goal, method if board.turn == lessons.student else None)
    slip, told = find_slip([turn])
    verdict = _verdict(turn, is_lessons=move == lessons.move, is_slip=bool(slip))
    return ClassMove(
        san=turn.played.san,
        claims=tuple(
            each for each in _true_claims(moment, show) if turn.keeps or each.form != "outside the square"
        ),
        goal=goal,
        verdict=verdict,
        rule=turn.ruled[0].rule if verdict is Verdict.OFF_RULE else "",
        slip=told.comment if slip and told is not None else "",
    )


def _verdict(turn: Turn, *, is_lessons: bool, is_slip: bool) -> Verdict:
    if is_lessons:
        return Verdict.LESSONS
    if is_slip:
        return Verdict.THROWN if turn.throws else Verdict.MAN_LOST
    if not turn.ruled:
        return Verdict.KEEPS
    return Verdict.BY_RULE if turn.by_rule else Verdict.OFF_RULE


def _true_claims(moment: Moment, show: Show) -> Iterator[ShownClaim]:
    """Of the forms that the line's sentences use, what is true of the move; each once."""
    seen = set[ShownClaim]()
    for form in (*_ALWAYS, *dict.fromkeys(each.form for each in _said(show))):
        for claim in _of_form(form, moment, _said(show)):
            if claim not in seen and form not in _IN_THE_VERDICT:
                seen.add(claim)
                yield claim


def _said(show: Show) -> list[ShownClaim]:
    found = (read_claim(text) for move in show.line for text in claims_in(move.words))
    return [claim for claim in found if claim is not None]


def _of_form(form: str, moment: Moment, said: Iterable[ShownClaim]) -> Iterator[ShownClaim]:
    """What can be claimed of a move in a form: its own numbers in the place of the line's."""
    if form in ("box N to N", "box N"):
        before, after = box_of(moment.before), box_of(moment.after)
        if before is not None and after is not None:
            yield ShownClaim("box N to N", (str(before), str(after)))
    elif form == "squares N":
        if moment.after.turn != moment.student and not moment.after.is_game_over():
            kings = moment.after.generate_legal_moves(moment.after.kings)
            yield ShownClaim(form, (str(sum(1 for _ in kings)),))
    elif "MOVE" not in form:
        yield from (each for each in said if each.form == form and _is_done(each, moment))
        if form in _ALWAYS and is_true(ShownClaim(form), moment):
            yield ShownClaim(form)


def _is_done(claim: ShownClaim, moment: Moment) -> bool:
    """Whether a claim is true of the move; what a man guards or attacks, only if it is this man that
    moved."""
    if claim.form.startswith("MAN") and claim.given[0] != _moved(moment):
        return False
    return is_true(claim, moment)


def _moved(moment: Moment) -> str:
    return chess.piece_name(moment.before.piece_type_at(moment.move.from_square) or chess.PAWN)
