"""Play-outs, notes, the list of the log, taking an entry back, and tables in and out."""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.errors import CoachbookError
from coachbook.wording.answer_forms import form_in_words
from coachbook.workflows import playing
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run, sheet_in

DAY = ("--date", "2026-09-10")
FEN = "8/8/8/8/8/5k2/2Q5/K7 w - - 0 1"


def answers_of(club: Club, *rows: str) -> Path:
    file = club.folder / "answers.csv"
    file.write_text("student,item,answer,sheet,date\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return file


@pytest.mark.usefixtures("club")
def test_a_play_out_is_told_in_words_without_quotes() -> None:
    told = done("log", "playout", "ana", "queen-box-1", "mated", "in", "9", *DAY)
    assert told == "Kept: a play-out of Ana in queen-box on 2026-09-10: mate after 9 moves.\n"
    late = done("log", "playout", "Bo", "PLAY-QUEEN-BOX-1", "mate 49", *DAY)
    assert late == (
        "Kept: a play-out of Bo in queen-box on 2026-09-10: mate after 49 moves, not within the allowance.\n"
    )
    lost = done("log", "playout", "Bo", "play-queen-box-1", *DAY, typed="stalemate\n")
    assert lost.endswith("Kept: a play-out of Bo in queen-box on 2026-09-10: stalemate, goal not reached.\n")


def test_who_sits_at_a_terminal_is_asked_after_how_many_moves_it_was_mate(
    at_a_terminal: Callable[[], None], club: Club
) -> None:
    before = everything_in(club.folder)
    ran = run("log", "playout", "Ana", "queen-box-1", "mate", *DAY)
    assert ran.err.startswith("coachbook: In how many moves was it mate? Say it, such as 'mated in 14'")
    assert (ran.code, everything_in(club.folder)) == (2, before)
    at_a_terminal()
    counted = done("log", "playout", "Ana", "queen-box-1", "mate", *DAY, typed="9\n")
    assert counted.endswith("Kept: a play-out of Ana in queen-box on 2026-09-10: mate after 9 moves.\n")
    uncounted = done("log", "playout", "Ana", "queen-box-1", "mate", *DAY, typed="\n")
    assert uncounted.endswith("in queen-box on 2026-09-10: mate, moves not counted.\n")


@pytest.mark.usefixtures("club")
def test_a_code_may_be_typed_as_it_is_read_with_spaces() -> None:
    kept = "Kept: a play-out of Ana in queen-box on 2026-09-10: stalemate, goal not reached.\n"
    for code in (("PLAY-QUEEN-", "BOX-1"), ("PLAY- QUEEN-BOX- 1",), ("queen-", "box-", "1")):
        assert done("log", "playout", "Ana", *code, "stalemate", *DAY) == kept


def test_a_play_out_with_moves_is_judged_and_printed(club: Club) -> None:
    page = club.folder / "ana.pdf"
    moves = "1. Qc4 Ke3 2. Kb2 Kf3"
    told = done("log", "playout", "Ana", FEN, "queen-box", moves, "--to", str(page), *DAY).splitlines()
    assert told[0] == "1. Qc4 Ke3 2. Kb2 Kf3"
    assert told[1].startswith("Stopped after 2 moves (")
    assert told[-2] == (
        "Kept: a play-out of Ana in queen-box on 2026-09-10: stopped after 2 moves, does not count."
    )
    assert page.read_bytes().startswith(b"%PDF")


def test_a_page_appears_only_after_the_play_out_is_in_the_log(
    club: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = club.folder / "ana.pdf"

    def refuse(*_: object, **__: object) -> None:
        assert not page.exists()
        raise CoachbookError("The book is busy.", "Try again.")

    monkeypatch.setattr(playing, "log_play_out", refuse)
    asked = ("log", "playout", "Ana", FEN, "queen-box", "1. Qc4 Ke3", "--to", str(page), *DAY)
    assert run(*asked).problems == ["coachbook: The book is busy. Try again."]
    assert not page.exists()


def test_the_screen_counts_the_moves_off_the_rule_as_the_page_does(club: Club) -> None:
    start = "8/8/8/8/8/8/1k6/3Q3K w - - 0 1"
    walk = "Kg2 Ka2 Kf2 Kb2 Ke2 Ka2 Kf3 Kb2 Ke2 Ka2 Kf2 Kb2 Ke2"  # the first move is as quick as any
    page = club.folder / "ana.pdf"
    told = done("log", "playout", "Ana", start, "queen-box", walk, "--to", str(page), *DAY)
    assert told.count("Off the rule: ") == 3
    assert "              and 2 more\n" in told
    text = PdfReader(page).pages[0].extract_text()
    assert ("Move 2: " in text, text.count("\N{EN DASH}"), "And 2 more moves." in text) == (True, 3, True)


@pytest.mark.parametrize(
    ("fen", "moves", "told", "title"),
    [
        (
            "3r4/8/8/8/8/2k5/8/K6Q w - - 0 1",
            "1. Qh3+ Kc4",
            "Quicker way:  1. Qh3+: Cost 4 moves",
            "There was a quicker way",
        ),
        (FEN, "1. Qf2+ Kxf2", "First slip:   1. Qf2+: Black can take the queen.", "First slip"),
    ],
)
def test_the_screen_calls_a_slow_move_no_slip_as_the_page_does(
    club: Club, fen: str, moves: str, told: str, title: str
) -> None:
    page = club.folder / "ana.pdf"
    asked = ("--allowance", "40", "--to", str(page))
    judged = done("log", "playout", "Ana", fen, "queen-box", moves, *asked, *DAY)
    assert told in judged
    assert ("First slip" in judged) == (title == "First slip")
    text = PdfReader(page).pages[0].extract_text()
    assert [each for each in ("First slip", "There was a quicker way") if each in text] == [title]


def test_a_game_in_pgn_is_read_from_a_file(club: Club) -> None:
    game = club.folder / "game.pgn"
    game.write_text(
        f'[Event "Club"]\n[SetUp "1"]\n[FEN "{FEN}"]\n\n1. Qc4 Ke3 2. Kb2 Kf3 *\n', encoding="utf-8"
    )
    told = done("log", "playout", "Ana", FEN, "queen-box", "--pgn", str(game), *DAY)
    assert told.startswith("1. Qc4 Ke3 2. Kb2 Kf3\n")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("Ana", "queen-box-9", "stalemate"), "The unit queen-box has no play-out 9."),
        (("Ana", "no-such-1", "stalemate"), "There is no unit 'no-such'."),
        (("Ana", "what", "stalemate"), "'what' is neither a card's code nor a position."),
        (("Ana", FEN, "stalemate"), "A position of your own needs a unit."),
        (("Anna", "queen-box-1", "stalemate"), "There is no student 'Anna'. Did you mean 'Ana'?"),
        (("Ana", "queen-box-1", "1. Qh9"), "Move 1, White"),
        (("Ana", "queen-box-1", "lost", "a", "rook"), "White has no rook in this play-out"),
        (
            ("Ana", "queen-box-1", "mated", "in", "0"),
            "A play-out of 0 moves cannot be. Give the student's moves",
        ),
        (
            ("Ana", "queen-box-1", "stalemate", "--to", "x.pdf"),
            "The page shows the moves, and there are none.",
        ),
        (("Ana", "queen-box-1", "stalemate", "--pgn", "x.pgn"), "The game is given twice."),
        (("Ana", "queen-box-1", "--pgn", "x.pgn"), "x.pgn cannot be read (No such file or directory)."),
        (("Ana", "8/8/8/8 w - - 0 1", "queen-box", "mate"), "is not a position in FEN"),
    ],
)
def test_what_cannot_be_logged_is_told_in_a_line_and_nothing_is_kept(
    club: Club, arguments: tuple[str, ...], told: str
) -> None:
    before = everything_in(club.folder)
    ran = run("log", "playout", *arguments, *DAY)
    assert (ran.code, len(ran.problems)) == (2, 1)
    assert told in ran.err
    assert everything_in(club.folder) == before


