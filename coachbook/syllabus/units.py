"""Reads one unit's table of a level file."""

import re
from dataclasses import dataclass

from coachbook.model.syllabus import ClassQuestion, Goal, KindUse, PlayOut, SecureRule, Unit
from coachbook.syllabus.fields import Fields
from coachbook.syllabus.positions import position_mistake

_ENDING = re.compile(r"KQ*R*B*N*P*KQ*R*B*N*P*")
_MINUTES = (5, 600)
_DIFFICULTY = (1, 100)
_MOST_MOVES = 50  # Laws of Chess 9.3: after 50 moves by each side a draw may be claimed


@dataclass(frozen=True, slots=True)
class KnownNames:
    """Names that exist elsewhere in coachbook; None where any name is accepted."""

    kinds: frozenset[str] | None = None
    methods: frozenset[str] | None = None


def take_unit(fields: Fields, level: int, known: KnownNames) -> Unit:
    """The unit in this table; mistakes are noted in `fields`, with empty values in their place."""
    endings = _take_endings(fields)
    goal = _take_goal(fields, "demonstration_goal")
    unit = Unit(
        code=fields.take_code("code"),
        title=fields.take_text("title"),
        level=level,
        prerequisites=fields.take_texts("prerequisites", at_least=0),
        aim=fields.take_text("aim"),
        endings=endings,
        method=_take_method(fields, known.methods),
        demonstration=_take_position(fields, "demonstration", endings, goal),
        say=fields.take_texts("say", at_least=1),
        questions=tuple(_take_question(each) for each in fields.take_tables("question", at_least=1)),
        slips=fields.take_texts("slips", at_least=1),
        kinds=_take_kinds(fields, known.kinds),
        play_outs=(
            play_outs := tuple(
                _take_play_out(each, endings) for each in fields.take_tables("play_out", at_least=0)
            )
        ),
        minutes=fields.take_int("minutes", *_MINUTES),
        secure=_take_secure_rule(fields.take_table("secure"), play_outs),
        ahead=fields.take_texts("ahead", at_least=0),
        behind=fields.take_texts("behind", at_least=0),
        demonstration_goal=goal,
    )
    fields.close()
    return unit


def _take_endings(fields: Fields) -> tuple[str, ...]:
    """The endings that are well written: positions are not measured against the others."""
    endings = fields.take_texts("endings", at_least=1)
    wrong = [ending for ending in endings if not _ENDING.fullmatch(ending)]
    for ending in wrong:
        fields.note("endings", f"'{ending}' is no ending; write the men by value: KQK, KRRK, KPK")
    return tuple(ending for ending in endings if ending not in wrong)


def _take_method(fields: Fields, known: frozenset[str] | None) -> str:
    method = fields.take_optional_text("method")
    if method and known is not None and method not in known:
        fields.note("method", f"there is no method '{method}'; known are: {', '.join(sorted(known))}")
    return method


def _take_goal(fields: Fields, key: str) -> Goal:
    """What the side to move is to reach: a win, if nothing is said."""
    word = fields.take_optional_text(key)
    if word not in ("", *Goal):
        fields.note(key, f"expected {' or '.join(Goal)}, not '{word}'")
        return Goal.WIN
    return Goal(word or Goal.WIN)


def _take_position(fields: Fields, key: str, endings: tuple[str, ...], goal: Goal) -> str:
    fen = fields.take_text(key)
    mistake = position_mistake(fen, endings, goal) if fen else ""
    if mistake:
        fields.note(key, mistake)
    return fen


def _take_question(fields: Fields) -> ClassQuestion:
    question = ClassQuestion(ask=fields.take_text("ask"), expect=fields.take_text("expect"))
    fields.close()
    return question


def _take_kinds(fields: Fields, known: frozenset[str] | None) -> tuple[KindUse, ...]:
    uses: list[KindUse] = []
    for each in fields.take_tables("kind", at_least=1):
        use = _take_kind(each, known)
        if use.kind and use.kind in [earlier.kind for earlier in uses]:
            each.note("kind", f"'{use.kind}' is there twice in this unit")
        uses.append(use)
    return tuple(uses)


def _take_kind(fields: Fields, known: frozenset[str] | None) -> KindUse:
    use = KindUse(
        kind=fields.take_text("kind"),
        easiest=fields.take_int("easiest", *_DIFFICULTY),
        hardest=fields.take_int("hardest", *_DIFFICULTY),
    )
    if use.kind and known is not None and use.kind not in known:
        fields.note("kind", f"there is no kind '{use.kind}'; known are: {', '.join(sorted(known))}")
    if use.hardest and use.easiest > use.hardest:
        fields.note("easiest", f"{use.easiest} is more than hardest, which is {use.hardest}")
    fields.close()
    return use


def _take_play_out(fields: Fields, endings: tuple[str, ...]) -> PlayOut:
    goal = _take_goal(fields, "goal")
    play_out = PlayOut(
        fen=_take_position(fields, "fen", endings, goal),
        allowance=fields.take_int("allowance", 1, _MOST_MOVES),
        goal=goal,
    )
    fields.close()
    return play_out


def _take_secure_rule(fields: Fields, play_outs: tuple[PlayOut, ...]) -> SecureRule:
    rule = SecureRule(
        evenings=fields.take_int("evenings", 1, 20),
        items=fields.take_int("items", 1, 50),
        share=fields.take_share("share"),
        play_outs=fields.take_optional_int("play_outs", 0, 20),
    )
    if rule.play_outs and not play_outs:
        fields.note("play_outs", "the unit has no play_out to ask for")
    fields.close()
    return rule
