"""A syllabus that claims something untrue is caught, with the file, the unit and the reason."""

import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import chess
import pytest

from coachbook.endgame.probe import probe
from coachbook.exercises.generate import fresh_exercises
from coachbook.exercises.kinds import kind_names
from coachbook.files.reading import shipped_folder
from coachbook.method.teaching_order import method_names
from coachbook.model.known_themes import Themes
from coachbook.model.problem import Problem
from coachbook.model.syllabus import Goal, KindUse, PlayOut, Syllabus, Unit
from coachbook.syllabus import check_syllabus
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.syllabus_truth import _play_out_faults, check_claims, count_supply, not_checked
from tests.shipped import LARGE_UNITS, UNITS, is_large, without_five_men

CURRICULA = shipped_folder("curricula")
SYLLABUS = load_syllabus()


def silent(*_: object) -> None:
    pass


def only(syllabus: Syllabus, code: str) -> Syllabus:
    """The syllabus with one unit only."""
    unit = syllabus.unit(code)
    return Syllabus((replace(syllabus.level_of(unit), units=(unit,)),))


@dataclass(frozen=True, slots=True)
class Change:
    """One claim of a unit made false in the text of its file."""

    unit: str
    what: str
    edit: Callable[[str], str]

    def __str__(self) -> str:
        return f"{self.unit}: {self.what}"


def _instead(old: str, new: str, count: int = 1) -> Callable[[str], str]:
    return lambda text: text.replace(old, new, count)


def _with_less(play_out: PlayOut, text: str) -> str:
    """One move less than best play needs: found out when it is asked, and not while tests are gathered."""
    moves = probe(chess.Board(play_out.fen)).moves
    assert moves
    assert moves > 1
    line = f'fen = "{play_out.fen}"\nallowance = '
    return text.replace(f"{line}{play_out.allowance}", f"{line}{moves - 1}", 1)


def _changes(unit: Unit) -> Iterator[Change]:
    """For every unit: its demonstration, each play-out, its kinds, method and prerequisites."""
    other = "draw" if unit.demonstration_goal is Goal.WIN else "win"
    demonstration = f'demonstration = "{unit.demonstration}"'
    goal = f'demonstration_goal = "{unit.demonstration_goal}"\n'
    flipped = f'{demonstration}\ndemonstration_goal = "{other}"'
    yield Change(
        unit.code, f"shows a {other}", lambda text: text.replace(goal, "").replace(demonstration, flipped)
    )
    for number, play_out in enumerate(unit.play_outs, start=1):
        if play_out.goal is Goal.WIN:
            yield Change(unit.code, f"allowance {number}", partial(_with_less, play_out))
    use = unit.kinds[0]
    old = f'kind = "{use.kind}"\neasiest = {use.easiest}\nhardest = {use.hardest}'
    yield Change(unit.code, "no such kind", _instead(old, old.replace(use.kind, "no_such_kind")))
    yield Change(
        unit.code, "difficulty upside down", _instead(old, old.replace("easiest = 1", "easiest = 101"))
    )
    if unit.prerequisites:
        yield Change(unit.code, "builds on nothing", _instead(f'"{unit.prerequisites[0]}"', '"no-such-unit"'))
    if unit.method:
        wrong = next(name for name in method_names() if name != unit.method)
        yield Change(
            unit.code, f"method {wrong}", _instead(f'method = "{unit.method}"', f'method = "{wrong}"')
        )


CHANGES = tuple(change for unit in UNITS for change in _changes(unit))
LARGE_CHANGES = tuple(change for unit in LARGE_UNITS for change in _changes(unit))
LONG_PROVEN = ("queen-against-pawn", "rook-against-pawn")
"""What their methods can take is not worked out at once."""
BY_SORT = sorted(CHANGES, key=lambda change: change.what.split()[0])
EVERY_DAY = [change for change in BY_SORT if change.unit not in LONG_PROVEN][::14]


def _problems(folder: Path, code: str) -> tuple[Problem, ...]:
    syllabus, problems = check_syllabus(folder, frozenset(kind_names()), frozenset(method_names()))
    if syllabus is None or problems:
        return problems
    return check_claims(only(syllabus, code), folder, silent)


def _parts(text: str) -> list[str]:
    return re.split(r"(?m)^(?=\[\[unit\]\])", text)


@pytest.mark.full
@pytest.mark.parametrize("change", EVERY_DAY, ids=str)
def test_a_claim_made_false_is_told_with_its_file_and_unit(change: Change, tmp_path: Path) -> None:
    _is_told(change, tmp_path)


@pytest.mark.long
@pytest.mark.with_five_men
@pytest.mark.parametrize("change", (*CHANGES, *LARGE_CHANGES), ids=str)
def test_every_claim_made_false_is_told_with_its_file_and_unit(change: Change, tmp_path: Path) -> None:
    _is_told(change, tmp_path)


