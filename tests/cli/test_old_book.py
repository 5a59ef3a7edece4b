"""A book that 0.1.0 made is opened by today's coachbook, and everything that 0.1.0 said of it still holds.

In tests/club/old_book are `club.book.gz`, an invented club of three groups that share a room, and what 0.1.0
said of it, as transcripts (see `tests.cli.transcripts`). All of it was made by 0.1.0 (commit d9dfa43) alone:
- `made.txt` is everything that was typed, in an empty folder. The book is what was there at the end, after
  `PRAGMA wal_checkpoint(TRUNCATE)` and `VACUUM`, packed with gzip.
- `first_term.txt` was asked before the first `sheet make`: 0.1.0 showed only the newest plan of a group.
- The other transcripts were then asked, each of a copy of the book of its own.
- COACHBOOK_BOOK was `club.book`, COACHBOOK_SYLLABUS the folder `syllabus`, and the day 2026-12-10.

To make it again: play `made.txt`, then the others, with the `coachbook` of that commit.

What 0.1.0 said is never changed. Where today's words differ on purpose, the difference is named below.
"""

import gzip
import re
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club.book import HEAD
from coachbook.syllabus import read_syllabus
from coachbook.wording.counting import quoted
from tests.cli.drive import done
from tests.cli.transcripts import play

OLD = Path(__file__).parents[1] / "club" / "old_book"

REWORDED = {
    # At an assessment the coach explains nothing.
    " explains ": " needed ",
    # A draw that was not seen need not have been called a win.
    "took a draw for a win": "did not see a draw",
    # There may be more than one to lose.
    "lost the piece": "lost a piece",
    # It is plainer.
    "and it is no worry": "and that is how it should be",
    # What is pressed, not what is typed.
    "nothing: all was done": "Enter: everything was done",
    "(nothing: ": "(Enter: ",
    "What was not finished, and is to be planned again?": (
        "Which units were not finished, and need another evening?"
    ),
    # As one would say it.
    "Who is to review what, as far as can be told now:": "Who reviews what, as things stand today:",
    "Nothing is settled yet.": "Nothing is on this list yet.",
    "That takes time and practice": "It takes time and practice",
    "Who has finished early sets up an item of the sheet on a board, and plays it out": (
        "Those who finish early set up an item of the sheet on a board, and play it out"
    ),
    (
        "If its evenings are in a calendar already: delete them there, and export the term again"
        " ('coachbook term export'), or each stands there twice."
    ): (
        "Are its evenings in your calendar already? Delete them there, then export the term again"
        " with 'coachbook term export'. Otherwise each evening is there twice."
    ),
    # One word for eight squares from left to right.
    "gets to the last row": "gets to the last rank",
    # A single answer says to which item it is, and what it became.
    '"1 answer of Dov on sheet QS-86VVD"': '"1 answer of Dov on sheet QS-86VVD, item 2 (right)"',
    # An assessment has time for what is due, too.
    """Is the game over? Chiara
No room for these reviews:
Students Unit Why
Ben Two big pieces other units come first: 2 reviews are all that fit into an evening
Ben Is the game over? other units come first: 2 reviews are all that fit into an evening
""": "Two big pieces Ben\nIs the game over? Ben, Chiara\n",
    """The queen's box Gwen
No room for these reviews:
Students Unit Why
Farid The queen's box other units come first: 2 reviews are all that fit into an evening
""": "The queen's box everybody\n",
}
"""Words that were changed since, each with today's."""

