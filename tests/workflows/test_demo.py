"""The demo plays the first evening of any club that is given in the shape of sample_club."""

import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.demo import FirstEvening, play_first_evening
from coachbook.workflows.standings import load_syllabus

SAMPLE = Path(__file__).parents[2] / "sample_club"
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)


def play(source: Path, folder: Path) -> FirstEvening:
    return play_first_evening(source, folder, load_syllabus(), NOW, PaperOptions(), lambda _: None)


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> FirstEvening:
    return play(SAMPLE, tmp_path_factory.mktemp("demo") / "new")


@pytest.fixture
def club(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLE, tmp_path / "club")
    return tmp_path / "club"


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_it_leaves_a_book_term_plans_and_for_each_group_a_lesson_sheets_and_a_key(
    evening: FirstEvening,
) -> None:
    assert "club.book" in evening.files
    for group in ("foxes", "owls"):
        assert f"term-{group}.pdf" in evening.files
        papers = [name for name in evening.files if name.startswith(f"2026-09-10-{group}/")]
        assert len(papers) == 3
        assert any(name.endswith("lesson.pdf") for name in papers)
        assert any(name.endswith("-key.pdf") for name in papers)


def test_everybody_who_was_there_answered_every_item(evening: FirstEvening) -> None:
    there = {entry.student for entry in evening.attendance.attendance if entry.present}
    answered = {(result.student, result.item) for result in evening.answers.results}
    assert answered == {(student, item) for student in there for item in range(1, 7)}


def test_the_answers_that_ship_were_written_for_the_sheets_that_the_demo_makes(
    evening: FirstEvening,
) -> None:
    results = evening.answers.results
    assert 0.5 < sum(result.right for result in results) / len(results) < 0.95
    assert not any(result.slip in ("unreadable", "illegal") for result in results)


def test_those_who_did_badly_need_review_with_the_reason(evening: FirstEvening) -> None:
    assert evening.review_on == date(2026, 9, 17)
    badly = {
        student
        for student in {result.student for result in evening.answers.results}
        if sum(r.right for r in evening.answers.results if r.student == student) < 5
    }
    assert badly <= {advice.student for advice in evening.advice}
    assert all(advice.last.tried == 6 for advice in evening.advice)


def test_another_club_works_just_as_well(club: Path, tmp_path: Path) -> None:
    (club / "club.toml").write_text('name = "Hill Street"\n', encoding="utf-8")
    (club / "students.csv").write_text("name;group\nPia;Mondays\nOtto;Mondays\n", encoding="utf-8")
    (club / "term.csv").write_text(
        "group,from,to,weekday,minutes\nMondays,2027-01-04,2027-02-01,monday,45\n", encoding="utf-8"
    )
    (club / "attendance.csv").write_text(
        "date,student,present\n2027-01-04,Pia,yes\n2027-01-04,Otto,no\n", encoding="utf-8"
    )
    (club / "answers.csv").write_text("student,item,answer\nPia,1,mate\nPia,2,?\n", encoding="utf-8")
    played = play(club, tmp_path / "out")
    assert (played.club, played.on) == ("Hill Street", date(2027, 1, 4))
    assert len(played.answers.results) == 2


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("students.csv", "name,group", "name,team", "students.csv"),
        ("students.csv", "Siân,Foxes", "Amara,Foxes", "Amara"),
        ("term.csv", "Thursday", "Thorsday", "term.csv"),
        ("term.csv", "2026-09-10", "10.9.2026", "term.csv"),
        ("term.csv", "60", "20", "20 minutes"),
        ("attendance.csv", "Amara,yes", "Amara,maybe", "maybe"),
        ("answers.csv", "Amara,1,", "Amara,9,", "no item 9"),
        ("answers.csv", "Amara,1,", "Amaro,1,", "Amara"),
        ("club.toml", "name", "title", "names no club"),
        ("club.toml", '"', "", "club.toml"),
    ],
)
def test_a_mistake_in_a_table_is_told_and_nothing_is_left(
    club: Path, tmp_path: Path, file: str, old: str, new: str, told: str
) -> None:
    change(club / file, old, new)
    before = sorted(tmp_path.iterdir())
    with pytest.raises(CoachbookError, match=told):
        play(club, tmp_path / "out")
    assert sorted(tmp_path.iterdir()) == before


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(CoachbookError, match="not empty"):
        play(SAMPLE, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_the_same_club_gives_the_same_papers(evening: FirstEvening, tmp_path: Path) -> None:
    assert play(SAMPLE, tmp_path / "again").files == evening.files