@pytest.mark.usefixtures("club")
def test_notes_are_kept_and_shown_as_evidence() -> None:
    note = ("log", "note", "Ana", "queen-box", "explained", "it", "to", "Bo")
    assert done(*note, "--can", *DAY) == "Kept: a note on Ana in queen-box on 2026-09-10.\n"
    assert "2026-09-10: seen: explained it to Bo (can do it)" in done("student", "show", "Ana", *DAY)
    assert "Give --can or --trouble, not both." in run(*note, "--can", "--trouble", *DAY).err
    assert "A note needs words" in run("log", "note", "Ana", "queen-box", " ", *DAY).err
    assert "Use at most 300" in run("log", "note", "Ana", "queen-box", "x" * 301, *DAY).err


@pytest.mark.usefixtures("club")
def test_a_note_without_a_unit_is_on_the_evening_and_counts_for_nothing() -> None:
    assert done("log", "note", "ana", "left early", *DAY) == "Kept: a note on Ana on 2026-09-10.\n"
    told = done("student", "show", "Ana", *DAY)
    assert "Noted on 2026-09-10: left early\n" in told
    assert "Evidence" not in told
    assert "no student 'Zed'" in run("log", "note", "Zed", "well done", *DAY).err


@pytest.mark.usefixtures("club")
def test_what_a_student_can_do_needs_a_unit_and_those_begun_are_named() -> None:
    done("log", "playout", "Ana", "queen-box-1", "9", *DAY)
    assert run("log", "note", "ana", "well done", "--can", *DAY).err == (
        "coachbook: Which unit is the note about? Name the unit after the student. Ana has begun queen-box.\n"
    )
    assert run("log", "note", "Bo", "not yet", "--trouble", *DAY).err == (
        "coachbook: Which unit is the note about? Name the unit after the student. 'coachbook syllabus list'"
        " shows all units.\n"
    )


