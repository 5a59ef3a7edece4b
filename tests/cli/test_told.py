"""Nothing that somebody has written into a file or a name reaches the terminal as a command to it."""

from pathlib import Path

import pytest

from tests.cli.conftest import SYLLABUS
from tests.cli.drive import Ran, run

NASTY = {
    "clears the screen": "\x1b[2J",
    "a link": "\x1b]8;;http://x.invalid\x1b\\here\x1b]8;;\x1b\\",
    "a C1 control": "\x9b2J",
    "letters turned about": "\N{RIGHT-TO-LEFT OVERRIDE}abc",
    "letters turned about, isolated": "\N{LEFT-TO-RIGHT ISOLATE}abc",
}
SIGNS = {"\x1b", "\x9b", "\u202e", "\u2066", "\x07", "\r"}


def told(ran: Ran) -> str:
    assert not SIGNS & {*ran.out, *ran.err}, ran
    assert "Traceback" not in ran.err
    return ran.out + ran.err


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("nasty", NASTY.values(), ids=NASTY)
def test_not_from_a_table(nasty: str) -> None:
    Path("in.csv").write_text(f"student,item,answer\nAna,1,x{nasty}\n", encoding="utf-8")
    for command in (("log", "answers", "--table", "in.csv", "--preview"), ("student", "import", "in.csv")):
        assert told(run(*command))
    Path("in.csv").write_text(f"student,item,answer{nasty}\nAna,1,x\n", encoding="utf-8")
    assert told(run("log", "answers", "--table", "in.csv"))


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("nasty", NASTY.values(), ids=NASTY)
def test_not_from_a_game_or_a_position(nasty: str) -> None:
    Path("in.pgn").write_text(f'[Event "{nasty}"]\n\n1. {nasty} *\n', encoding="utf-8")
    assert told(run("exercise", "own", "in.pgn"))
    assert told(run("exercise", "own", f"k7/{nasty}"))
    assert told(run("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "--pgn", "in.pgn"))


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("nasty", NASTY.values(), ids=NASTY)
def test_not_from_the_name_of_a_file_or_a_folder(nasty: str) -> None:
    name = f"x{nasty.replace('/', '_')}"
    assert "Written: x" in told(run("log", "export", "--to", f"{name}.csv"))
    assert told(run("sheet", "make", "queen-box", "--group", "Owls", "--to", name))
    assert told(run("syllabus", "check", name))
    assert told(run("student", "import", f"{name}.csv"))


@pytest.mark.parametrize("nasty", NASTY.values(), ids=NASTY)
def test_not_from_a_syllabus_in_which_it_is_a_mistake_with_its_place(tmp_path: Path, nasty: str) -> None:
    for path in SYLLABUS.glob("*.toml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    level = tmp_path / "level-1.toml"
    escaped = "".join(f"\\u{ord(sign):04x}" for sign in nasty)
    text = level.read_text(encoding="utf-8")
    level.write_text(text.replace('title = "', f'title = "{escaped}', 1), encoding="utf-8")
    shown = told(run("syllabus", "check", str(tmp_path)))
    assert f"level-1.toml: title: the sign U+{ord(nasty[0]):04X} cannot be printed" in shown
    assert told(run("syllabus", "list", "--syllabus", str(tmp_path))).startswith(
        "coachbook: The syllabus has"
    )
