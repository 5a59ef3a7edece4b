"""What holds within a unit beyond each single value, and between units.

All is read from tables as TOML holds them, with None for what is known to be wrong.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import chess

from coachbook.errors import CoachbookError
from coachbook.model.known_themes import THEMES
from coachbook.model.position import Position
from coachbook.model.problem import Problem
from coachbook.model.shown_claims import CLAIM_FORMS, claims_in, read_claim
from coachbook.model.syllabus import Goal
from coachbook.wording.method_words import RULES

_LISTS_OF_TEXTS = ("prerequisites", "endings", "say", "slips", "ahead", "behind")
Mistake = tuple[str, str]
"""A key below the unit, and what is wrong there."""


@dataclass(frozen=True, slots=True)
class KnownNames:
    """Names that exist elsewhere in coachbook; None where any name is accepted."""

    kinds: frozenset[str] | None = None
    methods: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class PlacedUnit:
    """A unit's table with the file and key where it was read; `level` is 0 if that is wrong."""

    table: dict[str, Any]
    level: int
    file: str
    where: str

    @property
    def code(self) -> str:
        return self.table.get("code") or ""

    @property
    def prerequisites(self) -> list[str]:
        return [code for code in self.table.get("prerequisites") or () if code]

    def problem(self, key: str, message: str) -> Problem:
        return Problem(self.file, f"{self.where}.{key}", message)


def within_unit(placed: PlacedUnit, known: KnownNames) -> tuple[Problem, ...]:
    """Texts written twice, unknown names, positions that don't fit, and what contradicts itself."""
    unit = placed.table
    found = [
        *_twice(unit),
        *_of_method(unit, known),
        *_of_positions(unit),
        *_of_shows(unit),
        *_of_questions(unit),
        *_of_kinds(unit, known),
    ]
    asked = (unit.get("secure") or {}).get("play_outs")
    if asked and unit.get("play_out", []) == []:
        found.append(("secure.play_outs", "the unit has no play_out to ask for"))
    return tuple(placed.problem(key, message) for key, message in found)


def _twice(unit: dict[str, Any]) -> Iterator[Mistake]:
    for key in _LISTS_OF_TEXTS:
        texts = unit.get(key) or []
        for place, text in enumerate(texts):
            if text and text in texts[:place]:
                yield f"{key}[{place + 1}]", f"'{text}' is there twice"


def _of_method(unit: dict[str, Any], known: KnownNames) -> Iterator[Mistake]:
    method = unit.get("method")
    if method and known.methods is not None and method not in known.methods:
        yield "method", f"there is no method '{method}'; known are: {', '.join(sorted(known.methods))}"


def _of_positions(unit: dict[str, Any]) -> Iterator[Mistake]:
    """The endings that are well written are those that positions are measured against."""
    endings = tuple(ending for ending in unit.get("endings") or () if ending)
    shown = [("demonstration", unit.get("demonstration"), unit.get("demonstration_goal"))]
    for number, each in enumerate(unit.get("play_out") or (), start=1):
        if each:
            shown.append((f"play_out[{number}].fen", each.get("fen"), each.get("goal")))
    for number, each in enumerate(unit.get("show") or (), start=1):
        if each and each.get("fen"):
            shown.append((f"show[{number}].fen", each["fen"], unit.get("demonstration_goal")))
    for key, fen, goal in shown:
        if fen and (mistake := position_mistake(fen, endings, Goal(goal or Goal.WIN))):
            yield key, mistake


def _of_questions(unit: dict[str, Any]) -> Iterator[Mistake]:
    """Positions that can't be set up, and a likely wrong answer without a reply, or a reply without one."""
    for number, each in enumerate(unit.get("question") or (), start=1):
        question, key = each or {}, f"question[{number}]"
        board = _board_of(question["fen"]) if question.get("fen") else None
        if question.get("fen") and (board is None or not _is_legal(board)):
            yield f"{key}.fen", f"'{question['fen']}' is not a legal position in FEN"
        if bool(question.get("wrong", "")) != bool(question.get("reply", "")):
            yield f"{key}.reply", "a wrong answer needs a reply, and a reply a wrong answer"


