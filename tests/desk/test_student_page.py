"""A student: what happened and why it counts, the papers on one student, and the groups."""

from pathlib import Path

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.workflows.members import add_teaching_group, student_with
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import FIRST, SYLLABUS, answered, played, present, week

TITLE = SYLLABUS.unit(FIRST).title


@pytest.fixture(autouse=True)
def _papers_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # where a club without a folder for papers has them


def worked(coach: Browser, path: str, **form: object) -> Response:
    headers = {"origin": coach.desk.address}
    return coach.wait_for_work(coach.client.post(path, data=form, headers=headers))


def test_all_of_a_student_is_on_one_page(coach: Browser, foxes: Book) -> None:
    present(foxes, week(0), Ana=True)
    answered(foxes, "Ana", FIRST, week(0), "++s-")
    page = words(coach.get("/student/1"))
    assert "Thu 10 Sept 2026" in page
    assert f"{TITLE}: 2 of 4 right; stalemated once, left 1 blank" in page
    assert "Missing: 2 good evenings" in page
    assert f"Due for review {TITLE}" not in page
    assert "Most frequent slips" in page


def test_of_a_new_student_it_says_that_nothing_is_logged(coach: Browser) -> None:
    page = words(coach.get("/student/2"))
    assert "Nothing is begun yet." in page
    assert "Nothing is logged yet." in page


def test_a_unit_says_why_with_the_evidence(coach: Browser, foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(0), "++s-")
    page = words(coach.get(f"/student/1/unit/{FIRST}"))
    assert f"Ana and “{TITLE}”, Thu 10 Sept 2026: on Thu 10 Sept 2026 2 of 4 answers were right." in page
    assert "2 of 4; left 1 blank, stalemated once" in page
    assert "Nothing is logged in this unit yet." in words(coach.get(f"/student/2/unit/{FIRST}"))


def test_a_student_is_moved_and_taken_out_of_all_groups(coach: Browser, foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    coach.post("/student/1/groups", group="2")
    assert student_with(foxes, 1).groups == ("Owls",)
    page = words(coach.get("/student/1/leave"))
    assert "This takes Ana out of Owls. All the work stays in the book" in page
    assert "In no group." in words(coach.post("/student/1/leave").text)
    assert student_with(foxes, 1).groups == ()
    assert "Ana is in no group." in coach.get("/student/1/leave", status=422)


def test_the_familys_page_is_made(coach: Browser, tmp_path: Path) -> None:
    made = worked(coach, "/student/1/family")
    assert made.headers["content-type"] == "application/pdf"
    assert (tmp_path / "family-ana.pdf").read_bytes() == made.content


def test_a_certificate_is_refused_with_what_is_missing(coach: Browser) -> None:
    refused = coach.post("/student/1/certificate", status=422, level="1").text
    assert "Ana has not completed level 1 yet." in refused


def test_a_certificate_is_made_for_a_level_that_was_earned(
    coach: Browser, foxes: Book, tmp_path: Path
) -> None:
    for unit in SYLLABUS.levels[0].units:
        for number in range(unit.secure.evenings):
            answered(foxes, "Ana", unit.code, week(-number), "+" * unit.secure.items)
        for number in range(unit.secure.play_outs):
            played(foxes, "Ana", f"PLAY-{unit.code}-1".upper(), week(-number))
    made = worked(coach, "/student/1/certificate", level="1")
    assert made.headers["content-type"] == "application/pdf"
    assert (tmp_path / "certificate-1-ana.pdf").is_file()


def test_all_that_the_book_holds_is_given_out_in_two_files(coach: Browser, tmp_path: Path) -> None:
    page = worked(coach, "/student/1/record")
    assert "This is what coachbook holds under this name" in page.text
    addresses = [part.split('"')[0] for part in page.text.split('href="/made/')[1:]]
    contents = [coach.client.get(f"/made/{address}").content for address in addresses]
    assert [content[:1] for content in contents] == [b"%", b"{"]
    assert sorted(path.name for path in tmp_path.glob("record-*")) == ["record-ana.json", "record-ana.pdf"]


@pytest.mark.parametrize(
    "path", ["/student/99", f"/student/99/unit/{FIRST}", "/student/1/unit/nothing", "/student/1/record/none"]
)
def test_what_is_not_there_is_told(coach: Browser, path: str) -> None:
    assert "Not done" in coach.get(path, status=422)


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("/student/99/groups", {"group": "1"}),
        ("/student/99/family", {}),
        ("/student/99/record", {}),
        ("/student/99/leave", {}),
        ("/student/1/certificate", {"level": "99"}),
        ("/student/1/certificate", {"level": "gold"}),
    ],
)
def test_what_cannot_be_done_is_refused_in_words(coach: Browser, path: str, form: dict[str, str]) -> None:
    assert "Not done" in coach.post(path, status=422, **form).text


def test_a_helpers_tablet_sees_no_student(helper: Browser) -> None:
    for path in ("/student/1", f"/student/1/unit/{FIRST}", "/student/1/leave"):
        helper.get(path, status=403)
    for path in ("groups", "leave", "family", "certificate", "record"):
        helper.post(f"/student/1/{path}", status=403)
