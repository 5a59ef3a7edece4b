"""What holds for the themes of a unit's kind beyond each single value: its endings, and each other.

All is read from tables as TOML holds them, with None for what is known to be wrong.
"""

import re
from collections.abc import Iterator
from typing import Any

from coachbook.model.known_themes import THEMES
from coachbook.wording.method_words import RULES

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
