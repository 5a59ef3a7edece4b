"""An evening of twelve sheets is typed in with few keys, and read without a mistake."""

from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.results import answers
from tests.bench.keystrokes import KEYS_A_MINUTE, an_evening
from tests.cli.drive import done

MOST_TO_CORRECT = 25
"""Keys for one item, after the words of the command."""


def test_twelve_sheets_take_fewer_keys_than_two_minutes_of_typing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    evening = an_evening(tmp_path)
    monkeypatch.setenv("COACHBOOK_BOOK", str(evening.book))
    log = ("log", "answers", "--date", "2026-09-10")
    told = done(*log, typed="\n".join(evening.lines) + "\n\n")
    assert told.count("6 of 6 right") == 12
    assert told.endswith("Kept: 72 answers of 12 students on 12 sheets, evening of 2026-09-10.\n")
    assert evening.keys < 2 * KEYS_A_MINUTE
    done("log", "undo")
    assert "72 answers" in done(*log, "--ticks", typed="\n".join(evening.ticks) + "\n\n")
    assert 4 * evening.tick_keys < evening.keys * 2


def test_one_wrong_mark_is_put_right_a_week_later_in_few_keys_and_nothing_else_changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    evening = an_evening(tmp_path)
    monkeypatch.setenv("COACHBOOK_BOOK", str(evening.book))
    done("log", "answers", "--date", "2026-09-10", typed="\n".join(evening.lines) + "\n\n")
    before = answers_in(evening.book)
    (code,) = {sheet for name, sheet, _ in before if name == "Student 03"}
    typed = "2: -\n\n"
    told = done("log", "answers", code, typed=typed)
    assert "  Item 2: was " in told
    after = answers_in(evening.book)
    assert {item for item in before if before[item] != after[item]} == {("Student 03", code, 2)}
    assert len(f"{code}\n{typed}") <= MOST_TO_CORRECT
    done("log", "undo")
    assert answers_in(evening.book) == before


def answers_in(book: Path) -> dict[tuple[str, str, int], str]:
    with open_book(book).reading() as page:
        return {(each.student, each.sheet, each.item): each.written for each in answers(page)}