def _is_told(change: Change, tmp_path: Path) -> None:
    folder = tmp_path / "curricula"
    shutil.copytree(CURRICULA, folder)
    unit = SYLLABUS.unit(change.unit)
    file = next(path for path in folder.glob("*.toml") if f'code = "{unit.code}"' in path.read_text("utf-8"))
    parts = _parts(file.read_text("utf-8"))
    index = next(i for i, part in enumerate(parts) if f'code = "{unit.code}"' in part)
    changed = change.edit(parts[index])
    assert changed != parts[index], "the change must change something"
    file.write_text("".join((*parts[:index], changed, *parts[index + 1 :])), encoding="utf-8")
    found = _problems(folder, unit.code)
    assert found
    assert found[0].file == file.name
    assert unit.code in found[0].where or f"unit[{index}]" in found[0].where
    assert found[0].message


def test_there_are_many_such_changes() -> None:
    assert len(CHANGES[::4]) >= 30
    assert {change.what.split()[0] for change in EVERY_DAY} == {change.what.split()[0] for change in CHANGES}


def test_the_first_level_claims_nothing_untrue() -> None:
    """The full run checks all levels (`test_documents`)."""
    assert check_claims(Syllabus(SYLLABUS.levels[:1]), CURRICULA, silent) == ()


@pytest.mark.long
@pytest.mark.with_five_men
def test_the_units_with_five_men_claim_nothing_untrue() -> None:
    levels = tuple(level for level in SYLLABUS.levels if any(map(is_large, level.units)))
    assert check_claims(Syllabus(levels), CURRICULA, silent) == ()
    assert not_checked(SYLLABUS) == ()


def test_of_units_whose_tables_are_not_built_it_is_told_which_ending_lacks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_five_men(monkeypatch, tmp_path)
    ((why, units),) = not_checked(SYLLABUS)
    assert why.message == "KRPKR is not solved yet."
    assert units == len(LARGE_UNITS)


def test_a_unit_whose_exercises_run_out_is_told(tmp_path: Path) -> None:
    unit = SYLLABUS.unit("rook-mates")
    scarce = replace(unit, endings=("KRK",), kinds=(replace(unit.kinds[0], easiest=95, hardest=100),))
    syllabus = Syllabus((replace(SYLLABUS.level_of(unit), units=(scarce,)),))
    told = [problem.message for problem in check_claims(syllabus, tmp_path, silent)]
    assert any("two years of sheets need 72" in message for message in told)


def told_of(code: str, use: KindUse, folder: Path) -> list[str]:
    """What is wrong with a unit that has one kind."""
    unit = replace(SYLLABUS.unit(code), kinds=(use,))
    syllabus = Syllabus((replace(SYLLABUS.level_of(unit), units=(unit,)),))
    return [f"{each.where}: {each.message}" for each in check_claims(syllabus, folder, silent)]


@pytest.mark.parametrize(
    ("code", "kind", "themes", "told"),
    [
        (
            "pawn-square",
            "catch_pawn",
            (("to_move", "white"),),
            "pawn-square: kind[1].to_move: catch_pawn is never asked with White to move",
        ),
        (
            "queen-box",
            "next_rule",
            (("only_rule", "wait with the rook"),),
            "queen-box: kind[1].only_rule: 'wait with the rook' is no rule that the unit teaches; rules are:"
            " mate, make the box smaller, bring the king, make another box",
        ),
        (
            "mate-in-one",
            "every_mate",
            (("result", "draw"),),
            "mate-in-one: kind[1]: there is no exercise of every_mate from 1 to 100; there are more without"
            " result",
        ),
    ],
)
def test_themes_that_leave_nothing_are_told_by_name(
    code: str, kind: str, themes: Themes, told: str, tmp_path: Path
) -> None:
    assert told in told_of(code, KindUse(kind, 1, 100, themes), tmp_path)


def test_a_kind_with_few_exercises_is_told_with_the_sheets_that_it_fills(tmp_path: Path) -> None:
    few = KindUse("mate_in_two", 1, 100, (("box_at_most", 4),))
    first, *_ = told_of("queen-mates", few, tmp_path)
    found = fresh_exercises(SYLLABUS.unit("queen-mates"), few, 100)
    assert 0 < found < 25
    assert first == (
        f"queen-mates: kind[1]: there are only {found} different exercises of mate_in_two, enough for"
        f" {found // 6} sheets with 6 of the kind; at least 25 are needed; there are more without box_at_most"
    )


def test_it_is_counted_for_how_many_sheets_a_kind_lasts() -> None:
    for each in count_supply(SYLLABUS, "rook-mates", silent):
        assert each.sheets == each.exercises // 2


def test_an_allowance_that_is_enough_for_a_queen_and_not_for_the_mate_is_told() -> None:
    """The method has a queen in at most 6 moves, and best play mates in 14: 20 is too few to be sure."""
    unit = SYLLABUS.unit("king-and-pawn")
    play_out = PlayOut("8/5k2/8/3KP3/8/8/8/8 w - - 0 1", 20, Goal.WIN)
    (told,) = _play_out_faults(play_out, unit)
    assert told == "an allowance of 20 is too small: the method can take 22 moves"


def test_exercises_are_counted_up_to_what_is_asked() -> None:
    unit = SYLLABUS.unit("rook-mates")
    assert fresh_exercises(unit, unit.kinds[0], 10) == 10
