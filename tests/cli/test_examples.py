"""Every command's help has examples; each of them can be typed as it stands in a club that has begun."""

import re
import shlex
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from coachbook.cli.examples import EXAMPLES
from tests.cli.commands import leaves
from tests.cli.conftest import Calendar
from tests.cli.drive import done, run

CURRICULA = Path(__file__).parents[2] / "curricula"
ELSEWHERE = {"demo", "ending build"}
"""They take long, and are run by other tests."""
SLOW = {"exercise count", "syllabus check"}
"""Each goes over all units."""
REFUSED = {
    "report certificate": "has not completed level 1",
    "student erase": "Erasing needs a yes",
    "student remove": "Removing needs a yes",
    "group remove": "Removing needs a yes",
}
"""What a club that has just begun is told instead."""
ASKING = {"evening close", "log answers", "log attendance"}
"""They ask; here nobody answers."""
FIRST_EVENING = date(2027, 1, 12)
"""Of the term in the examples."""
SHEET = "QB-K4W7R"
LINES = [(command, line) for command, lines in EXAMPLES.items() for line in lines]
TYPED = [
    pytest.param(*each, marks=pytest.mark.long if each[0] in SLOW else pytest.mark.full)
    for each in LINES
    if each[0] not in ELSEWHERE
]


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A folder with the book of a club and what else the examples name; and the code of its sheet."""
    folder = tmp_path_factory.mktemp("begun")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Calendar, "now", FIRST_EVENING)
        patched.chdir(folder)
        patched.setenv("COACHBOOK_BOOK", str(folder / "club.book"))
        done("club", "new", "Riverside")
        done("group", "add", "Tuesday")
        for name in ("Noor", "Tom"):
            done("student", "add", name, "--group", "Tuesday")
        done(*shlex.split(EXAMPLES["term plan"][0]))
        code = re.search(r"\bQB-\w+", done(*shlex.split(EXAMPLES["sheet make"][1])))
        assert code
        done("log", "note", "Tom", "queen-box", "listens", "well")
        shutil.copy(folder / "club.book", folder / "club-copy.book")
        shutil.copytree(CURRICULA, folder / "my-syllabus")
        (folder / "people.csv").write_text("name,group\nMia,Tuesday\n", encoding="utf-8")
        (folder / "answers.csv").write_text(
            f"student,item,answer,sheet\nNoor,1,x,{code[0]}\n", encoding="utf-8"
        )
        yield folder, code[0]


def test_every_command_has_an_example_and_no_other_has() -> None:
    assert {" ".join(words) for words, _ in leaves()} == set(EXAMPLES)
    assert all(1 <= len(lines) <= 3 and all(len(line) < 90 for line in lines) for lines in EXAMPLES.values())
    for command, line in LINES:
        assert line.startswith(command)


def test_the_help_of_a_command_ends_with_its_examples() -> None:
    for asked in ("-h", "--help"):
        told = done("sheet", "make", asked)
        assert told.endswith(
            "  Examples:\n    coachbook sheet make queen-box --group Tuesday\n"
            "    coachbook sheet make queen-box --student Noor\n"
        )
    assert done("club", "show", "-h").endswith("  Example:\n    coachbook club show\n")


@pytest.mark.parametrize(("command", "line"), TYPED)
def test_an_example_can_be_typed_as_it_stands(
    command: str, line: str, begun: tuple[Path, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, code = begun
    monkeypatch.setattr(Calendar, "now", FIRST_EVENING)
    shutil.copytree(folder, tmp_path / "here")
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "here" / "club.book"))
    if command in ("group add", "club new"):
        monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "here" / "new.book"))
        if command == "group add":
            done("club", "new", "Hill Street")
    if command == "term unpin":
        done(*shlex.split(EXAMPLES["term pin"][0]))
    if command == "log redo":
        done("log", "undo", "2", "--yes")
    if command == "term unlock":
        done(*shlex.split(EXAMPLES["term lock"][0]))
    ran = run(*shlex.split(line.replace(SHEET, code)), typed="" if command in ASKING else "y\n" * 6)
    if command in REFUSED:
        assert (ran.code, REFUSED[command] in ran.err) == (2, True), ran
    elif command in ASKING and ran.code:
        assert ran.code == 2, ran
        assert ran.out, ran
    else:
        assert ran.code == 0, ran


@pytest.mark.parametrize("noun", ["", *sorted({words[0] for words, _ in leaves() if len(words) > 1})])
def test_what_a_command_is_for_fits_into_its_line(noun: str) -> None:
    told = done(*([noun] if noun else []), "-h")
    assert "..." not in told.replace("[ARGS]...", "")
