"""Typing an evening in: what is shown, and that nothing is kept before the coach says yes."""

import builtins
from collections.abc import Callable
from pathlib import Path

import pytest
import typer

from coachbook.wording.answer_forms import form_in_words
from tests.cli.conftest import Club
from tests.cli.drive import done, kept_in, right_answers, run, sheet_in

LOG = ("log", "answers", "--date", "2026-09-10")
CTRL_C = "\x03"


def test_each_line_is_marked_at_once_and_all_are_kept_as_one_entry(club: Club) -> None:
    right = right_answers(sheet_in(club.book, club.sheet))
    ana = "; ".join(right)
    told = done(*LOG, typed=f"{ana}\n\n;nonsense\n\n\n\n").splitlines()
    assert told[0] == f"Sheet {club.sheet}, The queen's box: 6 items. '?' shows help."
    assert told[1].startswith("Ana: ")
    assert sum("✓ right" in line for line in told) == 6
    assert "  6 of 6 right" in told
    assert sum("✗ not tried" in line for line in told) == 5
    assert sum("nonsense  ✗ unreadable" in line for line in told) == 1
    assert any(line.startswith("  0 of 6 right: left 5 blank, wrote unreadably once") for line in told)
    assert (
        told[-1]
        == f"Keep these? [Y/n] Kept: 12 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10."
    )
    assert f"12 answers of 2 students on sheet {club.sheet}" in done("log", "undo")


def test_help_and_too_many_answers_ask_again(club: Club) -> None:
    told = done(*LOG, club.sheet, typed="?\n1;2;3;4;5;6;7\n\n\n\n")
    assert "with a semicolon between" in told
    assert "These are 7 answers, but the sheet has 6 items." in told
    assert told.count("Ana: ") == 3
    assert told.endswith("No answers typed.\n")


def test_a_coach_who_says_no_is_asked_what_to_type_again(club: Club) -> None:
    told = done(*LOG, typed="9;\n\n\n8;\n\nperhaps\nn\n3\n1 2 Qa1 Qb2 Qc3 Qd4\nn\n4\nlucja\n\nn\n\n\n")
    assert told.count("Keep these? [Y/n]") == 5
    assert "Keep these? [Y/n]   Type y, < or n.\n" in told
    assert "  1  Ana: 0 of 6 right: left 5 blank, miscounted the box once\n" in told
    assert "  2  Bo: nothing typed\n" in told
    assert "Łucja, again (Enter: as it was): " in told
    assert "There is no student 4 in the list. Numbers are 1 to 3." in told
    assert told.endswith(f"Kept: 12 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10.\n")
    done("log", "export", "--to", "all.csv")
    assert f"Łucja,{club.sheet},3,Qa1," in Path("all.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("typed", "lost"), [("9;\n\n\n\n", "6 answers of Ana"), ("9;\n\n1: 8\n\n", "7 answers of 2 students")]
)
@pytest.mark.parametrize("word", ["drop", "none"])
def test_all_is_thrown_away_by_a_plain_word_alone_and_that_is_told(
    club: Club, typed: str, lost: str, word: str
) -> None:
    before = kept_in(club.folder)
    assert done(*LOG, typed=f"{typed}n\n{word}\n").endswith(f"Not kept: {lost}.\n")
    assert kept_in(club.folder) == before
    assert done(*LOG, typed="\n\n\n").endswith("No answers typed.\n")


def test_an_item_that_cannot_be_read_is_asked_for_again(club: Club) -> None:
    right = right_answers(sheet_in(club.book, club.sheet))
    told = done(
        *LOG, typed="; ".join(["?", "many", "Qh9", *right[3:]]) + f"\n{right[1]}\nQi8\n{right[2]}\n\n\n\n"
    )
    assert told.count("Again (Enter: the student wrote that; <: the whole line): ") == 3
    assert "  Item 2: 'many' cannot be read. Write a number like 12, or - for nothing.\n" in told
    assert "  Item 3: 'Qi8' cannot be read. Write " in told
    assert told.count("✓ right") == 5
    assert "  5 of 6 right: left 1 blank\n" in told


def test_the_form_that_is_wanted_is_told_in_the_letters_of_the_club(club: Club) -> None:
    done("club", "set", "--letters", "KDTLS", "--yes")
    items = sheet_in(club.book, club.sheet).items
    told = done(*LOG, typed="; ".join(["Zz"] * len(items)) + "\n" + "\n" * (len(items) + 3))
    for number, item in enumerate(items, start=1):
        assert f"  Item {number}: 'Zz' cannot be read. {form_in_words(item, 'KDTLS')}\n" in told


