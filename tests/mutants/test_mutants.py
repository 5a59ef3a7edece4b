"""Whoever changes what coachbook decides for a coach makes a test fail."""

import sys
import tomllib
from pathlib import Path

import pytest

from tests.mutants.parts import PARTS, SHARE_CAUGHT, Part
from tests.mutants.run import ROOT, Change, try_mutants

_LIST = tomllib.loads(Path(__file__).with_name("equivalent.toml").read_text(encoding="utf-8"))["change"]
REASONS = {Change(each["function"], each["was"], each["now"]): each["reason"] for each in _LIST}
REPORTS = ROOT / ".mutants"
"""To read what was not noticed."""

by_name = pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)


@by_name
def test_the_modules_and_tests_of_each_part_are_there(part: Part) -> None:
    assert all(any(ROOT.glob(module)) for module in part.modules)
    assert all((ROOT / test).exists() for test in part.tests)


def test_every_change_that_is_held_to_make_no_difference_has_a_reason() -> None:
    assert all(REASONS.values())


@pytest.mark.long
@pytest.mark.timeout(4 * 3600)
@pytest.mark.skipif(sys.platform == "win32", reason="mutmut works by forking")
@by_name
def test_nearly_every_change_of_a_decision_is_noticed(part: Part, tmp_path: Path) -> None:
    outcome = try_mutants(part, tmp_path)
    left = [change for change in outcome.unnoticed if change not in REASONS]
    share = 1 - len(left) / outcome.tried
    told = "\n".join(
        [f"{share:.1%} of {outcome.tried} changes were noticed. These were not:", *map(str, left)]
    )
    REPORTS.mkdir(exist_ok=True)
    (REPORTS / f"{part.name}.txt").write_text(f"{told}\n", encoding="utf-8")
    assert share >= SHARE_CAUGHT, told
