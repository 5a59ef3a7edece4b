"""Care of the book from the browser: backups, bringing one back, checking."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club.backup import own_backups, said_by_name
from coachbook.club.book import Book, open_book
from coachbook.workflows.members import add_member, students_of
from tests.desk.conftest import NOW, Browser, words

HERE = "/settings/care"


def done(coach: Browser, path: str, **form: object) -> str:
    """What somebody reads when the work is over."""
    return words(coach.wait_for_work(coach.send(path, form)).text)


def backup_of(foxes: Book, number: int = 0) -> str:
    return own_backups(foxes.path)[number].name


def damage(path: Path) -> None:
    with closing(sqlite3.connect(path)) as book, book:
        book.execute("UPDATE sheet SET body = replace(body, 'K', 'Q')")


def test_a_backup_is_made_and_listed_with_what_it_holds(coach: Browser, foxes: Book) -> None:
    before = len(own_backups(foxes.path))
    page = done(coach, f"{HERE}/backup")
    assert len(own_backups(foxes.path)) == before + 1
    assert "Thu 10 Sept 2026" in page
    assert "you asked for it 2 students, " in page


def test_the_same_press_makes_one_backup(coach: Browser, foxes: Book) -> None:
    before = len(own_backups(foxes.path))
    for _ in range(2):
        done(coach, f"{HERE}/backup", touch="0123456789abcdef")
    assert len(own_backups(foxes.path)) == before + 1


def test_the_page_says_whose_rules_come_first(coach: Browser) -> None:
    page = words(coach.get(HERE))
    assert "safeguarding rules and your data-protection law" in page
    assert "No birth dates, no addresses, no photos" in page


def test_a_copy_of_the_book_is_a_book(coach: Browser, tmp_path: Path) -> None:
    answer = coach.client.get(f"{HERE}/copy")
    assert answer.headers["content-disposition"] == 'attachment; filename="club-2026-09-10.book"'
    (tmp_path / "copy.book").write_bytes(answer.content)
    assert [each.name for each in students_of(open_book(tmp_path / "copy.book"))] == ["Ana", "Bo"]


def test_what_a_backup_would_change_is_shown_and_nothing_is_done(coach: Browser, foxes: Book) -> None:
    done(coach, f"{HERE}/backup")
    add_member(foxes, "<b>Cy</b>", ("Foxes",))
    answer = coach.wait_for_work(coach.post(f"{HERE}/look", backup=backup_of(foxes, -1)))
    assert "No longer in the book: &lt;b&gt;Cy&lt;/b&gt;." in answer.text
    assert "The book now 3 students" in words(answer.text)
    assert len(students_of(foxes)) == 3


def test_a_backup_that_was_looked_at_is_brought_back_once(coach: Browser, foxes: Book) -> None:
    done(coach, f"{HERE}/backup")
    add_member(foxes, "Cy", ("Foxes",))
    shown = coach.wait_for_work(coach.post(f"{HERE}/look", backup=backup_of(foxes, -1)))
    backups = len(own_backups(foxes.path))
    for _ in range(2):
        page = done(coach, shown.url.path)
        assert "The book holds 2 students" in page and "No longer in the book: Cy." in page
    assert [each.name for each in students_of(open_book(foxes.path))] == ["Ana", "Bo"]
    assert len(own_backups(foxes.path)) == backups + 1  # the book as it was


@pytest.mark.parametrize("name", ["", "../club.book", "/etc/passwd", "no-such.book", "club.book"])
def test_only_an_own_backup_can_be_looked_at(coach: Browser, name: str) -> None:
    assert "no longer there" in coach.post(f"{HERE}/look", 422, backup=name).text


@pytest.mark.parametrize("path", ["backup", "brought-back", "checked"])
@pytest.mark.parametrize("touch", ["0123456789abcdef", "x", "<b>"])
def test_what_was_never_found_is_not_shown(coach: Browser, path: str, touch: str) -> None:
    coach.get(f"{HERE}/{path}/{touch}", 422)


def test_a_book_that_is_well_is_told_so(coach: Browser, foxes: Book) -> None:
    add_member(foxes, "Cy", ("Foxes",))
    page = done(coach, f"{HERE}/check")
    assert "All is well 3 students" in page
    assert "Nothing is logged for Cy." in page


def test_what_is_wrong_is_told_in_words(coach: Browser, foxes: Book) -> None:
    damage(foxes.path)
    page = done(coach, f"{HERE}/check")
    assert "The book has faults" in page
    assert "All is well" not in page


def test_a_book_that_cannot_be_opened_can_still_be_brought_back(coach: Browser, foxes: Book) -> None:
    done(coach, f"{HERE}/backup")
    foxes.path.write_bytes(b"no book at all")
    assert "Backups" in coach.get("/settings")
    shown = coach.wait_for_work(coach.post(f"{HERE}/look", 422, backup="x"))
    assert "no longer there" in shown.text
    assert "you asked for it" in words(coach.get(HERE))


def test_a_backup_that_cannot_be_read_is_told_so(coach: Browser, foxes: Book) -> None:
    done(coach, f"{HERE}/backup")
    for each in own_backups(foxes.path):
        each.write_bytes(b"torn")
    page = coach.get(HERE)
    assert "It cannot be read." in page
    assert "Look at it" not in page


def test_where_there_is_no_book_there_are_no_backups(newcomer: Browser) -> None:
    assert "There is none yet" in newcomer.get(HERE)
    newcomer.post(f"{HERE}/backup", 422)
    assert "What is your club called?" in newcomer.get(f"{HERE}/copy")


def test_a_tablet_sees_nothing_of_it(helper: Browser) -> None:
    helper.get(HERE, 403)
    helper.get(f"{HERE}/copy", 403)
    helper.post(f"{HERE}/check", 403)


@pytest.mark.parametrize(
    ("name", "made", "why"),
    [
        ("2026-09-10-180000-daily-3.book", True, "daily"),
        ("2026-09-10-180000-2.book", True, ""),
        ("2026-09-10-180000-before-restore.book", True, "before-restore"),
        ("2026-99-99-999999.book", False, ""),
        ("before-0008-2.book", False, "before-0008"),
        ("club.book.before-0001.bak", False, "before-0001"),
        ("other.txt", False, ""),
    ],
)
def test_a_backups_name_says_when_and_why(name: str, made: bool, why: str) -> None:
    at, found = said_by_name(Path(name))
    assert found == why
    assert (at == NOW.replace(tzinfo=None)) is made