@pytest.mark.usefixtures("club")
def test_what_the_student_wrote_stays_by_enter_and_a_line_in_the_wrong_place_is_typed_again() -> None:
    told = done(*LOG, typed="3: Qh9\n\n3: x\n" + "x" * 201 + "\n<\n3: Qe1\n\n\n")
    assert told.count("Bo: ") == 2
    assert "An answer has more than 200 characters." in told
    assert "  0 of 1 right: wrote unreadably once\n" in told
    assert "   3  Qe1  ✗ " in told


def test_the_student_before_is_one_key_away(club: Club) -> None:
    told = done(*LOG, typed="<\n1: 1\n1: 2\n<\n<\n1: 3\n\nskip\n<\n1: 4\n<\n1: 5\n\n")
    assert "This is the first student of the list." in told
    assert told.count("Ana, again") == 1
    done("log", "export", "--to", "all.csv")
    kept = [row.split(",")[:4] for row in Path("all.csv").read_text(encoding="utf-8").splitlines()[1:]]
    assert told.endswith(f"Kept: 3 answers of 3 students on sheet {club.sheet}, evening of 2026-09-10.\n")
    assert [row[-1] for row in sorted(kept)] == ["3", "2", "5"]


def test_personal_sheets_of_an_evening_are_gone_through_together(club: Club) -> None:
    done(
        "sheet",
        "make",
        "queen-box",
        "--group",
        "Owls",
        "--each",
        "--items",
        "1",
        "--date",
        "2026-09-17",
    )
    told = done("log", "answers", "--date", "2026-09-17", typed="1\n1\n1\n\n")
    assert told.count("Sheet QB-") == 3
    assert told.endswith("Kept: 3 answers of 3 students on 3 sheets, evening of 2026-09-17.\n")
    assert done("log", "answers", "--date", "2026-09-16", typed="\n\n\n").startswith(f"Sheet {club.sheet}")


@pytest.mark.parametrize("line", ["2, łucja", "2 3", "3,2", "bo,Łucja,2", "lucja, bo"])
@pytest.mark.usefixtures("club")
def test_the_absent_are_named_by_number_or_name(line: str) -> None:
    told = done("log", "attendance", "--group", "Owls", "--date", "2026-09-10", typed=f"{line}\n\n")
    assert "Owls on 2026-09-10: who is absent? Numbers or names, with commas between.\n  1  Ana\n" in told
    assert "There: 1 of 3. Absent: Bo, Łucja." in told
    assert told.endswith("Kept: attendance on 2026-09-10: 1 of 3 there.\n")


@pytest.mark.usefixtures("club")
def test_an_unknown_absentee_is_asked_for_again() -> None:
    told = done("log", "attendance", "--group", "Owls", typed="4\nBoo\n2 late\n\nn\n2\n\n")
    assert "There is no student 4 in the list. Numbers are 1 to 3." in told
    assert "'2 late': who comes late is there. Name only those who did not come." in told
    assert "The list has no student 'Boo'. Did you mean 'Bo'?" in told
    assert "There: 3 of 3. Absent: nobody." in told
    assert told.endswith(": 2 of 3 there.\n")


@pytest.mark.parametrize(
    ("arguments", "typed", "told"),
    [
        (LOG, "", "Nothing was kept."),
        (LOG, "9;\n", "Nothing was kept."),
        (LOG, "9;\n\n", "Not kept yet, but safe: 6 answers of Ana. The same command goes on from there."),
        (
            LOG,
            "9;\n\n9;\n\n9;\n\n",
            "Not kept yet, but safe: 18 answers of 3 students. The same command goes on from there.",
        ),
        (("log", "attendance", "--group", "Owls"), "", "Nothing was kept."),
        (
            ("log", "attendance", "--group", "Owls"),
            "1\n",
            "Not kept yet, but safe: who was absent. The same command goes on from there.",
        ),
    ],
)
def test_input_that_ends_early_keeps_nothing(
    club: Club, arguments: tuple[str, ...], typed: str, told: str
) -> None:
    before = kept_in(club.folder)
    ran = run(*arguments, typed=typed)
    assert (ran.code, ran.err) == (2, f"coachbook: Stopped. {told}\n")
    assert kept_in(club.folder) == before


