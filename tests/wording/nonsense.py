"""Lives through a club's evenings, if asked with every sentence of `coachbook.wording` turned into nonsense,
and writes as JSON what is in its book then: all but words that are kept for printing again.

Run as `python -m tests.wording.nonsense FOLDER sense|nonsense`.
"""

import hashlib
import importlib
import json
import os
import pkgutil
import re
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from functools import cache, wraps
from inspect import isfunction
from pathlib import Path

import pytest
import typer.main

from tests.cli.drive import Ran, right_answers, run, sheet_in

DAYS = ("2026-09-10", "2026-09-17", "2026-09-24")
TERM = ("--from", DAYS[0], "--until", "2026-12-10", "--weekday", "thu", "--minutes", "60", "--at", "18:30")
WORDS = re.compile(r"\w+")
LETTERS = "bcdfghklmnprstvz"
"""Of which no word is made that anybody knows."""
GIVES_CODES = {"definitions_for", "definitions_of_card"}
"""The functions of `wording` that give no words."""
KEPT_WORDS = ("words", "cards")
"""What in a sheet is kept only to be printed again."""


def nonsense(text: str) -> str:
    """Every word another one that means nothing, the same for the same word."""
    return WORDS.sub(lambda word: gibberish(word[0]), text)


def gibberish(word: str) -> str:
    digest = hashlib.sha256(word.encode()).hexdigest()
    return "".join(LETTERS[int(sign, 16)] for sign in digest[: max(5, len(word))])


def turned(value: object) -> object:
    """A value that a function of `wording` gives, with nonsense for its words."""
    if isinstance(value, str):
        return nonsense(value)
    if isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        return type(value)(map(turned, value))
    return value


def turn_everything() -> int:
    """Put nonsense into every function of `wording`, before anybody else has it: how many."""
    package, count = importlib.import_module("coachbook.wording"), 0
    sentences = importlib.import_module("coachbook.wording.exercises").SENTENCES
    for code, sentence in sentences.items():
        sentences[code] = replace(sentence, words=wrapped(sentence.words))
    definitions = importlib.import_module("coachbook.wording.definitions").DEFINITIONS
    definitions.update({code: nonsense(definition) for code, definition in definitions.items()})
    for found in pkgutil.iter_modules(package.__path__):
        module = importlib.import_module(f"coachbook.wording.{found.name}")
        for name, function in list(vars(module).items()):
            is_own = isfunction(function) and function.__module__ == module.__name__
            if is_own and not name.startswith("_") and name not in GIVES_CODES:
                setattr(module, name, wrapped(function))
                count += 1
    return count


def wrapped(function: Callable[..., object]) -> Callable[..., object]:
    @wraps(function)
    def speaking(*given: object, **named: object) -> object:
        return turned(function(*given, **named))

    return speaking


def live() -> None:
    """A term planned, an evening prepared, sheets made, marked and reviewed, a plan changed, all checked."""
    club = [
        ("club", "new", "Harbour Lane"),
        *(("group", "add", group) for group in ("Owls", "Foxes")),
        *(("student", "add", name, "--group", "Owls") for name in ("Ana", "Bo")),
        ("student", "add", "Dee", "--group", "Foxes"),
        ("term", "plan", "--group", "Owls", "--group", "Foxes", *TERM, "--to", "wall.pdf"),
        ("term", "lock", "2026-10-22", "--group", "Owls"),
        ("evening", "prepare", DAYS[0], "--group", "Owls", "--to", "tonight"),
        ("lesson", "make", "queen-box", "--to", "lessons"),
    ]
    for arguments in club:
        done(*arguments)
    for unit in ("mate-or-stalemate", "queen-box", "king-and-pawn"):
        done("sheet", "make", unit, "--group", "Owls", "--date", DAYS[0], "--seed", "7", "--to", unit)
    answer_all()
    done("log", "attendance", "Ana", "--group", "Owls", "--date", DAYS[0])
    done("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "mated in 9", "--date", DAYS[0])
    for arguments in [
        ("review", "--date", DAYS[1]),
        ("evening", "prepare", DAYS[1], "--group", "Owls", "--to", "next"),
        ("term", "replan", "--group", "Owls", "--from", DAYS[2], "--skip", DAYS[2]),
        ("report", "family", "Ana"),
        ("student", "export", "Ana", "--to", "record"),
        ("check",),
    ]:
        done(*arguments)


def answer_all() -> None:
    """The answers of all who were given a sheet, right and wrong by turns, out of a table."""
    book = Path(os.environ["COACHBOOK_BOOK"])
    given = (
        "SELECT DISTINCT student.name, sheet.code FROM handout JOIN sheet ON sheet.id = sheet_id"
        " JOIN student ON student.id = student_id ORDER BY sheet.id, student.id"
    )
    with closing(sqlite3.connect(book)) as opened:
        pairs = opened.execute(given).fetchall()
    rows = ["student,sheet,item,answer"]
    for student, code in pairs:
        sheet = sheet_in(book, code)
        for number, (item, right) in enumerate(zip(sheet.items, right_answers(sheet), strict=True), start=1):
            # Of what is ticked, the number in the list: words would be nonsense.
            options = item.answer.options
            told = str(options.index(item.answer.accepted[0]) + 1) if options else right
            rows.append(f'{student},{code},{number},"{told if number % 3 else "a1"}"')
    Path("answers.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    done("log", "answers", "--table", "answers.csv", "--date", DAYS[0], "--yes")


def done(*arguments: str) -> Ran:
    ran = run(*arguments)
    if ran.code != 0:
        raise SystemExit(f"{arguments}: {ran}")
    return ran


def facts(book: Path) -> dict[str, list[list[object]]]:
    """All rows of all tables, without moments, checksums and words."""
    with closing(sqlite3.connect(book)) as opened:
        tables = [name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        rows = {table: opened.execute(f"SELECT * FROM {table}").fetchall() for table in tables}  # noqa: S608
    return {
        table: sorted(([bare(value) for value in row] for row in kept), key=str)
        for table, kept in rows.items()
    }


def bare(value: object) -> object:
    if isinstance(value, str) and value.startswith("{"):
        return without_words(json.loads(value))
    return "a moment" if isinstance(value, str) and re.match(r"\d{4}-\d\d-\d\d .*:", value) else value


def without_words(value: object) -> object:
    if isinstance(value, dict):
        return {key: without_words(each) for key, each in value.items() if key not in (*KEPT_WORDS, "sha256")}
    return [without_words(each) for each in value] if isinstance(value, list) else value


if __name__ == "__main__":
    turned_functions = turn_everything() if sys.argv[2] == "nonsense" else 0
    os.chdir(sys.argv[1])
    os.environ["COACHBOOK_BOOK"] = str(Path("club.book").absolute())
    with pytest.MonkeyPatch.context() as patch:  # to build the tree of all commands takes longer than most
        patch.setattr(typer.main, "get_command", cache(typer.main.get_command))
        live()
    papers = sorted(str(path) for path in Path().rglob("*.pdf"))
    found = {"facts": facts(Path("club.book")), "papers": papers, "turned": turned_functions}
    sys.stdout.write(json.dumps(found) + "\n")
