"""A coach's own positions on the command line: looked at, and put on a sheet."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run, sheet_in

MATES = "k7/8/1K6/8/8/8/8/7R w - - 0 1\n7k/5K2/8/8/8/8/8/6R1 w - - 0 1\n"
SHEET = ("sheet", "make", "queen-box", "--student", "Ana")
NO_MATE = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1\n"


def refused(*arguments: str) -> str:
    """The one line in which a command refuses."""
    ran = run(*arguments)
    assert (ran.code, ran.out, len(ran.problems)) == (2, "", 1), ran
    return ran.err


@pytest.fixture
def mates(tmp_path: Path) -> Path:
    path = tmp_path / "mates.epd"
    path.write_text(MATES, encoding="utf-8")
    return path


def test_each_position_is_told_with_the_kinds_that_it_suits(mates: Path) -> None:
    told = done("exercise", "own", str(mates))
    assert "every_mate: Rh8#" in told
    assert "no every_mate" not in told
    assert "the position does not suit it" in told


def test_a_position_may_be_written_in_quotes() -> None:
    told = done("exercise", "own", NO_MATE.strip())
    assert "catch_pawn" in next(line for line in told.splitlines() if line.startswith("  no "))
    assert "cannot be used: it is not a legal position" in done(
        "exercise", "own", "8/8/8/8/8/8/kK6/8 w - - 0 1"
    )


def test_own_positions_come_first_on_a_sheet(club: Club, mates: Path, tmp_path: Path) -> None:
    own = ("--own", str(mates), "--kind", "every_mate", "--items", "3")
    made = done(*SHEET, *own, "--to", str(tmp_path / "paper"))
    sheet = sheet_in(club.book, made.splitlines()[1].split()[0])
    assert [item.position.fen for item in sheet.items[:2]] == MATES.splitlines()
    assert len(sheet.items) == 3


@pytest.mark.parametrize(
    ("text", "options", "told"),
    [
        (NO_MATE, ("--kind", "every_mate"), "makes no every_mate"),
        (MATES, ("--kind", "no_such_kind"), "no kind"),
        (MATES, (), "Own positions need a kind"),
        (MATES, ("--kind", "every_mate", "--items", "1"), "don't fit"),
        (MATES + MATES, ("--kind", "every_mate"), "was on a sheet before"),
        ("rubbish", ("--kind", "every_mate"), "neither FEN nor EPD"),
        ("", ("--kind", "every_mate"), "no position"),
    ],
)
@pytest.mark.usefixtures("club")
def test_what_cannot_be_asked_soundly_is_refused_and_nothing_is_made(
    tmp_path: Path, text: str, options: tuple[str, ...], told: str
) -> None:
    (tmp_path / "own.txt").write_text(text, encoding="utf-8")
    before = everything_in(tmp_path)
    own = ("--own", str(tmp_path / "own.txt"), *options)
    line = refused(*SHEET, *own, "--to", str(tmp_path / "paper"))
    assert told in line
    assert everything_in(tmp_path) == before


def test_a_file_that_is_not_there_is_told() -> None:
    assert "cannot be read" in refused("exercise", "own", "nowhere.pgn")


def test_json_never_commands_the_terminal(tmp_path: Path) -> None:
    """U+009B begins a control sequence, as the escape sign does (ECMA-48)."""
    odd = tmp_path / "odd.epd"
    odd.write_text("\x9b31m\x1b[31m\x7f", encoding="utf-8")
    told = done("exercise", "own", "--json", str(odd))
    assert r"\u009b31m\u001b[31m\u007f" in told
    assert json.loads(told)[0]["position"] == "\x9b31m\x1b[31m\x7f"


def test_nor_does_a_position_or_the_names_in_a_game(tmp_path: Path) -> None:
    odd = tmp_path / "odd.pgn"
    odd.write_text('[White "\x9b31m"]\n[Black "\x1b[2J"]\n\n1. e9 *\n', encoding="utf-8")
    assert "game 1:  31m -  [2J\n" in done("exercise", "own", str(odd))
    odd.write_text("\x9b31m\n", encoding="utf-8")
    assert "line 1:  31m\n" in done("exercise", "own", str(odd))
    odd.write_text("x" * 100_000, encoding="utf-8")
    assert len(done("exercise", "own", str(odd))) < 1000


def test_an_illegal_move_in_a_game_is_told_in_its_place_only(tmp_path: Path) -> None:
    """In a process of its own: pytest catches what a library logs."""
    game = tmp_path / "game.pgn"
    game.write_text('[Event "x"]\n\n1. e4 e4 *\n', encoding="utf-8")
    code = "from coachbook.cli.main import main; main()"
    ran = subprocess.run(
        [sys.executable, "-c", code, "exercise", "own", str(game)], capture_output=True, check=True
    )
    assert ran.stderr == b""
    assert b"cannot be used: it cannot be read (illegal san: 'e4'" in ran.stdout
