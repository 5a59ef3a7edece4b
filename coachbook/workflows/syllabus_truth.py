"""Checking by the tables what a syllabus says: demonstrations and their lines, goals, allowances, themes,
enough exercises."""

import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

import chess
import numpy as np

from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.endgame.space import WHITE
from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import CoachbookError
from coachbook.exercises.drawn_positions import is_drawn_from
from coachbook.exercises.generate import (
    Supply,
    drawn_cases,
    fresh_exercises,
    is_asked_for,
    played_boards,
    supplies,
    surveyed,
)
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.show_claims import Moment, is_true, moments_of
from coachbook.method.border import choose, fits
from coachbook.method.methods import all_methods, find_method
from coachbook.method.positions import ending_name
from coachbook.method.rules import Method
from coachbook.method.written_plan import find_length
from coachbook.model.problem import Problem
from coachbook.model.shown_claims import claims_in, read_claim
from coachbook.model.syllabus import Goal, KindUse, PlayOut, Syllabus, Unit
from coachbook.workflows.endings import ending_mistake, missing_table, most_moves_to_mate

_SAMPLE = 300
"""Supplies up to this size are counted to the last position; of larger ones a sample is drawn."""

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True)
class SupplyCount:
    """`positions` suit the kind (up to turning and mirroring); of them `exercises` are of the
    difficulty asked for: exactly, or (`estimated`) judged by an even sample of 300. Of an ending of five men
    both are estimated, and the positions are those in which nothing can be taken and that suit the themes.
    They last for so many `sheets` of six on which the kind has its share."""

    unit: str
    kind: str
    positions: int
    exercises: int
    estimated: bool
    sheets: int


def count_supply(syllabus: Syllabus, code: str | None, progress: Progress) -> tuple[SupplyCount, ...]:
    """The supply of every kind of a unit, or of all units. Raises CoachbookError for an unknown unit."""
    units = syllabus.units if code is None else (syllabus.unit(code),)
    uses = [(unit, use) for unit in units for use in unit.kinds]
    counts = []
    for number, (unit, use) in enumerate(uses):
        progress(number, len(uses), f"{unit.code}: {use.kind}")
        counts.append(_count(unit, use))
    progress(len(uses), len(uses), "")
    return tuple(counts)