def _board_of(fen: str) -> chess.Board | None:
    """The board of a position, legal or not; None if it is none."""
    try:
        Position(fen)
        return chess.Board(fen)
    except (CoachbookError, ValueError):
        return None


def _is_legal(board: chess.Board) -> bool:
    return board.is_valid() and not board.castling_rights


def _of_shows(unit: dict[str, Any]) -> Iterator[Mistake]:
    """Moves that can't be made, and claims that have no form that is known."""
    for number, each in enumerate(unit.get("show") or (), start=1):
        show, key = each or {}, f"show[{number}]"
        texts = [text or "" for text in show.get("line") or ()]
        fen = show.get("fen") or unit.get("demonstration")
        if fen and all(texts) and not position_mistake(fen, ()):
            yield from ((f"{key}.line[{at}]", mistake) for at, mistake in _illegal_move(fen, texts))
        for at, text in enumerate(texts, start=1):
            unknown = [claim for claim in claims_in(text) if read_claim(claim) is None]
            yield from ((f"{key}.line[{at}]", _no_claim(claim)) for claim in unknown)
        if show.get("until") and read_claim(show["until"]) is None:
            yield f"{key}.until", _no_claim(show["until"])


def _illegal_move(fen: str, texts: list[str]) -> Iterator[tuple[int, str]]:
    """The first text whose move can't be made, or isn't written as it should be."""
    board = chess.Board(fen)
    for at, text in enumerate(texts, start=1):
        san = text.partition(" ")[0]
        try:
            move = board.parse_san(san)
        except ValueError:
            side = "White" if board.turn else "Black"
            yield at, f"'{san}' is not a move that {side} can make here"
            return
        if board.san(move) != san:
            yield at, f"'{san}' is written {board.san(move)}"
            return
        board.push(move)


def _no_claim(text: str) -> str:
    forms = [form.written for form in CLAIM_FORMS]
    near = get_close_matches(text, forms, n=1)
    meant = f" (did you mean '{near[0]}'?)" if near else ""
    return f"'{text}' is not a claim that coachbook can check{meant}; known are: {', '.join(forms)}"


def _of_kinds(unit: dict[str, Any], known: KnownNames) -> Iterator[Mistake]:
    earlier: set[str] = set()
    endings = tuple(ending for ending in unit.get("endings") or () if ending)
    for number, each in enumerate(unit.get("kind") or (), start=1):
        key, use = f"kind[{number}]", each or {}
        kind, easiest, hardest = use.get("kind"), use.get("easiest"), use.get("hardest")
        if kind and known.kinds is not None and kind not in known.kinds:
            yield f"{key}.kind", f"there is no kind '{kind}'; known are: {', '.join(sorted(known.kinds))}"
        if easiest and hardest and easiest > hardest:
            yield f"{key}.easiest", f"{easiest} is more than hardest, which is {hardest}"
        if kind and kind in earlier:
            yield f"{key}.kind", f"'{kind}' is there twice in this unit"
        yield from ((f"{key}.{theme}", fault) for theme, fault in theme_mistakes(use, endings))
        earlier |= {kind} if kind else set()


def position_mistake(fen: str, endings: tuple[str, ...], goal: Goal = Goal.WIN) -> str:
    """What is wrong with `fen` as a position of one of `endings`, or "" if it is fine.

    It must be well formed, legal by the rules of `chess` and not yet decided, and have the men
    of one of the endings (no endings: any men will do). The side to move is the student's: who
    is to win needs more than a king. Whether the goal can be reached, only the tables know.
    """
    board = _board_of(fen)
    if board is None:
        return f"'{fen}' is not a position in FEN; it needs eight ranks and a side to move"
    men = _ending_of(Position(fen))
    if not _is_legal(board):
        return "the position is not legal (kings side by side, a king left in check, or castling)"
    if board.is_game_over():
        return "the game is over in this position"
    if endings and men not in endings:
        return f"the men are {men}; this unit is about {' and '.join(endings)}"
    side = "White" if board.turn else "Black"
    if goal is Goal.WIN and board.occupied_co[board.turn].bit_count() == 1:
        return f"{side} is to move and to win, with a king alone; the side to move is the student's"
    return ""