@pytest.mark.usefixtures("club")
def test_any_entry_can_be_listed_and_taken_back() -> None:
    assert done("log", "list") == "Nothing is logged yet.\n"
    done("log", "playout", "Ana", "queen-box-1", "9", *DAY)
    done("log", "attendance", "Ana", "--group", "Owls", *DAY)
    listed = json.loads(done("log", "list", "--json"))
    assert [(each["id"], each["what"]) for each in listed] == [
        (2, "attendance on 2026-09-10: 1 of 3 there"),
        (1, "a play-out of Ana in queen-box on 2026-09-10: mate after 9 moves"),
    ]
    assert done("log", "undo", "1").startswith(
        "Taken back: a play-out of Ana in queen-box on 2026-09-10: mate"
    )
    assert "There is no entry 1 in the log." in run("log", "undo", "1").err
    assert "attendance" in done("log", "list", "--last", "1")


@pytest.mark.usefixtures("club")
def test_the_list_names_the_group_of_which_an_entry_is() -> None:
    done("log", "attendance", "Ana", "--group", "Owls", *DAY)
    done("log", "attendance", "Dee", "--group", "Foxes", *DAY)
    done("log", "attendance", "Ana", "Dee", "--group", "Owls", *DAY)
    done("student", "add", "Eve", "--group", "Owls", "--group", "Foxes")
    done("log", "note", "Eve", "queen-box", "helps", *DAY)
    done("log", "attendance", "Eve", "Bo", "--group", "Owls", *DAY)
    listed = json.loads(done("log", "list", "--json"))
    assert [each["group"] for each in listed] == ["Owls", "", "", "Foxes", "Owls"]
    told = done("log", "list").splitlines()
    assert told[0].split() == ["Entry", "Logged", "Group", "What"]
    assert "  Foxes  attendance of Dee on 2026-09-10: there" in told[4]