def _count(unit: Unit, use: KindUse) -> SupplyCount:
    sources = supplies(use.kind, surveyed(unit.endings), use.themes)
    positions = sum(len(each.cells) for each in sources)
    tried = list(_fitting(sources, use, max(1, -(-positions // _SAMPLE))))
    exercises = round(positions * sum(tried) / len(tried)) if tried else 0
    estimated = len(tried) < positions
    for more_positions, more_exercises in _drawn(unit, use):
        positions, exercises, estimated = positions + more_positions, exercises + more_exercises, True
    return SupplyCount(unit.code, use.kind, positions, exercises, estimated, exercises // on_a_sheet(unit))


def _drawn(unit: Unit, use: KindUse) -> Iterator[tuple[int, int]]:
    """About how many positions and exercises there are, for each case of those of the unit's endings whose
    positions are drawn by chance."""
    for ending in filter(is_drawn_from, unit.endings):
        own = played_boards(use, ending, 1)
        if own is not None:
            different = {symmetry_key(board): board for board in islice(own, _SAMPLE)}
            yield len(different), sum(_fits(use, board) for board in different.values())
            continue
        cases = list(drawn_cases(use, ending, 1))
        for drawn, white_wins in cases:
            boards = islice(drawn.won(by_white=white_wins), _SAMPLE // len(cases))
            tried = [_fits(use, board) for board in boards]
            positions = drawn.estimate(by_white=white_wins)
            yield positions, round(positions * sum(tried) / max(1, len(tried)))


def _fitting(sources: Iterable[Supply], use: KindUse, step: int) -> Iterator[bool]:
    """For every `step`-th position: whether it makes an exercise of the difficulty asked for."""
    for each in sources:
        for index in np.arange(0, len(each.cells), step):
            yield _fits(use, each.survey.board(each.cells[index]))


def _fits(use: KindUse, board: chess.Board) -> bool:
    made = find_kind(use.kind).draft(board) if board.is_valid() else None
    return made is not None and is_asked_for(use, board, made)


_SHEET = 6
"""Items on a usual sheet."""

ENOUGH = 2 * 6 * _SHEET
"""Fresh exercises that a unit must hold for each student: two years, in each of them six sheets (the evenings
on which it is new, and the reviews after them)."""


def on_a_sheet(unit: Unit) -> int:
    """How many items of each of its kinds are on a usual sheet of a unit, at most."""
    return -(-_SHEET // len(unit.kinds))


CHECKED = (
    "the demonstrations, with what they claim in braces, the goals and allowances of the play-outs, and the"
    " supply of exercises are true by the tables. Other words are not checked."
)
"""What is so of a syllabus in which `check_claims` finds nothing."""


def not_checked(syllabus: Syllabus) -> tuple[tuple[CoachbookError, int], ...]:
    """Why some positions of a syllabus can't be checked now: each ending whose table is to be built first,
    with the number of units that are about it."""
    missing: dict[str, tuple[CoachbookError, int]] = {}
    for unit in syllabus.units:
        for ending in dict.fromkeys(unit.endings):
            why = None if ending_mistake(ending) else missing_table(ending)
            if why is not None:
                missing[ending] = why, missing.get(ending, (why, 0))[1] + 1
    return tuple(missing.values())


def check_claims(syllabus: Syllabus, folder: Path, progress: Progress) -> tuple[Problem, ...]:
    """What of a syllabus is not so, of all that CHECKED names, as far as the tables are there (see
    `not_checked`). `folder` is where its files are."""
    files = _files(folder)
    problems: list[Problem] = []
    for number, unit in enumerate(syllabus.units):
        progress(number, len(syllabus.units), unit.code)
        file = files.get(unit.level, folder.name)
        problems += [
            Problem(file, f"{unit.code}: {where}", fault) for where, fault in _faults(syllabus, unit)
        ]
    progress(len(syllabus.units), len(syllabus.units), "")
    return tuple(problems)


def _files(folder: Path) -> dict[int, str]:
    """The name of each level's file."""
    return {
        tomllib.loads(path.read_text(encoding="utf-8")).get("level", 0): path.name
        for path in folder.glob("*.toml")
    }


def _faults(syllabus: Syllabus, unit: Unit) -> Iterator[tuple[str, str]]:
    """Where and what; of a unit without tables, what is wrong all the same."""
    mistakes = [mistake for ending in unit.endings if (mistake := ending_mistake(ending))]
    if mistakes:
        yield from (("endings", mistake) for mistake in mistakes)
        return
    if any(map(missing_table, unit.endings)):
        for number, use in enumerate(unit.kinds, start=1):
            yield from ((f"kind[{number}].{theme}", fault) for theme, fault in theme_faults(unit, use))
        return
    board = chess.Board(unit.demonstration)
    for fault in _result_faults(board, unit.demonstration_goal):
        yield "demonstration", fault
    method = find_method(unit.method)
    if method is not None and not any(ending_name(each) in unit.endings for each in method.endings):
        yield "method", f"'{unit.method}' is not made for {' or '.join(unit.endings)}"
    elif method is not None and (not fits(board, method) or find_length(board, method) is None):
        yield "method", f"'{unit.method}' is not proven from the demonstration"
    yield from show_faults(syllabus, unit)
    for number, play_out in enumerate(unit.play_outs, start=1):
        for fault in _play_out_faults(play_out, unit):
            yield f"play_out[{number}]", fault
    yield from _supply_faults(unit)


def _result_faults(board: chess.Board, goal: Goal) -> Iterator[str]:
    outcome = probe(board)
    wanted = Result.WIN if goal is Goal.WIN else Result.DRAW
    if outcome.result is not wanted:
        yield f"the side to move is to {goal.value}, but with best play it {_in_words(outcome)}"


def _in_words(outcome: Outcome) -> str:
    return "is a draw" if outcome.result is Result.DRAW else outcome.in_words


def _play_out_faults(play_out: PlayOut, unit: Unit) -> Iterator[str]:
    board = chess.Board(play_out.fen)
    yield from _result_faults(board, play_out.goal)
    outcome = probe(board)
    if play_out.goal is not Goal.WIN or outcome.moves is None:
        return
    if play_out.allowance < outcome.moves:
        yield f"an allowance of {play_out.allowance} is too small: best play needs {outcome.moves} moves"
    method = find_method(unit.method)
    length = most_moves_to_mate(board, method) if method is not None else None
    if length is not None and play_out.allowance < length:
        yield f"an allowance of {play_out.allowance} is too small: the method can take {length} moves"


FEWEST = 25
"""Different exercises of each kind in a unit."""


def _supply_faults(unit: Unit) -> Iterator[tuple[str, str]]:
    """A kind whose themes ask for what there is not, or that finds too few exercises; a unit whose exercises
    run out."""
    found, doubtful = 0, False
    for number, use in enumerate(unit.kinds, start=1):
        faults = list(theme_faults(unit, use))
        for theme, fault in faults:
            yield f"kind[{number}].{theme}", fault
        here = 0 if faults else fresh_exercises(unit, use, ENOUGH)
        if not faults and here < FEWEST:
            yield f"kind[{number}]", _too_few(unit, use, here)
        doubtful |= bool(faults)
        found += here
    if found < ENOUGH and not doubtful:
        yield "kind", f"there are only {found} different exercises; two years of sheets need {ENOUGH}"


def _too_few(unit: Unit, use: KindUse, found: int) -> str:
    """What is told of a kind with fewer than FEWEST exercises."""
    narrow = too_narrow(unit, use, FEWEST)
    advice = f"; there are more without {' or without '.join(narrow)}" if narrow else ""
    if not found:
        return f"there is no exercise of {use.kind} from {use.easiest} to {use.hardest}{advice}"
    share = on_a_sheet(unit)
    return (
        f"there are only {found} different exercises of {use.kind}, enough for {found // share}"
        f" sheets with {share} of the kind; at least {FEWEST} are needed{advice}"
    )


def show_faults(syllabus: Syllabus, unit: Unit) -> Iterator[tuple[str, str]]:
    """Where in the unit and what; the moves are legal and the claims of forms that are known."""
    methods = _taught(syllabus, unit)
    wanted = Result.WIN if unit.demonstration_goal is Goal.WIN else Result.DRAW
    for number, show in enumerate(unit.shows, start=1):
        key = f"show[{number}]"
        moments = moments_of(show)
        for at, moment in enumerate(moments, start=1):
            faults = [*_untrue(moment, show.line[at - 1].words)]
            if moment.before.turn == moment.student:
                faults += [*_given_away(moment, wanted), *_broken_rules(moment, methods)]
            yield from ((f"{key}.line[{at}]", fault) for fault in faults)
        until = read_claim(show.until)
        if until is None or not is_true(until, moments[-1]):
            yield f"{key}.until", f"the line does not end with '{show.until}'"


def _taught(syllabus: Syllabus, unit: Unit) -> tuple[Method, ...]:
    """The methods of the unit and of those before it."""
    before = syllabus.units[: syllabus.units.index(unit) + 1]
    found = (find_method(each.method) for each in before)
    return tuple(dict.fromkeys(method for method in found if method is not None))


def _untrue(moment: Moment, words: str) -> Iterator[str]:
    for text in claims_in(words):
        claim = read_claim(text)
        if claim is None or not is_true(claim, moment):
            yield f"{{{text}}} is not so after {moment.before.san(moment.move)}"


def _given_away(moment: Moment, wanted: Result) -> Iterator[str]:
    if -probe(moment.after).result < wanted:
        yield f"{moment.before.san(moment.move)} gives the {'win' if wanted is Result.WIN else 'draw'} away"


def _broken_rules(moment: Moment, methods: tuple[Method, ...]) -> Iterator[str]:
    """The methods proven from this position that were taught, and would have had another move."""
    for method in methods:
        if fits(moment.before, method):
            chosen = choose(moment.before, method)
            if chosen.moves and moment.move not in chosen.moves and find_length(moment.before, method):
                good = " or ".join(sorted(map(moment.before.san, chosen.moves)))
                yield f"{moment.before.san(moment.move)} is no move of {method.name}; it has {good}"


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
