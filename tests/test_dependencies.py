"""What is imported is declared, and what is declared says which versions are tried."""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
NOT_IMPORTED = {
    "fontpkg-atkinson-hyperlegible": "its files are read",
    "fontpkg-noto-sans": "its files are read",
    "python-multipart": "Starlette reads forms with it",
    "tzdata": "zoneinfo finds it by itself",
}
FOR_DEVELOPMENT = {"figurine_font.py": "fonttools"}
NO_HIGHEST = {"tzdata"}
"""Numbered by the year, and nothing but data."""


def imported_by(path: Path) -> Iterator[str]:
    """The top-level packages of all imports in a file, also of those inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]


DISTRIBUTIONS = cache(packages_distributions)
"""By the package that is imported: to find them, Python reads a list of all files of each distribution."""


def used_by(path: Path) -> set[str]:
    """The distributions, in small letters, from which a file of coachbook imports."""
    foreign = set(imported_by(path)) - set(sys.stdlib_module_names) - {"coachbook"}
    found = {name.lower() for package in foreign for name in DISTRIBUTIONS()[package]}
    return found - {FOR_DEVELOPMENT.get(path.name, "")}


def name_of(requirement: str) -> str:
    return re.split(r"[<>=]", requirement)[0]


def test_what_is_imported_is_declared_and_the_other_way_round() -> None:
    used = {name for path in (ROOT / "coachbook").rglob("*.py") for name in used_by(path)}
    assert used | set(NOT_IMPORTED) == {name_of(each) for each in PROJECT["dependencies"]}


@pytest.mark.parametrize("requirement", PROJECT["dependencies"])
def test_every_dependency_has_a_lowest_version_and_a_highest(requirement: str) -> None:
    """In the form that `.ci/lowest` reads."""
    highest = "" if name_of(requirement) in NO_HIGHEST else r",<[0-9.]+"
    assert re.fullmatch(rf"[a-z0-9-]+(>=[0-9.]+{highest}|==[0-9.]+)", requirement)
