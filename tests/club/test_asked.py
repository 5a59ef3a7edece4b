"""Texts of others are changed only as the coach decides, in the book and in its backups alike."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from coachbook.club.backup import back_up
from coachbook.club.book import Book, open_book
from coachbook.club.connection import connect
from coachbook.club.erase import count_facts, erase_student, find_mentions, rename_student
from coachbook.club.log import last_entries, log_answers, log_observation
from coachbook.club.mentions import with_replaced
from coachbook.club.results import answers, observations
from coachbook.club.sheets import load_worksheet, save_worksheet
from coachbook.club.students import add_group, add_student, list_groups, put_in_group
from coachbook.club.taken_back import take_back
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, ItemResult, Observation
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.model.worksheet import Worksheet
from tests.club.conftest import NOW
from tests.club.plans import keep_plan, plan_in_force
from tests.club.traces import MORNING, erase_everywhere, files_with, taken_out

NAME = "Zoë Müller"
DAY = date(2026, 11, 25)


@pytest.fixture
def club(book: Book, make_sheet: Callable[..., Worksheet]) -> Book:
    """Zoë Müller, Tom and Will, and a sheet for all of them."""
    with book.writing() as w:
        for name in (NAME, "Tom", "Will"):
            add_student(w, name)
        save_worksheet(w, make_sheet(code="QB-1"), [NAME, "Tom", "Will"])
    return book


def note(book: Book, text: str, of: str = "Tom", impression: Impression = Impression.NONE) -> int:
    with book.writing() as w:
        seen = Observation(of, "queen-box", DAY, text, impression)
        return log_observation(w, seen, MORNING.astimezone()).id


def notes(path: Path) -> list[str]:
    with open_book(path).reading() as r:
        return [seen.note for seen in observations(r)]


def test_no_note_is_changed_by_matching_alone(club: Book) -> None:
    texts = ["White will win", "Will helped", "waited for Zoë Müller", "Müller, Zoë helped"]
    for text in texts:
        note(club, text)
    for name in ("Will", NAME):
        erase_student(club.path, name)
    assert notes(club.path) == texts


def test_each_text_that_may_mention_the_student_is_found_with_where_it_stands(club: Book) -> None:
    with club.writing() as w:
        add_group(w, "Zoës friends")
    first = note(club, "Zoe Mullers brother")
    note(club, "of herself: Zoë Müller", of=NAME)
    second = note(club, "asked Zoë Müller")
    found = find_mentions(club.path, NAME)
    assert [
        (each.table, each.entry, each.of, each.evening, each.text, bool(each.exact)) for each in found
    ] == [
        ("observation", first, ("Tom",), "2026-11-25", "Zoe Mullers brother", False),
        ("observation", second, ("Tom",), "2026-11-25", "asked Zoë Müller", True),
        ("teaching_group", None, (), "", "Zoës friends", False),
    ]


def test_the_name_is_taken_out_of_the_same_note_in_every_backup_and_other_notes_stay(club: Book) -> None:
    note(club, "Zoë Müllers brother helped")
    kept = note(club, "like Zoë")
    backups = [back_up(club.path, MORNING.replace(hour=hour)) for hour in (9, 10)]
    wording = taken_out(club.path, NAME)
    done = erase_student(
        club.path, NAME, {each: text for each, text in wording.items() if each.entry != kept}
    )
    assert (done.reworded, [each.text for each in done.left]) == (1, ["like Zoë"])
    for path in (club.path, *backups):
        assert notes(path) == ["(erased) brother helped", "like Zoë"]
    assert files_with("Müller", club.path.parent) == []


def test_a_note_that_goes_is_gone_from_the_log_and_the_backups(club: Book) -> None:
    note(club, "Zoë helped", impression=Impression.CAN)
    made = back_up(club.path, MORNING)
    (mention,) = find_mentions(club.path, NAME)
    erase_student(club.path, NAME, {mention: None})
    for path in (club.path, made):
        with open_book(path).reading() as r:
            assert (observations(r), last_entries(r, 9)) == ([], [])
    assert files_with("Zoë", club.path.parent) == []


def test_what_only_a_backup_holds_is_found_and_changed_there(club: Book) -> None:
    note(club, "Zoë helped")
    made = back_up(club.path, MORNING)
    with club.writing() as w:
        take_back(w, NOW)
    note(club, "Tom alone")  # has the number that the entry had
    (mention,) = find_mentions(club.path, NAME)
    assert (mention.text, mention.in_book) == ("Zoë helped", False)
    erase_everywhere(club.path, NAME)
    assert (notes(club.path), notes(made)) == (["Tom alone"], ["(erased) helped"])


def test_a_note_of_the_same_words_in_another_entry_is_another(club: Book) -> None:
    first, second = note(club, "Zoë helped"), note(club, "Zoë helped")
    (mention, other) = find_mentions(club.path, NAME)
    assert (mention.entry, other.entry) == (first, second)
    erase_student(club.path, NAME, {other: "Somebody helped"})
    assert notes(club.path) == ["Zoë helped", "Somebody helped"]


def test_a_name_that_another_student_of_the_book_has_is_theirs_in_the_backups_too(club: Book) -> None:
    note(club, "Zoë Müller Okafor won")
    back_up(club.path, MORNING)
    with club.writing() as w:
        add_student(w, "Zoë Müller Okafor")
    assert find_mentions(club.path, NAME) == ()


def test_another_student_whose_name_holds_this_one_keeps_it(club: Book) -> None:
    with club.writing() as w:
        add_student(w, f"{NAME} Okafor")
    note(club, f"{NAME} Okafor won against {NAME}")
    erase_everywhere(club.path, NAME)
    assert notes(club.path) == [f"{NAME} Okafor won against (erased)"]


def test_a_group_named_after_a_student_gets_another_name_also_in_plans(club: Book) -> None:
    with club.writing() as w:
        for group in ("Zoë's evening", "Zoe's evening", "Owls"):
            add_group(w, group)
        put_in_group(w, ["Tom"], "Zoë's evening")
        why = Reason(Why.QUIET_GAMES, names=("Zoë's evening", "Zoe's evening"))
        builds = Reason(Why.NEXT, names=("Zoë's evening",))
        slots = (Slot(SlotKind.PRACTICE, "", 20, why), Slot(SlotKind.NEW, "queen-box", 20, builds))
        plan = TermPlan(DAY, DAY, 40, (PlannedSession(DAY, slots),), room=("Owls", "Zoë's evening"))
        keep_plan(w, plan, "Owls")
    made = back_up(club.path, MORNING)
    assert erase_everywhere(club.path, NAME).left == ()
    for path in (club.path, made):
        with open_book(path).reading() as r:
            assert [(group.name, group.size) for group in list_groups(r)] == [
                ("(erased)'s evening", 1),
                ("(erased)'s evening 2", 0),
                ("Owls", 0),
            ]
            kept = plan_in_force(r, "Owls")
            assert kept is not None
            assert kept.room == ("Owls", "(erased)'s evening")
            assert [slot.why for slot in kept.sessions[0].slots] == [
                Reason(Why.QUIET_GAMES, names=("(erased)'s evening", "(erased)'s evening 2")),
                builds,
            ]
            assert replace(kept, sessions=(), room=()) == replace(plan, sessions=(), room=())


def test_a_club_named_after_a_student_gets_another_name_also_at_the_head_of_sheets(
    club: Book, make_sheet: Callable[..., Worksheet]
) -> None:
    with closing(connect(club.path)) as connection:
        connection.execute("UPDATE club SET name = 'Zoë Müller Chess'")
    with club.writing() as w:
        sheet = replace(make_sheet(code="QB-2"), club="Zoë Müller Chess")
        save_worksheet(w, sheet, ["Tom"])
    erase_everywhere(club.path, NAME)
    reopened = open_book(club.path)
    assert reopened.club_name == "(erased) Chess"
    with reopened.reading() as r:
        assert load_worksheet(r, "QB-2") == replace(sheet, club="(erased) Chess")
    assert files_with("Müller", club.path.parent) == []


def test_an_answer_in_words_of_its_sheet_is_no_mention_and_any_other_is(
    book: Book, make_sheet: Callable[..., Worksheet], now: datetime
) -> None:
    with book.writing() as w:
        for name in ("Mate", "Tom"):
            add_student(w, name)
        save_worksheet(w, make_sheet(code="QB-1", keys=("k1", "k2")), ["Tom"])  # "Mate in one."
        results = [
            ItemResult("Tom", "QB-1", "queen-box", item, DAY, text, right=False, slip="unreadable")
            for item, text in ((1, "Mate in one"), (2, "ask Mate"))
        ]
        log_answers(w, results, now)
    (mention,) = find_mentions(book.path, "Mate")
    assert (mention.table, mention.of, mention.text) == ("answer", ("Tom",), "ask Mate")
    erase_everywhere(book.path, "Mate")
    with book.reading() as r:
        assert [answer.written for answer in answers(r)] == ["Mate in one", "ask (erased)"]
        assert load_worksheet(r, "QB-1").items[0].task.words == "Mate in one."


def test_what_was_left_can_be_taken_out_later(club: Book) -> None:
    note(club, "asked Zoë Müller")
    made = back_up(club.path, MORNING)
    assert [each.text for each in erase_student(club.path, NAME).left] == ["asked Zoë Müller"]
    with club.writing() as w:
        add_student(w, "Zoë Berger")
    assert count_facts(club.path, "zoë müller") == ("zoë müller", None)
    done = erase_everywhere(club.path, "zoë müller")
    assert (done.facts, done.reworded, done.left) == (0, 1, ())
    assert (notes(club.path), notes(made)) == (["asked (erased)"], ["asked (erased)"])
    with pytest.raises(CoachbookError, match="no student 'Zoë Müller'"):
        erase_student(club.path, NAME)


def test_a_misspelt_student_is_not_taken_for_one_whom_only_texts_mention(club: Book) -> None:
    note(club, "asked Zoë")
    with pytest.raises(CoachbookError, match="Did you mean 'Zoë Müller'"):
        erase_student(club.path, "Zoë Müllr")


def test_who_is_renamed_keeps_every_note_as_it_is_unless_the_coach_says_so(club: Book) -> None:
    note(club, "asked Zoë Müller and Zoë")
    note(club, "Zoë Müller did it", of=NAME)
    found = find_mentions(club.path, NAME, "Zoë Berger")
    assert [[each.text[span.start : span.end] for span in each.spans] for each in found] == [
        ["Zoë Müller"]
    ] * 2
    wording = {found[0]: with_replaced(found[0].text, found[0].spans, "Zoë Berger")}
    done = rename_student(club.path, NAME, "Zoë Berger", wording)
    assert (done.reworded, [each.text for each in done.left]) == (1, ["Zoë Müller did it"])
    assert notes(club.path) == ["asked Zoë Berger and Zoë", "Zoë Müller did it"]


def test_a_decision_on_a_text_that_is_not_there_changes_nothing(club: Book) -> None:
    note(club, "Zoë helped")
    (mention,) = find_mentions(club.path, NAME)
    stale = replace(mention, text="Zoë helped a lot")
    assert erase_student(club.path, NAME, {stale: "gone"}).reworded == 0
    assert notes(club.path) == ["Zoë helped"]


def test_finding_changes_nothing(club: Book, dump: Callable[[Path], list[str]]) -> None:
    note(club, "Zoë helped")
    before = dump(club.path)
    assert len(find_mentions(club.path, NAME)) == 1
    assert dump(club.path) == before
    with closing(sqlite3.connect(club.path)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (0,)