ADDED = (
    # What is spelled otherwise now says so.
    re.compile(r"! (--[a-z]+|the file) is now .*: coachbook .*"),
    # Every change of a plan and of a group's name says how it is taken back.
    re.compile(r"To take it back: coachbook .*"),
    # A group may have several terms, of which one is shown.
    re.compile(r"Herons has other terms: 2026-04-16 to 2026-06-25\. To see one, .*"),
    re.compile(r"Herons has other terms: 2026-09-03 to 2026-12-10\. To see one, .*"),
    # What paper an evening takes.
    re.compile(r"Paper to print: .*"),
    # A family reads what was reached at the board.
    re.compile(r"At the board . Holding the draw:"),
    re.compile(r"playing it out at the board, Farid has reached the goal for the first time\."),
    # An evening of a group that was not closed is told.
    re.compile(r"Not closed yet: .*"),
    # Groups that share the room go on together.
    re.compile(r"Replanned with it: Otters and Rooks and Pawns\."),
    # An assessment stands for the review of its evening.
    re.compile(r"The same units, with different minutes: 2026-12-10"),
)
"""Whole lines that 0.1.0 did not say."""

LEVELS = [level.title for level in read_syllabus(OLD / "syllabus").levels]
FIRST_TERM = re.compile(r"(Owls and )?Herons,2026-0[456]-.*")
HELD_BY_THEN = re.compile(r"[^,]+,2026-(09|10|11-0|11-1[0-8]).*")
BY_WHOM = re.compile(r',\n *"against_coachbook": false,\n *"clocks": \[\]')
"""Nobody could play against coachbook itself."""
WHY_DUE = re.compile(r".*: .* The unit's rule asks for .*")
"""0.1.0 did not tell in a paragraph why a unit is due."""
SECOND_TERM = re.compile(r"Herons,2026-(09|1[012])-.*")
"""A table of a plan has all terms of a group, and that of 0.1.0 had one."""


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The old book as 0.1.0 left it, which the commands take as theirs, in a folder of its own."""
    path = tmp_path / "club.book"
    path.write_bytes(gzip.decompress((OLD / "club.book.gz").read_bytes()))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COACHBOOK_BOOK", path.name)
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(OLD / "syllabus"))
    return path


def _said(name: str) -> str:
    """What was typed to 0.1.0, and what it said."""
    return (OLD / f"{name}.txt").read_text(encoding="utf-8")


def _expected(said: str) -> list[str]:
    for old, new in REWORDED.items():
        said = said.replace(old, new)
    # The title of a level says what it is about.
    said = re.sub(rf"Level (\d) · ({'|'.join(map(re.escape, LEVELS))})", r"\2 · level \1", said)
    said = re.sub(r"(,?)level (\d)( is finished: [a-z -]+)", _of_level, said)
    return [_rounded(line) for line in said.splitlines()]


def _of_level(reason: re.Match[str]) -> str:
    """A reason with the title of its level; in a table, which has a comma before it, perhaps in quotes."""
    title = LEVELS[int(reason[2]) - 1]
    told = f"{quoted(title)}{reason[3]}"
    return f'{reason[1]}"{told}"' if reason[1] and "," in title else f"{reason[1]}{told}"


def _today(said: str, *added: re.Pattern[str]) -> list[str]:
    """What is said now if the same is typed, without what was `added` on purpose."""
    more = (*ADDED, *added)
    played = BY_WHOM.sub("", "\n".join(play(said))).split("\n")
    lines = (line for line in played if not any(each.fullmatch(line) for each in more))
    # In which form an answer is read that could not be read.
    return [_rounded(re.sub(r"\. Write .+, or - for nothing\.$", "", line)) for line in lines]


def _rounded(line: str) -> str:
    """Recall is the same on every machine up to its last digits."""
    return re.sub(r"([0-9]\.[0-9]{9})[0-9]+", r"\1", line)


def _check_same(name: str, *added: re.Pattern[str]) -> None:
    said = _said(name)
    assert _today(said, *added) == _expected(said)


_HEAD_OF_KEY = re.compile(r"^(.*?[A-Z]+-[A-Z0-9]{5}\b.*?|.*\([0-9 to,]+\)) (?=[0-9]{1,2} [A-Z])")
"""What stands before the first item of a page: the code, or units that items are from."""


def _with_keys_as_sets(lines: Sequence[str]) -> list[str | set[str]]:
    """Of a key all that it says, in any order: today it has two columns, and so fewer heads and feet; it
    warns before it shows the plan, and of a single move it does not say whose it is."""
    found: list[str | set[str]] = []
    in_key = False
    for line in lines:
        if line.startswith("$ "):
            in_key = line.startswith("$ pdftotext ") and line.endswith("-key.pdf")
            found += [line, set()] if in_key else [line]
        elif in_key and isinstance(said := found[-1], set):
            told = _HEAD_OF_KEY.sub("", line)
            if " page " not in line and not line.startswith("-- page "):
                said.add(re.sub("^(White Black|Black White) Why ", "", told))
        else:
            found.append(line)
    return found


def _check_papers(name: str) -> None:
    said = _said(name)
    assert _with_keys_as_sets(_today(said)) == _with_keys_as_sets(_expected(said))


def _dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        return list(connection.iterdump())


def _version(path: Path) -> str:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        (found,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return str(found)


def test_the_old_book_is_migrated_when_it_is_opened_and_a_copy_of_it_is_put_aside(book: Path) -> None:
    before = _dump(book)
    assert _version(book) == "0003"
    done("student", "list")
    assert _version(book) == HEAD
    (copy,) = book.with_name("club.book.backups").iterdir()
    assert copy.name == "before-0003.book"
    assert _dump(copy) == before


@pytest.mark.usefixtures("book")
def test_every_student_stands_where_they_stood_for_the_same_reasons() -> None:
    _check_same("standings", WHY_DUE)


@pytest.mark.usefixtures("book")
def test_the_same_students_are_due_and_the_same_slips_are_counted() -> None:
    _check_same("reviews")


@pytest.mark.usefixtures("book")
def test_families_and_committee_are_told_the_same() -> None:
    _check_same("reports")


@pytest.mark.usefixtures("book")
def test_every_plan_has_its_evenings_units_and_reasons() -> None:
    _check_same("plans", FIRST_TERM)


@pytest.mark.usefixtures("book")
def test_the_term_before_is_there_as_it_was_planned() -> None:
    _check_same("first_term", SECOND_TERM)


@pytest.mark.usefixtures("book")
def test_when_the_rest_of_a_term_is_planned_anew_what_was_held_stays_as_0_1_0_planned_it() -> None:
    """The rest is planned by the rules of today: an assessment stands for review, groups learn together."""
    said = _said("replanned")
    today, expected = (
        [line for line in lines if HELD_BY_THEN.match(line)]
        for lines in (_today(said, FIRST_TERM), _expected(said))
    )
    assert today == expected
    assert len(expected) > 100


@pytest.mark.usefixtures("book")
def test_reasons_name_a_group_by_its_new_name() -> None:
    _check_same("renamed", FIRST_TERM)


@pytest.mark.usefixtures("book")
def test_the_log_and_all_answers_are_as_they_were_and_marking_them_again_names_the_same_slips() -> None:
    _check_same("log")


@pytest.mark.usefixtures("book")
def test_a_sheet_of_each_unit_and_its_key_are_printed_again_word_for_word() -> None:
    """Every kind of exercise is on them; some have reviews, one is a form, one has the club's letters."""
    _check_papers("papers")


@pytest.mark.long
@pytest.mark.usefixtures("book")
def test_all_other_sheets_and_their_keys_are_printed_again_word_for_word() -> None:
    _check_papers("more_papers")


@pytest.mark.usefixtures("book")
def test_an_evening_that_was_made_ready_gets_the_same_sheets_cards_and_keys_again() -> None:
    _check_same("evening")


@pytest.mark.usefixtures("book")
def test_closing_an_evening_moves_the_same_to_the_next() -> None:
    """What is asked may be asked otherwise by now; what comes of it is the same."""
    said = _said("closed")
    end = "Herons: closed; next on 2026-11-26."
    expected, today = _expected(said), _today(said)
    assert today[today.index(end) :] == expected[expected.index(end) :]


@pytest.mark.long
@pytest.mark.usefixtures("book")
def test_every_claim_on_an_old_sheet_and_every_old_play_out_stands_when_it_is_worked_out_again() -> None:
    done("student", "list")
    assert done("check") == "All is well: 7 students, 49 sheets, 320 answers, 1 backup.\n"
