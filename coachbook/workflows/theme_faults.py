"""What is wrong with the themes of a kind in a unit, by the kind, the unit's methods and the tables."""

from collections.abc import Iterator
from dataclasses import replace

import chess

from coachbook.endgame.space import WHITE
from coachbook.exercises.drawn_positions import is_drawn_from
from coachbook.exercises.generate import fresh_exercises, played_boards
from coachbook.exercises.kinds import find_kind
from coachbook.method.methods import all_methods, find_method
from coachbook.method.positions import ending_name
from coachbook.method.rules import Method
from coachbook.model.syllabus import KindUse, Unit


def theme_faults(unit: Unit, use: KindUse) -> Iterator[tuple[str, str]]:
    """Themes with which the kind cannot be asked in the unit, each with the reason; or "kind", where it can't
    be asked there at all."""
    large = [ending for ending in unit.endings if is_drawn_from(ending)]
    kind = find_kind(use.kind)
    if large and not kind.large and not all(played_boards(use, ending, 1) for ending in large):
        yield "kind", f"{use.kind} cannot be asked with five men, as in {' and '.join(large)}"
    themes = dict(use.themes)
    side, rule = themes.get("to_move"), themes.get("only_rule")
    sides = {chess.COLOR_NAMES[each == WHITE] for each in kind.sides}
    if side is not None and side not in sides:
        yield "to_move", f"{use.kind} is never asked with {str(side).capitalize()} to move"
    known = dict.fromkeys(rule.name for method in _methods_of(unit) for rule in method.rules)
    if rule is not None and rule not in known:
        told = f"rules are: {', '.join(known)}" if known else "it has no method with rules"
        yield "only_rule", f"'{rule}' is no rule that the unit teaches; {told}"


def too_narrow(unit: Unit, use: KindUse, fewest: int) -> tuple[str, ...]:
    """The themes each of which, were it left out, would leave at least so many exercises."""
    without = {
        name: replace(use, themes=tuple(theme for theme in use.themes if theme[0] != name))
        for name, _ in use.themes
    }
    return tuple(name for name, wider in without.items() if fresh_exercises(unit, wider, fewest) == fewest)


def _methods_of(unit: Unit) -> tuple[Method, ...]:
    """The unit's own, or where it names none those for its endings."""
    own = find_method(unit.method)
    if own is not None:
        return (own,)
    return tuple(
        method
        for method in all_methods()
        if any(ending_name(each) in unit.endings for each in method.endings)
    )
