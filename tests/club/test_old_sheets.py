"""Sheets from before sentences had codes: they are read, checked, marked and printed as they were made.

`sheet_of_0005.json` is one that was stored then, with an exercise of every kind that there was.
"""

import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from coachbook.club.book import Book, create_book, open_book
from coachbook.club.restore import restore
from coachbook.club.sheets import has_checksum, load_worksheet
from coachbook.club.stored import is_sealed, opened, sealed
from coachbook.errors import CoachbookError
from coachbook.exercises.kinds import kind_names
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.exercises.verify import check_exercise, find_damage, find_fault
from coachbook.model.print_options import Notation, PaperOptions
from coachbook.model.worksheet import AnswerForm, Exercise, Saying, Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording.exercises import accepted_words, option_words, printed_options
from tests.club.copies import make_fifth_version
from tests.paper import printed

SEALED = Path(__file__).with_name("sheet_of_0005.json").read_text(encoding="utf-8").strip()
PLAIN = opened(SEALED) or ""
STORED: list[dict[str, Any]] = json.loads(PLAIN)["items"]
LETTERS = PaperOptions(notation=Notation.LETTERS)


def upgraded(folder: Path, *bodies: str) -> Book:
    """A book of then with sheets QB-1, QB-2 ..., brought up to date."""
    path = folder / "old.book"
    make_fifth_version(path, {f"QB-{number}": body for number, body in enumerate(bodies, start=1)})
    return open_book(path)


def body_of(book: Book, code: str) -> str:
    with closing(sqlite3.connect(book.path)) as connection:
        (body,) = connection.execute("SELECT body FROM sheet WHERE code = ?", (code,)).fetchone()
    return str(body)


def sheet_of(book: Book) -> Worksheet:
    with book.reading() as r:
        return load_worksheet(r, "QB-1")


@pytest.fixture(params=[SEALED, PLAIN], ids=["with a checksum", "without one, as coachbook 0.1.0 wrote it"])
def sheet(request: pytest.FixtureRequest, tmp_path: Path) -> Worksheet:
    return sheet_of(upgraded(tmp_path, request.param))


def said(exercise: Exercise) -> list[Saying]:
    """All that it says, in the order in which it was stored."""
    solution = exercise.solution
    steps = solution.plan.steps if solution.plan else ()
    sources = [solution.plan.source] if solution.plan else []
    told = [saying for step in steps for saying in (step.rule, step.achieved)]
    return [exercise.task, solution.text, *sources, *told, *solution.watch_for]


def stored_words(item: dict[str, Any]) -> list[str]:
    solution, plan = item["solution"], item["solution"]["plan"]
    told = [words for step in plan["steps"] for words in (step["rule"], step["achieved"])] if plan else []
    return [
        item["task"],
        solution["text"],
        *([plan["source"]] if plan else []),
        *told,
        *solution["watch_for"],
    ]


def test_the_fourteen_kinds_of_then_are_there_still(sheet: Worksheet) -> None:
    kinds = {exercise.kind for exercise in sheet.items}
    assert len(kinds) == 14
    assert kinds <= set(kind_names())


def test_every_sentence_has_its_words_and_no_code(sheet: Worksheet) -> None:
    for exercise, item in zip(sheet.items, STORED, strict=True):
        assert [saying.words for saying in said(exercise)] == stored_words(item)
        assert {(saying.code, saying.facts) for saying in said(exercise)} == {("", ())}


def test_options_and_rules_are_codes_that_are_told_by_the_same_words(sheet: Worksheet) -> None:
    for exercise, item in zip(sheet.items, STORED, strict=True):
        answer = exercise.answer
        assert list(map(option_words, answer.options)) == item["answer"]["options"]
        assert list(accepted_words(answer)) == item["answer"]["accepted"]
        assert all(option.islower() and " " not in option for option in answer.options)
        assert list(answer.numbers) == item["answer"]["numbers"]


