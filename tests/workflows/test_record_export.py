"""What is given out of a student: every fact that the book holds, and nothing of others."""

import json
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.club.board_games import add_game
from coachbook.club.book import Book
from coachbook.club.free_text import tables_with
from coachbook.club.log import log_answers, log_attendance, log_observation, log_play_out
from coachbook.club.sheets import Prepared, keep_prepared, save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.club.taken_back import take_back
from coachbook.model.facts import Attendance, Impression, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.play_outs import BoardGame
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Goal
from coachbook.workflows.standings import load_syllabus
from coachbook.workflows.student_records import export_record
from tests.club.conftest import _worksheet
from tests.club.copies import empty_book

NAME = "Zoë Müller"
OTHERS = ("Tom Okafor", "Noor", "Zoë Berger")
NOW = datetime(2026, 11, 25, 19, 30, tzinfo=UTC)
DAY = date(2026, 11, 25)
FEN = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """Everything that can be kept is kept of Zoë Müller, and of the others; each is mentioned by each."""
    made = empty_book(tmp_path_factory.mktemp("export") / "club.book", "Harbour Lane")
    with made.writing() as page:
        add_group(page, "Noor's evening")
        for name in (NAME, *OTHERS):
            add_student(page, name, ["Noor's evening"])
        save_worksheet(page, _worksheet("QB-1", keys=("k1", "k2")), [NAME, *OTHERS])
        keep_prepared(
            page, "Noor's evening", DAY, {NAME: Prepared("QB-1", "queen-box:4", ("PLAY-QUEEN-BOX-1",))}
        )
        for present in (False, True):  # put right
            log_attendance(page, [Attendance(name, DAY, present) for name in (NAME, *OTHERS)], NOW)
        for written in ("ask Tom", "9"):
            log_answers(page, [_answer(NAME, written)], NOW)
        log_answers(page, [_answer("Noor", "ask Zoë Müller or Tom Okafor")], NOW)
        played = PlayOutResult(
            NAME, "queen-box", DAY, FEN, Goal.WIN, 9, PlayOutEnd.MATE, 7, "", ("g1g7",), "slower"
        )
        entry = log_play_out(page, played, NOW)
        game = BoardGame(5, 1, NAME, DAY, "queen-box", 1, False, NOW, NOW, ("g1g7",), (3,), False, entry.id)
        add_game(page, game)
        for of, note in (
            (NAME, "Helped Noor and Toms Okafor brother."),
            ("Tom Okafor", "Tom sat with Zoe Muller, not with Noor."),
            ("Noor", "Quarrelled with Tom Okafor."),
            ("Zoë Berger", "Zoë Berger won against Müller, Zoë."),
        ):
            log_observation(page, Observation(of, "queen-box", DAY, note, Impression.CAN), NOW)
        log_observation(page, Observation(NAME, "queen-box", DAY, "Sat idle."), NOW)
        take_back(page, NOW)
    return made


def _answer(name: str, written: str) -> ItemResult:
    return ItemResult(name, "QB-1", "queen-box", 1, DAY, written, right=False, slip="wrong count")


@pytest.fixture(scope="module")
def written(book: Book, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp("out")
    on = DAY + timedelta(days=7)
    return export_record(book, load_syllabus(None), "zoë müller", on, folder, PaperOptions())


@pytest.fixture
def data(written: tuple[Path, Path]) -> dict[str, list[Mapping[str, object]]]:
    found = json.loads(written[0].read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found


@pytest.fixture
def printed(written: tuple[Path, Path]) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(written[1]).pages).split())


def test_each_row_of_each_table_of_the_student_is_in_the_data(
    book: Book, data: Mapping[str, Mapping[str, list[dict[str, object]]]]
) -> None:
    stands_for = {"student_id": NAME, "group_id": "(another student)'s evening", "sheet_id": "QB-1"}
    with closing(sqlite3.connect(book.path)) as connection:
        connection.row_factory = sqlite3.Row
        tables = tables_with(connection, "student_id")
        assert {
            "membership",
            "board_game",
            "taken_back",
            "handout",
            "attendance",
            "answer",
            "play_out",
            "observation",
            "prepared",
        } == set(tables)
        for table in tables:
            rows = connection.execute(f"SELECT * FROM {table} WHERE student_id = 1").fetchall()  # noqa: S608
            assert rows, f"Fill the table {table}, too."
            assert len(data["rows"][table]) == len(rows)
            for row, told in zip(rows, data["rows"][table], strict=True):
                for column in set(row.keys()) - {"student_id", "entry_id", "written", "note"}:
                    key = column.removesuffix("_id")
                    meant = row[column] if row[column] is None else stands_for.get(column, row[column])
                    assert told[key] == meant, (table, column)
                if "entry_id" in row.keys():  # noqa: SIM118 - the values of a Row are not its columns
                    assert told["entry"] == row["entry_id"]
                    assert str(told["logged_at"]).startswith("2026-11-25 19:30")


def test_what_was_put_right_later_is_there_too(
    data: Mapping[str, Mapping[str, list[dict[str, object]]]], printed: str
) -> None:
    assert [row["written"] for row in data["rows"]["answer"]] == ["ask (another student)", "9"]
    assert [row["present"] for row in data["rows"]["attendance"]] == [0, 1]
    assert len(data["answers"]) == len(data["attendance"]) == 1
    assert "Wed 25 Nov 2026 Attendance not there" in printed
    assert "Wed 25 Nov 2026 QB-1, item 1 ask (another student) (wrong: wrong count)" in printed


def test_what_was_written_of_others_and_may_mention_the_student_is_there(
    data: Mapping[str, list[Mapping[str, object]]], printed: str
) -> None:
    assert {(text["what"], text["text"], text["is_sure"]) for text in data["on_others"]} == {
        ("an answer of another student", "ask Zoë Müller or (another student)", True),
        (
            "a note on another student",
            "(another student) sat with Zoe Muller, not with (another student).",
            False,
        ),
        ("a note on another student", "(another student) won against Müller, Zoë.", False),
    }
    for words in (
        "an answer of another student ask Zoë Müller or (another student) yes",
        "(another student) won against Müller, Zoë. perhaps",
    ):
        assert words in printed


def test_what_was_made_ready_is_there(data: Mapping[str, list[Mapping[str, object]]], printed: str) -> None:
    (papers,) = data["prepared"]
    assert (papers["sheet"], papers["wanted"], papers["cards"]) == (
        "QB-1",
        "queen-box:4",
        ["PLAY-QUEEN-BOX-1"],
    )
    assert "Wed 25 Nov 2026 (another student)'s evening QB-1 queen-box:4; PLAY-QUEEN-BOX-1" in printed


def test_nothing_of_others_leaks(written: tuple[Path, Path], printed: str) -> None:
    text = written[0].read_text(encoding="utf-8")
    for leak in ("Tom", "Okafor", "Noor", "Berger", "Quarrelled"):
        assert leak not in text
        assert leak not in printed
    assert "Helped (another student) and (another student) brother." in text


def test_what_is_out_of_it_is_said_plainly(printed: str) -> None:
    assert "This is what coachbook holds under the name Zoë Müller on Wed 2 Dec 2026" in printed
    assert "Printed pages, exported files and copies elsewhere are not in it" in printed
