"""No message shows a day as a program writes it: all go through the functions that know the club's style.

What is to be typed, and names of files, have ISO 8601. The source is read: a name is that of a day, or of
several, if it is annotated so, or comes from something that is.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

HOUSE = Path(__file__).parents[2] / "coachbook"
FILES = sorted(path for path in HOUSE.rglob("*.py") if path != HOUSE / "wording" / "counting.py")
OF_DAYS = re.compile(r"\bdate\b")
PASSING_ON = {"sorted", "min", "max", "next", "set", "list", "tuple", "frozenset", "reversed", "str"}
WORDS = re.compile(r"[a-z][:,;]? |[ ('][a-z]")
TYPED = re.compile(r"coachbook |--")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _is_of_days(annotation: ast.expr | None) -> bool:
    return annotation is not None and OF_DAYS.search(ast.unparse(annotation)) is not None


@cache
def all_fields() -> tuple[tuple[str, bool], ...]:
    """The fields of all values, each with whether it is a day, or holds several."""
    trees = [tree_of(path) for path in FILES]
    classes = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]
    return tuple(
        (field.target.id, _is_of_days(field.annotation))
        for each in classes
        for field in each.body
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name)
    )


@cache
def other_fields() -> frozenset[str]:
    """The names of fields that are no day somewhere; a timedelta has `days`, too."""
    return frozenset(name for name, is_day in all_fields() if not is_day) | {"days"}


@cache
def fields_of_days() -> frozenset[str]:
    """The fields that are days, or hold several, and have no other meaning elsewhere."""
    return frozenset(name for name, is_day in all_fields() if is_day) - other_fields()


@cache
def functions_for_days() -> frozenset[str]:
    """The functions and properties that give a day, or several, are for everybody, and are called like no
    field that is something else."""
    return frozenset(
        node.name
        for path in FILES
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
        if node.name not in other_fields() and _is_of_days(node.returns)
    )


class Days:
    """What in a function is a day, or several."""

    def __init__(self, function: ast.AST) -> None:
        self.names = {
            each.arg
            for each in ast.walk(function)
            if isinstance(each, ast.arg) and _is_of_days(each.annotation)
        }
        for _ in range(2):  # a name may come from one that is bound further down
            for target, value in _bindings(function):
                if self.has(value):
                    self.names |= {each.id for each in ast.walk(target) if isinstance(each, ast.Name)}

    def has(self, value: ast.expr | None) -> bool:
        """Whether an expression is a day, or several."""
        match value:
            case ast.Name(id=name):
                return name in self.names
            case ast.Attribute(attr=name):
                return name in fields_of_days() | functions_for_days()
            case ast.Call():
                return self._is_given(value)
            case ast.IfExp(body=one, orelse=other):
                return self.has(one) or self.has(other)
            case ast.BoolOp(values=several) | ast.List(elts=several) | ast.Tuple(elts=several):
                return any(map(self.has, several))
        return value is not None and self.has(_within(value))

    def _is_given(self, call: ast.Call) -> bool:
        match call:
            case ast.Call(func=ast.Name(id="map"), args=[ast.Name(id="str"), inner]):
                return self.has(inner)
            case ast.Call(func=ast.Name(id=name), args=several) if name in PASSING_ON:
                return any(map(self.has, several))
            case ast.Call(func=ast.Name(id=name)):
                return name in functions_for_days()
            case ast.Call(func=ast.Attribute(attr="join"), args=several):
                return any(map(self.has, several))
            case ast.Call(func=ast.Attribute(attr="values", value=inner)):
                return self.has(inner)
        return False


def _within(value: ast.expr) -> ast.expr | None:
    """What an expression takes a part of, or goes through."""
    match value:
        case ast.Subscript(value=inner) | ast.Starred(value=inner) | ast.NamedExpr(value=inner):
            return inner
        case ast.ListComp(elt=inner) | ast.SetComp(elt=inner) | ast.GeneratorExp(elt=inner):
            return inner
        case ast.DictComp(value=inner) | ast.BinOp(left=inner):
            return inner
    return None


def _bindings(function: ast.AST) -> Iterator[tuple[ast.expr, ast.expr]]:
    for node in ast.walk(function):
        match node:
            case ast.Assign(targets=[target], value=value) if not isinstance(target, ast.Tuple):
                yield target, value
            case ast.NamedExpr(target=target, value=value):
                yield target, value
            case ast.For(target=target, iter=value) | ast.comprehension(target=target, iter=value):
                if isinstance(target, ast.Name):
                    yield target, value


def bare_days(path: Path) -> list[str]:
    """The texts with words that put in a day as it is, with their lines."""
    found = []
    for function in tree_of(path).body:
        days = Days(function)
        for text in ast.walk(function):
            if not isinstance(text, ast.JoinedStr):
                continue
            told = "".join(str(part.value) for part in text.values if isinstance(part, ast.Constant))
            if WORDS.search(told) and not TYPED.search(told):
                parts = (part.value for part in text.values if isinstance(part, ast.FormattedValue))
                found += [f"{text.lineno}: {ast.unparse(part)}" for part in parts if days.has(part)]
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(HOUSE)))
def test_every_day_in_a_message_is_shown_as_the_club_writes_it(path: Path) -> None:
    assert bare_days(path) == []


def test_a_day_that_is_put_in_as_it_is_would_be_found(tmp_path: Path) -> None:
    source = tmp_path / "told.py"
    source.write_text(
        "def told(on: date, days: Sequence[date], name: str) -> str:\n"
        "    last = sorted(days)[-1]\n"
        "    return [\n"
        "        f'{name} is no name.',\n"
        "        f'The evening of {on} is over.',\n"
        "        f'The last is {last}.',\n"
        "        f'All: {listed(days)} and {\", \".join(map(str, days))}.',\n"
        "        f'It was {shown_day(on)}.',\n"
        "        f'Type coachbook evening close {on}.',\n"
        "    ]\n",
        encoding="utf-8",
    )
    assert bare_days(source) == ["5: on", "6: last", "7: ', '.join(map(str, days))"]
