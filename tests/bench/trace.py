"""Counts the files and functions that a command runs through: `python -m tests.bench.trace`.

For `sheet make`, `log answers --table`, `term plan --to` and `evening prepare`, each in a process of its own
and on a copy of a club out of sample_club, once every table is solved. All of the package is imported before
counting begins, so importing counts for nothing. What counts is each function of the package that is entered
at least once, methods and functions within functions too, and each file in which such a function stands.
Comprehensions, generator expressions and lambdas belong to the function around them, and what `dataclass`
and other libraries make has no file. Calls are how often these functions were entered, a generator each time
it goes on.

Prints a table; with `--json` the same for other programs, with the names of the files. Only the command line
is used, so that the figures of two versions can be compared.
"""

import argparse
import importlib
import inspect
import json
import os
import pkgutil
import runpy
import shutil
import subprocess
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, redirect_stdout
from dataclasses import asdict, dataclass
from io import StringIO
from multiprocessing import get_context
from pathlib import Path
from types import CodeType, FrameType

import coachbook

PACKAGE = Path(coachbook.__file__).parent
BOOK = "club.book"
GROUP, STUDENT, DAY = "Foxes", "Amara", "2026-09-17"
TABLE = "answers.csv"
COMMANDS: dict[str, tuple[str, ...]] = {
    "sheet make": ("sheet", "make", "queen-box", "--group", GROUP, "--seed", "1", "--to", "paper"),
    "log answers --table": ("log", "answers", "--table", TABLE, "--date", DAY, "--yes"),
    "term plan --to": (
        *("term", "plan", "--group", GROUP, "--from", "2027-01-14", "--until", "2027-03-25"),
        *("--weekday", "thursday", "--minutes", "60", "--goal", "2", "--to", "wall.pdf"),
    ),
    "evening prepare": ("evening", "prepare", DAY, "--to", "tonight"),
}


@dataclass(frozen=True, slots=True)
class Counted:
    """What a command ran through: files, different functions, and how often they were entered."""

    files: tuple[str, ...]
    functions: int
    calls: int


def a_club(folder: Path) -> None:
    """The sample club after its first evening, with one more sheet, and a table of answers to it."""
    _run(folder.parent, "demo", "--to", str(folder))
    options = ("--student", STUDENT, "--date", DAY, "--seed", "1", "--book", BOOK)
    made = _run(folder, "sheet", "make", "queen-box", *options)
    code = made.splitlines()[1].split()[0]
    rows = "".join(f"{code},{STUDENT},{item},Qe5\n" for item in range(1, 7))
    (folder / TABLE).write_text(f"sheet,student,item,answer\n{rows}", encoding="utf-8")


def _run(folder: Path, *arguments: str) -> str:
    """What a command says that runs as a process of its own, as a coach would start it."""
    command = (sys.executable, "-m", "coachbook", *arguments)
    return subprocess.run(command, cwd=folder, check=True, capture_output=True, text=True).stdout


def counted(folder: Path, arguments: Sequence[str]) -> Counted:
    """The command, run and counted in this process. Raises SystemExit if it fails."""
    _import_everything()
    os.chdir(folder)
    sys.argv = ["coachbook", *arguments]
    entered = Counter[CodeType]()
    with redirect_stdout(StringIO()), _counting(entered):
        try:
            runpy.run_module("coachbook", run_name="__main__")
        except SystemExit as ended:
            if ended.code:
                raise
    ours = {code: calls for code, calls in entered.items() if _is_counted(code)}
    files = sorted({str(Path(code.co_filename).relative_to(PACKAGE)) for code in ours})
    return Counted(tuple(files), len(ours), sum(ours.values()))


def _import_everything() -> None:
    for module in pkgutil.walk_packages([str(PACKAGE)], "coachbook."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)


@contextmanager
def _counting(entered: Counter[CodeType]) -> Iterator[None]:
    """Within, each code that is entered is counted, in any thread."""

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            entered[frame.f_code] += 1

    threading.setprofile(note)
    sys.setprofile(note)
    try:
        yield
    finally:
        sys.setprofile(None)
        threading.setprofile(None)


def _is_counted(code: CodeType) -> bool:
    """A function of the package, and no module, no body of a class, no lambda, no comprehension."""
    is_function = bool(code.co_flags & inspect.CO_OPTIMIZED) and not code.co_name.startswith("<")
    return is_function and Path(code.co_filename).is_relative_to(PACKAGE)


def in_a_process(folder: Path, arguments: Sequence[str]) -> Counted:
    """The same in a process of its own, which has nothing in its memory from before."""
    with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as other:
        return other.submit(counted, folder, arguments).result()


def measured() -> dict[str, Counted]:
    """Each command's figures; each was run once before, on another copy, so that its tables are solved."""
    figures = {}
    with tempfile.TemporaryDirectory() as folder:
        os.environ["COACHBOOK_CACHE"] = str(Path(folder) / "tables")
        club = Path(folder) / "club"
        a_club(club)
        for number, (what, arguments) in enumerate(COMMANDS.items()):
            first, second = (Path(folder) / f"{number}{which}" for which in ("before", "counted"))
            for copy in (first, second):
                shutil.copytree(club, copy)
            told = (*arguments, "--book", BOOK)
            _run(first, *told)
            figures[what] = in_a_process(second, told)
    return figures


def main() -> None:
    asked = argparse.ArgumentParser(description="Count the files and functions that commands run through.")
    asked.add_argument("--json", action="store_true", help="for other programs, with the names of the files")
    as_json = asked.parse_args().json
    figures = measured()
    sys.stdout.write(_json(figures) if as_json else _table(figures))


def _json(figures: Mapping[str, Counted]) -> str:
    return json.dumps({what: asdict(each) for what, each in figures.items()}, indent=2) + "\n"


def _table(figures: Mapping[str, Counted]) -> str:
    lines = ["|  | files | functions | calls |", "| --- | ---: | ---: | ---: |"]
    for what, each in figures.items():
        lines.append(f"| {what} | {len(each.files)} | {each.functions} | {each.calls:,} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()