def test_a_preview_marks_everything_and_keeps_nothing(club: Club) -> None:
    file = answers_of(club, f"Ana,1,rubbish,{club.sheet},2026-09-10", f"Bo,2,-,{club.sheet},2026-09-11")
    before = everything_in(club.folder)
    told = done("log", "answers", "--table", str(file), "--preview")
    assert told.endswith("Nothing was kept.\n")
    assert "rubbish" in told
    assert "unreadable" in told
    assert everything_in(club.folder) == before


def test_a_table_that_was_written_can_be_read_in_again(club: Club) -> None:
    rows = (f"Ana,1,Qe5,{club.sheet},2026-09-10", f'Łucja,2,"9; or 8",{club.sheet},2026-09-17')
    done("log", "answers", "--table", str(answers_of(club, *rows)))
    table = club.folder / "out.csv"
    assert done("log", "export", "--to", str(table)) == f"Written: {table} (2 answers)\n"
    with table.open(encoding="utf-8", newline="") as file:
        written = list(csv.DictReader(file))
    assert [(row["student"], row["answer"], row["date"]) for row in written] == [
        ("Ana", "Qe5", "2026-09-10"),
        ("Łucja", "9; or 8", "2026-09-17"),
    ]
    done("log", "undo")
    done("log", "answers", "--table", str(table))
    again = club.folder / "again.csv"
    done("log", "export", "--to", str(again))
    assert again.read_bytes() == table.read_bytes()
    assert done(
        "log", "export", "--to", str(again), "--from", "2026-09-11", "--until", "2026-09-12"
    ).endswith("(0 answers)\n")
    assert done("log", "export", "--to", str(again), "--student", "ana").endswith("(1 answer)\n")


def test_what_cannot_be_read_in_a_table_is_told_in_a_line_each(club: Club) -> None:
    rows = ("Ana,1,rubbish", "Ana,2,", "Bo,1,9", "", "lucja,3,Qi9")
    told = [
        "line 2: Ana, item 1: rubbish cannot be read; it counts as wrong. FORM",
        "line 6: Łucja, item 3: Qi9 cannot be read; it counts as wrong. FORM",
    ]
    sheet = sheet_in(club.book, club.sheet)
    wanted = [form_in_words(sheet.items[item - 1], "KDTLS") for item in (1, 3)]
    told = [each.replace("FORM", form) for each, form in zip(told, wanted, strict=True)]
    done("club", "set", "--letters", "KDTLS", "--yes")
    code = club.sheet.lower()
    file = answers_of(club, *(f"{row},{code},2026-09-10" if row else "" for row in rows))
    for more in (("--preview",), ()):
        lines = done("log", "answers", "--table", str(file), *more).splitlines()
        assert lines[-3:-1] == told


def test_a_name_that_is_not_found_is_told_once_with_its_lines(club: Club) -> None:
    names = ("Anna", "Anna", "Ana", "Zed", "Anna", "Anna")
    file = answers_of(club, *(f"{name},{item},9,," for item, name in enumerate(names, start=1)))
    ran = run("log", "answers", "--table", str(file), *DAY)
    assert ran.problems == [
        "coachbook: answers.csv: lines 2, 3, 6 and 7: There is no student 'Anna'. Did you mean 'Ana'?",
        "coachbook: answers.csv: line 5: There is no student 'Zed'. Check the spelling.",
    ]
    there = club.folder / "there.csv"
    days = "".join(f"2026-09-{day},Anna,yes\n" for day in (10, 17, 24))
    there.write_text(f"date,student,present\n{days}", encoding="utf-8")
    ran = run("log", "attendance", "--table", str(there))
    assert ran.problems == [
        "coachbook: there.csv: lines 2 to 4: There is no student 'Anna'. Did you mean 'Ana'?"
    ]
