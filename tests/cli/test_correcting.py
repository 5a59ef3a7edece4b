"""A line that names items changes these alone, wherever it is typed; what it changes is shown."""

from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.results import answers
from coachbook.wording.exercises import option_words
from tests.cli.conftest import Club
from tests.cli.drive import done, right_answers, sheet_in

DAY = "2026-09-10"
LOG = ("log", "answers", "--date", DAY)


def logged(club: Club, name: str = "Ana") -> dict[int, str]:
    with open_book(club.book).reading() as page:
        return {each.item: each.written for each in answers(page, student=name)}


@pytest.mark.parametrize("back", ["\n\nn\nana\n2: 7\n\n", "<\n2: 7\n\n\n\n"])
def test_one_item_typed_anew_leaves_the_others_as_they_were(club: Club, back: str) -> None:
    right = right_answers(sheet_in(club.book, club.sheet))
    wrong = next(san for san in ("Qa1", "Qh8") if san not in right[2])
    told = done(*LOG, typed="; ".join([*right[:2], wrong, *right[3:]]) + f"\n{back}")
    assert f"  Item 2: was {right[1]}, now 7.\n" in told
    assert "  4 of 6 right: " in told
    assert logged(club) == dict(enumerate([right[0], "7", wrong, *right[3:]], start=1))


def test_the_same_holds_while_an_evening_is_closed(club: Club) -> None:
    done("term", "plan", "--group", "Owls", "--from", DAY, "--until", "2026-12-10", "--weekday", "thursday",
         "--minutes", "60")  # fmt: skip
    done("evening", "prepare", DAY, "--group", "Owls")
    close = ("evening", "close", DAY, "--group", "Owls", "--ticks")
    told = done(*close, typed="2, 3\n\n111101111111\nn\n1\n5: 1; 1: 0\n\n\n\n\n")
    assert "  Item 5: was \N{BALLOT X}, now \N{CHECK MARK}.\n" in told
    assert "  11 of 12 right\n" in told
    assert len(logged(club)) == 12


def test_a_line_without_numbers_says_what_all_of_the_sheet_is(club: Club) -> None:
    told = done(*LOG, typed="1 2 Qa1 Qb2 Qc3 Qd4\n<\n1 2 Qa1 Qb2 Qc3 -\n\n\n\n")
    assert told.count("Item ") == 1
    assert "  Item 6: was Qd4, now left blank.\n" in told
    assert logged(club) == {1: "1", 2: "2", 3: "Qa1", 4: "Qb2", 5: "Qc3", 6: ""}


def test_what_is_logged_stays_too_and_is_shown_before_and_after(club: Club) -> None:
    done(*LOG, typed="1 2 Qa1 Qb2 Qc3 Qd4\n\n\n\n")
    told = done("log", "answers", club.sheet, typed="2: 7\n\n\n\n")
    assert "  Item 2: was 2, now 7.\n" in told
    assert logged(club) == {1: "1", 2: "7", 3: "Qa1", 4: "Qb2", 5: "Qc3", 6: "Qd4"}
    Path("one.csv").write_text(f"student,item,answer,sheet\nAna,3,Qa2,{club.sheet}\n", encoding="utf-8")
    told = done("log", "answers", "--table", "one.csv")
    assert f"Ana, sheet {club.sheet}: Item 3: was Qa1, now Qa2.\n" in told
    assert logged(club) == {1: "1", 2: "7", 3: "Qa2", 4: "Qb2", 5: "Qc3", 6: "Qd4"}


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("ticks", [(), ("--ticks",)])
def test_the_help_says_so_in_plain_words(ticks: tuple[str, ...]) -> None:
    told = done(*LOG, *ticks, typed="?\n\n\n\n")
    assert "A line with numbers changes only these items; the others stay as you typed them." in told
    assert "A line without numbers is the whole sheet." in told


def test_a_dash_is_left_blank_wherever_it_is_typed_and_none_is_an_answer(club: Club) -> None:
    sheet = sheet_in(club.book, club.sheet)
    moves = next(n for n, item in enumerate(sheet.items, start=1) if item.kind == "every_mate")
    dash = done(*LOG, typed=f"{moves}: -\n{moves}: none\n\n\n")
    assert "  0 of 1 right: left 1 blank\n" in dash
    assert "  0 of 1 right: missed a mate once\n" in dash
    ticked = done(*LOG, club.sheet, "--ticks", typed=f"{moves}: -\n\n\n\n")
    assert "  0 of 1 right: left 1 blank\n" in ticked
    Path("dash.csv").write_text(
        f"student,item,answer,sheet\nAna,{moves},-,{club.sheet}\nBo,{moves},none,{club.sheet}\n",
        encoding="utf-8",
    )
    table = done("log", "answers", "--table", "dash.csv")
    assert "left 1 blank" in table
    assert "missed a mate once" in table
    for ticks in ((), ("--ticks",)):
        assert "left blank" in done(*LOG, club.sheet, *ticks, typed="?\n\n\n\n")


def test_letters_that_fit_two_words_to_tick_are_asked_about_with_both(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    monkeypatch.chdir(tmp_path)
    done("club", "new", "Harbour Lane")
    done("group", "add", "Owls")
    done("student", "add", "Ana", "--group", "Owls")
    day = ("--date", DAY, "--seed", "1", "--items", "12")
    code = done("sheet", "make", "two-majors", "--group", "Owls", *day).splitlines()[1].split()[0]
    items = sheet_in(tmp_path / "club.book", code).items
    item = next(n for n, each in enumerate(items, start=1) if each.kind == "next_rule")
    meant = [option for option in map(option_words, items[item - 1].answer.options) if option.startswith("m")]
    assert len(meant) > 1
    told = done(*LOG, typed=f"{item}: m\n{meant[1]}\n\n")
    assert f"  Item {item}: 'm': {' or '.join(meant)}?\n" in told
    assert "cannot be read" not in told
    assert "1 answer of Ana" in told