@pytest.fixture
def keys(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Lines that are typed one by one; CTRL_C is that key, and so is all that comes after the last."""

    def typed(*lines: str) -> None:
        left = iter(lines)

        def answer(prompt: str) -> str:
            typer.echo(prompt)
            line = next(left, CTRL_C)
            if line == CTRL_C:
                raise KeyboardInterrupt
            return line

        monkeypatch.setattr(builtins, "input", answer)

    return typed


def test_ctrl_c_asks_whether_to_keep_what_is_typed_so_far(club: Club, keys: Callable[..., None]) -> None:
    keys("1 2 Qa1 Qb2 Qc3 Qd4", CTRL_C, "")
    ran = run(*LOG)
    assert (
        "\nStopped at Bo. 6 answers of Ana are typed.\nKeep these? [Y/n] \nKept: 6 answers of Ana" in ran.out
    )
    assert (ran.code, ran.err) == (2, "coachbook: Stopped. To type the rest, log answers again.\n")
    assert f"6 answers of Ana on sheet {club.sheet}" in done("log", "list")


def test_ctrl_c_in_the_middle_of_a_line_keeps_nothing_of_that_line(
    club: Club, keys: Callable[..., None]
) -> None:
    keys("1: 1", "2: many", CTRL_C, "")
    assert (
        f"Kept: 1 answer of Ana on sheet {club.sheet}, item 1 (wrong count), evening of 2026-09-10."
        in run(*LOG).out
    )
    keys("1; 2", CTRL_C, "")
    assert run(*LOG).err == "coachbook: Stopped. Nothing was kept.\n"


def test_ctrl_c_at_the_last_question_asks_it_once_more(club: Club, keys: Callable[..., None]) -> None:
    keys("1: 1", "1: 1", "1: 1", CTRL_C, "n", "bo", "1: 2", "")
    ran = run(*LOG)
    assert "\nStopped. 3 answers of 3 students are typed.\n" in ran.out
    assert f"Kept: 3 answers of 3 students on sheet {club.sheet}, evening of 2026-09-10." in ran.out
    assert ran.code == 2


def test_a_second_ctrl_c_keeps_nothing_and_says_what(club: Club, keys: Callable[..., None]) -> None:
    before = kept_in(club.folder)
    keys("1: 1", "2: 1", CTRL_C, CTRL_C)
    ran = run(*LOG)
    assert (ran.code, ran.err) == (
        2,
        "coachbook: Stopped. Not kept yet, but safe: 2 answers of 2 students."
        " The same command goes on from there.\n",
    )
    keys(CTRL_C, "")
    assert run(*LOG).err == "coachbook: Stopped. Nothing was kept.\n"
    assert kept_in(club.folder) == before


def test_fewer_answers_than_items_are_typed_again_or_the_last_were_left_blank(club: Club) -> None:
    told = done(*LOG, typed="1; 2; Qa1; Qb2;\n1; 2; Qa1\n1 2 Qa1 Qb2 Qc3 Qd4\n1;2;Qa1;Qb2;Qc3\n\n\n\n")
    assert "  These are 4 answers, but the sheet has 6 items.\n" in told
    assert "The line again (Enter: 5 and 6 were left blank): " in told
    assert "The line again (Enter: 4 to 6 were left blank): " in told
    assert "The line again (Enter: 6 was left blank): " in told
    assert told.count("✗ not tried") == 1
    assert told.endswith(f"Kept: 12 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10.\n")


def test_what_is_not_text_keeps_nothing(club: Club) -> None:
    before = kept_in(club.folder)
    ran = run(*LOG, typed=b"9;\xff\n")
    assert ran.code == 2
    assert ran.err == "coachbook: What was typed is not UTF-8 text. Nothing was kept.\n"
    assert kept_in(club.folder) == before


def test_one_word_for_each_item_needs_no_semicolons_and_some_items_can_be_told_by_number(club: Club) -> None:
    told = done(*LOG, typed="1 2 Qa1 Qb2 Qc3 Qd4\n3: Qe5; 5: Qa1\n\n\n")
    assert told.endswith(f"Kept: 8 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10.\n")
    told = done(*LOG, club.sheet, typed="1 2 3 4 5\n\n\n\n")
    assert "The sheet has 6 items, but divided at spaces there are 5 answers." in told


def test_an_interrupted_evening_goes_on_where_it_stopped(club: Club) -> None:
    done(*LOG, typed="\n1 2 Qa1 Qb2 Qc3 Qd4\n\n\n")
    told = done(*LOG, typed="\n\n")
    assert "Bo: " not in told
    assert "Ana: " in told
    done(*LOG, typed="1 2 Qa1 Qb2 Qc3 Qd4\n1 2 Qa1 Qb2 Qc3 Qd4\n\n")
    ran = run(*LOG)
    assert ran.code == 2
    assert ran.err == (
        "coachbook: Everything on the sheets of 2026-09-10 is logged. To change something, name the sheet.\n"
    )
    assert "Kept: 18" not in done(*LOG, club.sheet, typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")


def test_ticks_and_crosses_take_one_key_an_item(club: Club) -> None:
    told = done(*LOG, "--ticks", typed="?\n11?\n11\n10-1x.\n=\n\n\n").splitlines()
    assert any("Type one sign for each item" in line for line in told)
    assert any("'?' is not a mark." in line for line in told)
    assert any("These are 2 marks, but the sheet has 6 items." in line for line in told)
    assert any(line.endswith("2 of 6 right: left 2 blank") for line in told)
    assert any(line.endswith("6 of 6 right") for line in told)
    assert told[-1].endswith(f"Kept: 12 answers of 2 students on sheet {club.sheet}, evening of 2026-09-10.")


def test_the_clubs_own_letters_are_read(club: Club) -> None:
    """As a German club writes: Dame for queen."""
    right = right_answers(sheet_in(club.book, club.sheet))
    german = "; ".join(right).translate(str.maketrans("QRBN", "DTLS"))
    assert german != "; ".join(right)
    told = done(*LOG, typed=f"{german}\n<\n{german}\n<\n\n\n\n")
    assert "cannot be read" in told
    assert told.count("Does your club write D for the queen? coachbook club set --letters KDTLS\n") == 1
    done("club", "set", "--letters", "kdtls")
    assert "6 of 6 right" in done(*LOG, typed=f"{german}\n\n\nn\nnone\n")
    assert "6 of 6 right" in done(*LOG, typed=f"{'; '.join(right)}\n\n\nn\nnone\n")
    assert done("club", "set", "--letters", "none") == "Letters: English (KQRBN) (was KDTLS).\n"
    assert run("club", "set", "--letters", "KDT").code == 2


def test_the_sheets_of_the_absent_and_of_other_groups_are_not_asked_for(club: Club) -> None:
    done("log", "attendance", "Ana", "Łucja", "--group", "Owls", "--date", "2026-09-10")
    told = done(*LOG, typed="\n\n")
    assert "Bo: " not in told
    assert told.count(": ") >= 2
    assert "Bo: " in done(*LOG, club.sheet, typed="\n\n\n")
    assert "Everything on the sheets of 2026-09-10 is logged." in run(*LOG, "--group", "Foxes").err


def test_a_correction_belongs_to_the_evening_of_the_sheet_unless_a_date_is_given(club: Club) -> None:
    done(*LOG, club.sheet, "--ticks", typed="110000\n\n\n\n")
    done("log", "answers", club.sheet, "--ticks", typed="111111\n\n\n\n")
    assert "2026-09-10: 6 of 6" in done("student", "show", "Ana", "--date", "2026-09-11")
    early = run("log", "answers", club.sheet, "--date", "2026-09-09", typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n\n")
    assert (
        f"Sheet {club.sheet} was made on 2026-09-10: nobody can have answered it on 2026-09-09." in early.err
    )


@pytest.mark.usefixtures("club")
def test_a_name_that_no_font_has_is_told_when_it_is_added() -> None:
    assert "cannot be printed" not in done("student", "add", "Đức Ελένη Мирослава")
    told = done("student", "add", "\u05e9\u05d9\u05e8\u05d4 \u05db")
    assert "'\u05e9\u05d9\u05e8\u05d4 \u05db' cannot be printed" in told
    assert "coachbook student rename '\u05e9\u05d9\u05e8\u05d4 \u05db' NAME" in told


def test_an_answer_that_no_table_could_hold_is_asked_for_again(club: Club) -> None:
    long, spaced = "x" * 201, " ".join(["x" * 40] * 6)
    told = done(*LOG, typed=f"1;{long}\n3: \x1b[2J\n{spaced}" + "\n" * 10)
    assert "An answer has more than 200 characters." in told
    assert "There is a control character in the line." in told
    assert told.endswith(f"Kept: 6 answers of Ana on sheet {club.sheet}, evening of 2026-09-10.\n")
    done("log", "export", "--to", "all.csv")
    assert done("log", "answers", "--table", "all.csv", "--preview").endswith("Nothing was kept.\n")
