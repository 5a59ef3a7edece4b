"""Prints every text that coachbook can show, file by file: `python -m tests.wording.all_messages`.

For reading all of them aloud in one go. What is put into a text at run time stands as {...}.
"""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

HOUSE = Path(__file__).parents[2] / "coachbook"
_FEWEST_WORDS = 3


def texts_of(path: Path) -> Iterator[tuple[int, str]]:
    """The texts of a source file that read like words, with their lines; docstrings only of commands."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(doc) for doc in _docstrings(tree, commands=path.parent.name == "cli")}
    inner = {
        id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in ast.walk(node)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            told = "".join(_part(each) for each in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs | inner:
            told = node.value
        else:
            continue
        if len(told.split()) >= _FEWEST_WORDS:
            yield node.lineno, " ".join(told.split())


def _part(part: ast.expr) -> str:
    return (
        str(part.value)
        if isinstance(part, ast.Constant)
        else "{" + ast.unparse(part)[1:-1].strip("{}'\"") + "}"
    )


def _docstrings(tree: ast.Module, *, commands: bool) -> Iterator[ast.Constant]:
    """Those that nobody but a developer sees: of a command, the docstring is its help."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
            continue
        is_help = commands and isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
        for statement in node.body:
            if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant) and not is_help:
                yield statement.value


def main() -> None:
    for path in sorted(HOUSE.rglob("*.py")):
        for line, text in sorted(texts_of(path)):
            sys.stdout.write(f"{path.relative_to(HOUSE)}:{line}: {text}\n")


if __name__ == "__main__":
    main()