def _ending_of(position: Position) -> str:
    """The men by value, White's first: `KQK` is king and queen against king."""
    men = "".join(position.pieces.values())
    white = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece)))
    black = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece.lower())))
    return white + black


def between_units(placed: tuple[PlacedUnit, ...]) -> tuple[Problem, ...]:
    """Double codes, unknown prerequisites, prerequisites of a later level, and circles."""
    first: dict[str, PlacedUnit] = {}
    problems: list[Problem] = []
    for each in placed:
        earlier = first.setdefault(each.code, each)
        if earlier is not each and each.code:
            message = f"'{each.code}' is already the code of {earlier.where} in {earlier.file}"
            problems.append(each.problem("code", message))
    for each in placed:
        problems += _of_prerequisites(each, first)
    return tuple(problems)


def _of_prerequisites(each: PlacedUnit, first: dict[str, PlacedUnit]) -> list[Problem]:
    problems = []
    for code in each.prerequisites:
        needed = first.get(code)
        if needed is None:
            known = ", ".join(sorted(code for code in first if code))
            message = f"there is no unit '{code}'; known are: {known}"
        elif 0 < each.level < needed.level:  # 0: its level could not be read
            message = f"'{code}' is of a later level ({needed.level})"
        elif each.code in _all_needed_for(code, first):
            message = f"'{code}' and '{each.code}' need each other: one must come first"
        else:
            continue
        problems.append(each.problem("prerequisites", message))
    return problems


def _all_needed_for(code: str, first: dict[str, PlacedUnit]) -> frozenset[str]:
    """`code` and all that it builds on, however far down."""
    needed: set[str] = set()
    ahead = [code]
    while ahead:
        here = ahead.pop()
        if here in first and here not in needed:
            needed.add(here)
            ahead += first[here].prerequisites
    return frozenset(needed)


_BOUNDS = (
    ("king_far_from_pawn", "king_near_pawn"),
    ("lone_king_far_from_pawn", "lone_king_near_pawn"),
    ("kings_apart", "kings_within"),
)
"""Themes that say "at least so many steps", and those that say "at most so many" of the same."""
_ON_EDGE = ("bishop", "decided_by")
"""Themes that may ask for a pawn on the edge."""


def theme_mistakes(use: dict[str, Any], endings: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """The themes in the table of a kind that nothing suits, or nothing of an ending, each with the reason."""
    themes = {theme.name: use[theme.name] for theme in THEMES if use.get(theme.name) is not None}
    yield from _of_endings(themes, endings)
    yield from _of_values(themes)
    for far, near in _BOUNDS:
        if far in themes and near in themes and themes[far] > themes[near]:
            yield far, f"{themes[far]} or more cannot be: {near} is {themes[near]}"
    files = set(themes.get("pawn_files", "a"))
    for name in _ON_EDGE:
        if themes.get(name) in ("right", "wrong", "corner") and files.isdisjoint("ah"):
            yield name, f"is about pawns on the a-file or h-file; pawn_files is '{themes['pawn_files']}'"


def _of_endings(themes: dict[str, Any], endings: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    for theme in THEMES:
        strange = [ending for ending in endings if not re.search(theme.endings, ending)]
        if theme.name in themes and strange:
            yield theme.name, f"needs {theme.men}; that is not in {' and '.join(strange)}"


def _of_values(themes: dict[str, Any]) -> Iterator[tuple[str, str]]:
    ranks, rule = themes.get("pawn_ranks", ""), themes.get("only_rule")
    if ranks[:1] > ranks[-1:]:
        yield "pawn_ranks", f"the lower rank comes first: {ranks[-1]}-{ranks[0]}, not {ranks}"
    known = dict.fromkeys(name for name, _ in RULES.values())
    if rule is not None and rule not in known:
        yield "only_rule", f"there is no rule '{rule}'; known are: {', '.join(known)}"