def test_all_else_is_as_it_was(sheet: Worksheet) -> None:
    for exercise, item in zip(sheet.items, STORED, strict=True):
        same = ("kind", "unit", "key", "seed", "difficulty")
        assert [getattr(exercise, name) for name in same] == [item[name] for name in same]
        assert [claim.claim for claim in exercise.claims] == [claim["claim"] for claim in item["claims"]]


def test_each_exercise_is_whole_and_sound_but_none_would_be_made_so_today(sheet: Worksheet) -> None:
    """But for a pawn that was said to be caught where White's king may come in time to guard it, and a rule
    of the rook's box, which has other rules by now."""
    assert [each.kind for each in sheet.items if find_fault(each)] == ["catch_pawn", "next_rule"]
    for exercise in sheet.items:
        assert find_damage(exercise) is None
        with pytest.raises(CoachbookError, match=r"words of its own|does not hold|not those that there are"):
            check_exercise(exercise)


def test_what_was_right_is_right_and_what_was_wrong_has_the_same_name(sheet: Worksheet) -> None:
    for exercise, item in zip(sheet.items, STORED, strict=True):
        assert mark_answer(exercise, ", ".join(item["answer"]["accepted"])) == RIGHT
        for option in set(item["answer"]["options"]) - set(item["answer"]["accepted"]):
            assert mark_answer(exercise, option) == Mark(False, item["answer"]["wrong"])


def test_sheet_and_key_are_printed_again_with_the_same_words(sheet: Worksheet, tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(worksheets_pdf([(sheet, "Mina")], LETTERS))
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], LETTERS))
    paper, key = (
        "".join("".join(printed.texts(tmp_path / name)).split()) for name in ("sheet.pdf", "key.pdf")
    )
    for exercise, item in zip(sheet.items, STORED, strict=True):
        assert "".join(item["task"].split()) in paper
        assert "".join(item["solution"]["text"].split()) in key
        if exercise.answer.form is AnswerForm.CHOICE:
            for option in printed_options(exercise.answer):
                assert "".join(option.split()) in paper


def test_a_sheet_keeps_its_checksum_and_one_without_gets_none(tmp_path: Path) -> None:
    book = upgraded(tmp_path, SEALED, PLAIN)
    with book.reading() as r:
        assert [has_checksum(r, code) for code in ("QB-1", "QB-2")] == [True, False]
    assert opened(body_of(book, "QB-1")) == body_of(book, "QB-2")


@pytest.mark.parametrize(
    "body",
    [
        SEALED.replace('"seed":7', '"seed":6', 1),
        SEALED.replace('{"sha256":"', '{"sha255":"'),
        PLAIN[:-1],
        PLAIN.replace('"task":"', '"task":7,"was":"', 1),
        PLAIN.replace('"items"', '"itemz"', 1),
        PLAIN.replace('"solution"', '"solutjon"', 1),
        sealed('{"code":"QB-1"}'),
        "",
        "no sheet",
    ],
)
def test_a_damaged_sheet_stays_as_it_is_and_is_still_told_to_be_damaged(tmp_path: Path, body: str) -> None:
    assert body not in (SEALED, PLAIN)
    book = upgraded(tmp_path, body, SEALED)
    assert body_of(book, "QB-1") == body
    with book.reading() as r:
        with pytest.raises(CoachbookError, match="sheet QB-1 is damaged"):
            load_worksheet(r, "QB-1")
        assert load_worksheet(r, "QB-2").items


def test_a_bit_that_flips_after_the_upgrade_is_found(tmp_path: Path) -> None:
    book = upgraded(tmp_path, SEALED)
    body = body_of(book, "QB-1").replace("White can mate", "White cad mate")
    assert is_sealed(body)
    assert opened(body) is None


def test_an_older_backup_is_brought_up_to_date_when_it_is_restored(tmp_path: Path) -> None:
    book = create_book(tmp_path / "club.book", "Rook and Pawn Club")
    make_fifth_version(tmp_path / "backup.book", {"QB-1": SEALED})
    restore(book.path, tmp_path / "backup.book", datetime(2026, 11, 26, tzinfo=UTC))
    restored = sheet_of(open_book(book.path))
    assert restored == replace(restored, items=sheet_of(upgraded(tmp_path, SEALED)).items)
