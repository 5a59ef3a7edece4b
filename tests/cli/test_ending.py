"""`coachbook ending` says who wins, and says clearly what it cannot know."""

import io
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from coachbook.cli import console
from coachbook.cli.main import main
from coachbook.endgame import tables
from coachbook.endgame.census import Census
from coachbook.endgame.material import Material
from coachbook.files.reading import FOLDER_VARIABLE
from coachbook.workflows.endings import EndingTable

LONGEST_QUEEN_MATE = "8/8/8/5k2/8/8/1Q6/K7 w - - 0 1"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def coachbook(*arguments: str) -> int:
    """Run the command line; its exit code."""
    with pytest.raises(SystemExit) as stop:
        main(["ending", *arguments])
    return int(stop.value.code or 0)


@pytest.fixture
def no_tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty cache folder, and nothing solved yet."""
    folder = tmp_path / "tables"
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder))
    tables.shared_tables.cache_clear()
    yield folder
    tables.shared_tables.cache_clear()


@pytest.fixture
def two_endings(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if there were only two endings, so that building takes no time."""
    monkeypatch.setattr(
        "coachbook.workflows.endings.all_materials", lambda: (Material("Q", ""), Material("NN", ""))
    )


def test_show_says_who_wins_and_what_each_move_is_worth(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("show", LONGEST_QUEEN_MATE) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "King and queen against king, White to move."
    assert lines[1] == "White mates in 10."
    table = lines[lines.index("Move  Outcome") + 1 : -2]
    assert len(table) == 24
    assert table[0] == "Ka2   White mates in 10"
    assert table[-1] == "Qf6+  draw"
    assert lines[-1].startswith("Shortest line: 1. ")
    assert lines[-1].endswith("#")
    assert " 10. " in lines[-1]


@pytest.mark.parametrize(
    ("fen", "sentence"),
    [
        ("k6R/8/1K6/8/8/8/8/8 b - - 0 1", "Checkmate: White has won."),
        ("K6r/8/1k6/8/8/8/8/8 w - - 0 1", "Checkmate: Black has won."),
        ("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1", "Stalemate: a draw."),
        ("8/8/8/4k3/4P3/4K3/8/8 w - - 0 1", "Draw."),
        ("k7/8/1K6/8/8/8/7R/8 b - - 0 1", "White mates in 1."),
        ("K7/8/1k6/8/8/8/7r/8 b - - 0 1", "Black mates in 1."),
    ],
)
def test_show_names_the_winner_by_colour(fen: str, sentence: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("show", fen) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1] == sentence
    assert any(line.startswith("Shortest line") for line in lines) is ("mates in" in sentence)


def test_show_gives_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("show", LONGEST_QUEEN_MATE, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["ending"] == "KQK"
    assert found["to_move"] == "white"
    assert found["outcome"] == {"result": "win", "mate_in": 10}
    assert len(found["moves"]) == 24
    assert found["moves"][0] == {"san": "Ka2", "uci": "a1a2", "outcome": {"result": "win", "mate_in": 10}}
    assert found["moves"][-1]["outcome"] == {"result": "draw", "mate_in": None}


@pytest.mark.parametrize(
    ("fen", "message"),
    [
        ("not a position", "'not a position' is not a position in FEN."),
        ("", "'' is not a position in FEN."),
        ("8/8/8/4k3/8/8/2Q5/K7", "does not say who is to move"),
        ("4k3/8/8/8/8/8/8/4K2R w K - 0 1", "The tables know no castling."),
        (
            "8/8/8/4k3/8/8/8/K1QRB3 w - - 0 1",
            "KQRBK is not solved yet. Build it once: coachbook ending build KQRBK",
        ),
        (
            "8/8/5p2/4k3/8/8/8/K1QR4 w - - 0 1",
            "KQRKP is not solved yet. Build it once: coachbook ending build KQRKP",
        ),
        (
            "8/8/5p2/4k3/8/8/3P4/K2R4 w - - 0 1",
            "KRPKP would take too much: with five men there can be one pawn at most.",
        ),
        ("8/8/5pp1/4k3/8/8/3P4/K2R4 w - - 0 1", "6 men; the tables go up to 5."),
        ("7k/8/8/8/8/8/8/K6R w - - 0 1", "It is White's move, but Black is in check."),
        ("2R1k1R1/8/8/8/8/8/8/4K3 b - - 0 1", "No move could have given this check."),
        ("8/8/8/4k3/8/8/8/8 w - - 0 1", "A position has one white and one black king."),
    ],
)
def test_show_says_in_one_line_what_it_cannot_judge(
    fen: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook("show", fen) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert message in printed.err
    assert printed.err.count("\n") == 1


def test_table_gives_the_figures_of_an_ending(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("table", "rook v king") == 0
    printed = capsys.readouterr()
    # 21,959, 28,056, 2,796 and 121: see tests/endgame/test_published.py
    assert printed.out.splitlines() == [
        "KRK: king and rook against king.",
        "Positions that differ by turning or mirroring the board count once.",
        "",
        "              White to move             Black to move",
        "Positions     21,959                    28,056",
        "White wins    100.00 %                  90.03 %",
        "Draw          0.00 %                    9.97 %",
        "Black wins    0.00 %                    0.00 %",
        "Longest mate  16 moves (121 positions)  none",
        "Mate in 16, for example: 8/8/8/8/8/2k5/1R6/K7 w - - 0 1",
    ]
    assert printed.err == ""


def test_a_share_says_when_it_is_nearly_none_or_all(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("table", "KBKN") == 0
    shown = capsys.readouterr().out
    assert "below 0.01 %" in shown
    assert "over 99.99 %" in shown
    assert "Longest mate  1 move (" in shown


def test_table_says_what_it_leaves_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    census = Census(
        positions=4, won=1, drawn=2, lost=1, longest=1, longest_count=1, example=LONGEST_QUEEN_MATE
    )
    found = EndingTable(Material("P", "P"), census, census)
    monkeypatch.setattr("coachbook.workflows.endings.look_at_table", lambda *_: found)
    assert coachbook("table", "KPKP") == 0
    shown = capsys.readouterr().out
    assert "Positions with a capture en passant are left out." in shown
    assert "Longest mate  1 move (1 position)" in shown


def test_table_gives_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("table", "KRK", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["ending"] == "KRK"
    assert found["white_to_move"]["longest"] == 16
    assert found["white_to_move"]["positions"] == 21_959
    assert found["black_to_move"]["drawn"] == 2796
    assert found["black_to_move"]["example"] is None


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("dog", "'dog' is not the name of an ending."),
        ("KRPKR", "KRPKR is not solved yet. Build it once: coachbook ending build KRPKR"),
        ("KPPKP", "a mate in 127 moves"),
    ],
)
def test_table_refuses_what_is_no_ending_or_too_large(
    name: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook("table", name) == 2
    assert message in capsys.readouterr().err


@pytest.mark.usefixtures("two_endings")
def test_build_keeps_the_tables_and_says_where(no_tables: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("build") == 0
    printed = capsys.readouterr()
    assert printed.out == f"2 endings are ready; they are kept in {no_tables}.\n"
    assert printed.err == ""
    assert [file.name for file in no_tables.iterdir()] == ["KNNK.mates"]


@pytest.mark.usefixtures("two_endings")
def test_build_says_if_nothing_can_be_kept(no_tables: Path, capsys: pytest.CaptureFixture[str]) -> None:
    no_tables.touch()
    assert coachbook("build") == 2
    assert f"The tables cannot be kept in {no_tables}." in capsys.readouterr().err


@pytest.mark.usefixtures("two_endings", "no_tables")
def test_progress_is_shown_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    assert coachbook("build") == 0
    assert "100%" in terminal.getvalue()


def test_a_table_is_ruled_on_a_terminal_and_without_colour_if_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stdout", terminal)
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm-256color")
    console.show_table(("Move", "Outcome"), [("Ka2", "[b]draw[/b]")])
    shown = terminal.getvalue()
    assert "─" in shown
    assert "[b]draw[/b]" in shown
    assert "\x1b[3" not in shown


def test_plan_says_first_what_is_true_of_the_position(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("plan", "8/8/4k3/8/4K3/4P3/8/8 w - - 0 1", "--method", "king-and-pawn") == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "This position is a draw: there is no plan that wins it."
    assert lines[1] == "One computed line in which each move keeps the draw; other moves are possible."
    assert "the quickest mate" not in " ".join(lines)


def test_plan_says_what_is_proven_from_here(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("plan", "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1") == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == (
        "The queen's box, proven from here against every defence: mate in at most 15 moves; one line of it is"
        " shown."
    )
    assert lines[-1].split() == ["15", "Qb7#", "mate"]


@pytest.mark.parametrize(
    ("fen", "why"),
    [
        ("8/8/8/8/8/4k3/4P3/4K3 b - - 0 1", "Black's king stands right in front of the pawn, which"),
        ("4k3/4p3/4K3/8/8/8/8/8 w - - 0 1", "White's king stands right in front of the pawn, which"),
        ("8/8/3k4/8/3K4/8/3P4/8 w - - 0 1", "White's king stands on a key square of the pawn, and White"),
        ("8/3p4/8/3k4/8/3K4/8/8 b - - 0 1", "Black's king stands on a key square of the pawn, and Black"),
    ],
)
def test_plan_says_why_after_what_is_true(fen: str, why: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("plan", fen) == 0
    lines = capsys.readouterr().out.splitlines()
    (place,) = [number for number, line in enumerate(lines) if line.startswith("Why: ")]
    assert lines[place].startswith(f"Why: {why}")
    assert "proven from here" in lines[place - 1]
    assert coachbook("plan", fen, "--json") == 0
    assert json.loads(capsys.readouterr().out)["why"] == lines[place]


def test_plan_gives_the_same_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("plan", "8/8/2k5/8/8/2K1P3/8/8 w - - 0 1", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["result"], found["mate_in"]) == ("win", 21)
    assert (found["method"], found["proven"], found["at_most"]) == (None, False, None)
    assert found["told"][0].endswith("this position is not one of them.")
    assert (
        found["source"]
        == "one computed line, the quickest mate and the longest defence; other defences are possible"
    )
    assert found["steps"][0]["move"] == "Kc4"
    assert (found["reason"], found["why"]) == (None, None)
    assert coachbook("plan", "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["method"], found["proven"], found["at_most"]) == ("queen-box", True, 15)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("8/8/8/4k3/8/8/2Q5/K7",), "Add ' w' after the pieces for White, or ' b' for Black."),
        (("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", "--method", "rook-box"), "'The rook's box' does not fit"),
    ],
)
def test_plan_says_in_one_line_what_it_cannot_do(
    arguments: tuple[str, ...], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook("plan", *arguments) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert message in printed.err
    assert printed.err.count("\n") == 1


def test_prove_calls_a_line_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("prove", "queen-box") == 0
    shown = capsys.readouterr().out
    assert "Most moves                         16 (quickest possible: 10)\n" in shown
    assert "A longest line: 8/8/8/8/3k4/8/8/K1Q5 w - - 0 1  1. Qg5 " in shown
    assert "By the words of its card           mates in 100 % of 20,000 games\n" in shown
    assert coachbook("prove", "hold-king-and-pawn") == 0
    shown = capsys.readouterr().out
    assert "\nOne line: " in shown
    assert re.search(r"By the words of its card +holds 99\.\d\d % of 20,000 games\n", shown)
    assert "est line" not in shown


@pytest.fixture
def a_build(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The endings that were built: nothing is solved."""
    names: list[str] = []
    monkeypatch.setattr(
        "coachbook.workflows.endings.build_large", lambda material, *_: names.append(material.name)
    )
    return names


WHAT_IT_TAKES = (
    "KRPKR: king, rook and pawn against king and rook. 8 tables to solve.\n"
    "Roughly 3 minutes of one processor, 320 MiB in {folder}, and 1600 MiB of memory while it lasts.\n"
)


def test_a_build_of_five_men_says_what_it_takes_and_asks(
    a_build: list[str], no_tables: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("coachbook.cli.asking.can_ask", lambda: True)
    for answer in ("n", "y"):
        monkeypatch.setattr("builtins.input", lambda _, answer=answer: answer)
        assert coachbook("build", "rook and pawn v rook") == 0
        told = capsys.readouterr().out
        assert told.startswith(WHAT_IT_TAKES.format(folder=no_tables))
        ending = "Nothing was built.\n" if answer == "n" else f"KRPKR is ready; it is kept in {no_tables}.\n"
        assert told.endswith(ending)
    assert a_build == ["KRPKR"]


@pytest.mark.usefixtures("no_tables")
def test_a_build_of_five_men_needs_a_yes(a_build: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("build", "KRPKR") == 2
    assert "Building needs a yes, and there is no terminal to ask at." in capsys.readouterr().err
    assert a_build == []
    assert coachbook("build", "KRPKR", "--yes") == 0
    assert a_build == ["KRPKR"]


@pytest.mark.usefixtures("no_tables")
def test_a_build_that_is_stopped_says_that_it_goes_on(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("coachbook.workflows.endings.build_large", stopped)
    assert coachbook("build", "KRPKR", "--yes") == 130
    assert (
        capsys.readouterr().err == "Stopped. What is finished is kept; the same command goes on from there.\n"
    )


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("dog", "'dog' is not the name of an ending."),
        ("KPPKP", "KPPKP has a mate in 127 moves, and a table holds 126 at most."),
        ("KRPKP", "KRPKP would take too much: with five men there can be one pawn at most."),
        ("KRPKRP", "This ending has 6 men; the tables go up to 5."),
    ],
)
def test_build_refuses_what_it_cannot_do_before_it_begins(
    name: str, message: str, a_build: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook("build", name, "--yes") == 2
    printed = capsys.readouterr()
    assert (printed.out, a_build) == ("", [])
    assert message in printed.err
    assert printed.err.count("\n") == 1


def test_one_small_ending_is_built_without_a_question(
    no_tables: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook("build", "two knights v king") == 0
    assert capsys.readouterr().out == f"KNNK is ready; it is kept in {no_tables}.\n"
    assert [file.name for file in no_tables.iterdir()] == ["KNNK.mates"]


@pytest.mark.usefixtures("two_endings")
def test_table_lists_what_there_is(no_tables: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("table", "--list") == 0
    assert capsys.readouterr().out.splitlines() == [
        "Ending  Men  Solved",
        "KQK     3    yes          king and queen against king",
        "KNNK    4    when needed  king and two knights against king",
        "With five men: any ending with one pawn at most, with 'coachbook ending build KRPKR'.",
    ]
    no_tables.mkdir(exist_ok=True)
    (no_tables / "KQRKR-black.blocks").touch()
    assert coachbook("table", "--list", "--json") == 0
    assert json.loads(capsys.readouterr().out)[-1] == {"ending": "KQRKR", "men": 5, "solved": True}


def test_table_needs_a_name_or_a_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert coachbook("table") == 2
    assert "Give its name, such as KBNK, or --list." in capsys.readouterr().err


def test_a_damaged_table_of_five_men_is_said(no_tables: Path, capsys: pytest.CaptureFixture[str]) -> None:
    no_tables.mkdir()
    for file in "abcd":
        (no_tables / f"KRPKR-{file}-black.blocks").write_bytes(b"no table")
    for arguments in (("table", "KRPKR"), ("show", "1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1")):
        assert coachbook(*arguments) == 2
        told = capsys.readouterr().err
        assert told.startswith("coachbook: The table of KRPKR is damaged: ")
        assert told.endswith("Build it once: coachbook ending build KRPKR\n")


@pytest.mark.parametrize("verb", ["show", "plan"])
def test_what_needs_five_men_says_how_to_build_them(
    verb: str, no_tables: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coachbook(verb, "1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1") == 2
    told = capsys.readouterr().err
    assert told == "coachbook: KRPKR is not solved yet. Build it once: coachbook ending build KRPKR\n"
    assert not list(no_tables.glob("*.blocks"))
