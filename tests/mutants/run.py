"""Changes one spot of the code after the other, in a copy, and lets the tests run: what do they not notice?

The package mutmut makes the changes ("mutants") and runs, for each, only the tests that reach it.
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.parts import EVERY_MUTANT, NOT_CHANGED, Part

ROOT = Path(__file__).parents[2]
_COPIED = ("coachbook", "curricula", "sample_club", "tests", "pyproject.toml")
_NOTICED = ("killed", "timeout", "suspicious", "segfault", "caught by type check")
_OUTCOME = re.compile(r"\s+(?P<mutant>[\w.ǁ]+): (?P<status>[a-z ]+)")
_FUNCTION = re.compile(r"\.(?:x_|xǁ)(?P<function>[^.]+)__mutmut_\d+$")


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """What was changed, wherever it stands: in a function (or "Class.method"), from `was` to `now`."""

    function: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """How many changes there were, and those that no test noticed."""

    tried: int
    unnoticed: tuple[Change, ...]


def try_mutants(part: Part, folder: Path) -> Outcome:
    """All changes of a part, tried in a copy in `folder`. Fails where the tests fail without any change."""
    ignored = shutil.ignore_patterns("__pycache__", ".*")
    for name in _COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=ignored)
        else:
            shutil.copy(source, folder / name)
    with (folder / "pyproject.toml").open("a", encoding="utf-8") as file:
        file.write(_settings(part))
    _mutmut(folder, "run", "*" if EVERY_MUTANT in os.environ else part.sample)
    found = _OUTCOME.finditer(_mutmut(folder, "results", "--all", "true"))
    statuses = {match["mutant"]: match["status"].strip() for match in found}
    statuses = {mutant: status for mutant, status in statuses.items() if status != "not checked"}
    unnoticed = [mutant for mutant, status in statuses.items() if status not in _NOTICED]
    return Outcome(len(statuses), tuple(sorted(_change(folder, mutant) for mutant in unnoticed)))


def _settings(part: Part) -> str:
    usual = "--import-mode=importlib --strict-markers -m 'not full and not long'"
    plugins = [word for name in ("cacheprovider", "xdist", "cov") for word in ("-p", f"no:{name}")]
    arguments = ("-o", f"addopts={usual}", *plugins, "--hypothesis-profile=mutants")
    return f"""
[tool.mutmut]
source_paths = ["coachbook"]
only_mutate = {_listed(part.modules)}
do_not_mutate_patterns = {_listed(NOT_CHANGED)}
also_copy = ["curricula", "sample_club"]
timeout_multiplier = 4.0
pytest_add_cli_args = {_listed(arguments)}
pytest_add_cli_args_test_selection = {_listed(part.tests)}
"""


def _listed(texts: Iterable[str]) -> str:
    """A list in TOML, of texts that stand as they are."""
    return f"[{', '.join(repr(text) for text in texts)}]".replace("\\\\", "\\")


def _mutmut(folder: Path, *arguments: str) -> str:
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    command = [sys.executable, "-m", "mutmut", *arguments]
    ran = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stdout[-4000:] + ran.stderr[-4000:]
    return ran.stdout


def _change(folder: Path, mutant: str) -> Change:
    """What a mutant is, from how it differs."""
    named = _FUNCTION.search(mutant)
    if named is None:
        raise ValueError(f"{mutant} names no function")
    lines = _mutmut(folder, "show", mutant).splitlines()
    return Change(named["function"].replace("ǁ", "."), _changed(lines, "-"), _changed(lines, "+"))


def _changed(lines: Iterable[str], sign: str) -> str:
    """The lines of a diff with a sign, in one line."""
    return " ".join(line[1:].strip() for line in lines if line.startswith(sign) and line[:3] != sign * 3)
