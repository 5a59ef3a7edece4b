"""The house is as DEVELOPERS.md says: each file where it is named, each package seen only by its face."""

import ast
import importlib
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[1]
PACKAGE = HOUSE / "coachbook"
FILES = sorted(PACKAGE.rglob("*.py"))
PARTS = sorted(path.parent.name for path in PACKAGE.glob("*/__init__.py"))
NAMED = re.compile(r"`([\w/]+\.(?:py|json|toml))`")


@cache
def imports_of(path: Path) -> frozenset[str]:
    """The modules of the package that a file imports, by their dotted names."""
    return frozenset(_imported(ast.parse(path.read_text(encoding="utf-8"))))


def _imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("coachbook"):
            for name in node.names:
                inner = f"{node.module}.{name.name}"
                yield inner if is_module(inner) else str(node.module)


def is_module(name: str) -> bool:
    path = HOUSE / name.replace(".", "/")
    return path.with_suffix(".py").is_file() or (path / "__init__.py").is_file()


def module_of(path: Path) -> str:
    parts = path.relative_to(HOUSE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def test_every_file_that_the_guide_names_is_there() -> None:
    named = set(NAMED.findall((HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")))
    parts = ("coachbook", "tests", "pyproject.toml")
    there = [f"/{path.as_posix()}" for part in parts for path in (HOUSE / part, *(HOUSE / part).rglob("*.*"))]
    assert len(named) > 20
    assert [name for name in named if not any(path.endswith(f"/{name}") for path in there)] == []


def test_no_file_name_is_there_twice() -> None:
    names = Counter(path.name for path in FILES if path.name != "__init__.py")
    assert [name for name, times in names.items() if times > 1] == []


def test_no_file_is_too_long_to_be_read_at_once() -> None:
    for path in FILES:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path.name


@pytest.mark.parametrize("part", PARTS)
def test_a_part_is_used_only_by_what_it_shows(part: str) -> None:
    """`__all__` names the modules that others may import from, or what they may import from the part."""
    package = f"coachbook.{part}"
    face = importlib.import_module(package)
    shown = {f"{package}.{name}" for name in face.__all__}
    outside = [path for path in FILES if path.parent != PACKAGE / part and PACKAGE / part not in path.parents]
    used = {
        name
        for path in outside
        for name in imports_of(path)
        if name == package or name.startswith(f"{package}.")
    }
    assert used - {package} <= shown
    assert {name for name in shown if is_module(name)} <= used, "shown, and used by nobody"
