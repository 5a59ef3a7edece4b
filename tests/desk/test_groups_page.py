"""The groups: who stands where, and each button does in the book what it says."""

from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.workflows.members import groups_of, put_members, students_of
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import FIRST, SYLLABUS, answered, week

TITLE = SYLLABUS.unit(FIRST).title


def members(book: Book, group: str = "Foxes") -> list[str]:
    return [student.name for student in students_of(book, group)]


def upload(browser: Browser, content: bytes, status: int = 200) -> str:
    answer = browser.client.post(
        "/groups/import", files={"table": ("new.csv", content)}, headers={"origin": browser.desk.address}
    )
    assert answer.status_code == status, answer.text[-800:]
    return answer.text


def test_the_groups_are_listed_with_their_sizes(coach: Browser) -> None:
    page = words(coach.get("/groups"))
    assert "Groups of Hill Street" in page
    assert "Foxes 2 students" in page
    assert "In no group" not in page


def test_a_group_is_added(coach: Browser, foxes: Book) -> None:
    page = words(coach.post("/groups", name="Owls").text)
    assert "Nobody is in this group yet." in page
    assert [group.name for group in groups_of(foxes)] == ["Foxes", "Owls"]


def test_each_cell_says_who_stands_where_and_leads_to_the_evidence(coach: Browser, foxes: Book) -> None:
    answered(foxes, "Bo", FIRST, week(0))
    page = coach.get("/groups/1")
    cell = f'<a class="standing working" href="/student/2/unit/{FIRST}" aria-label="Bo, {TITLE}: working">'
    assert f"{cell}<b>W</b></a>" in page
    assert f'aria-label="Ana, {TITLE}: new"></a>' in page
    assert "secure S fading" not in words(page)
    assert "S secure F fading (was secure, needs review)" in words(page)


def test_every_unit_is_shown_if_it_is_asked_for(coach: Browser) -> None:
    assert coach.get("/groups/1").count('class="standing new" href="/student/1/') == 1
    everything = coach.get("/groups/1?units=all")
    assert everything.count('class="standing new" href="/student/1/') == len(SYLLABUS.units)
    assert SYLLABUS.levels[-1].title in everything


def test_how_the_term_goes_is_a_page_of_its_own(coach: Browser, foxes: Book) -> None:
    assert "Nothing is logged yet." in coach.get("/groups/1/term")
    answered(foxes, "Bo", FIRST, week(0), "+s-")
    page = words(coach.get("/groups/1/term"))
    assert f"stalemated once: {TITLE}" in page
    assert "Thu 10 Sept 2026 1 of 3 0" in page


def test_students_are_added_line_by_line(coach: Browser, foxes: Book) -> None:
    page = coach.post("/groups/1/students", names="Cy\nDee").text
    assert ">Cy</a>" in page
    assert members(foxes) == ["Ana", "Bo", "Cy", "Dee"]


def test_students_are_put_in_and_taken_out(coach: Browser, foxes: Book) -> None:
    coach.post("/groups", name="Owls")
    coach.post("/groups/2/put", student=["1", "2"])
    assert members(foxes, "Owls") == ["Ana", "Bo"]
    coach.post("/groups/2/take", student="1")
    assert members(foxes, "Owls") == ["Bo"]
    coach.post("/groups/1/take", student="1")
    assert "In no group Ana" in words(coach.get("/groups"))


def test_a_group_gets_another_name(coach: Browser, foxes: Book) -> None:
    page = coach.post("/groups/1/rename", name="Owls").text
    assert "<h1>Owls</h1>" in page
    assert [group.name for group in groups_of(foxes)] == ["Owls"]


def test_what_goes_with_a_group_is_said_before_it_is_removed(coach: Browser, foxes: Book) -> None:
    page = words(coach.get("/groups/1/remove"))
    assert "Its 2 students stay in the book, with all their work: Ana and Bo." in page
    assert "Then in no group: Ana and Bo." in page
    assert "The term plan from Thu 10 Sept 2026" in page
    assert "prepared for 1 evening goes, too" in page
    assert groups_of(foxes)
    assert "There is no group yet." in coach.post("/groups/1/remove").text
    assert groups_of(foxes) == ()
    assert [student.name for student in students_of(foxes)] == ["Ana", "Bo"]
    assert list((foxes.path.parent / "club.book.backups").glob("*remove*"))


def test_the_overview_is_made_as_a_pdf(
    coach: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)  # where a club without a folder for papers has them
    made = coach.wait_for_work(coach.post("/groups/1/overview"))
    assert made.headers["content-type"] == "application/pdf"
    assert (tmp_path / "overview-foxes.pdf").read_bytes() == made.content


def test_a_table_is_shown_and_then_added(coach: Browser, foxes: Book) -> None:
    assert "the columns name and group" in words(coach.get("/groups/import"))
    page = upload(coach, b"name,group\nCy,Foxs\nDee,\n")
    assert "2 students would be added." in words(page)
    assert "There is a group Foxes already." in words(page)
    assert members(foxes) == ["Ana", "Bo"]
    coach.post("/groups/import/keep", table="name,group\nCy,Foxs\nDee,\n")
    assert members(foxes, "Foxs") == ["Cy"]
    assert len(students_of(foxes)) == 4


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"name,group\nCy,Foxes\nAna,Foxes\n", "line 3: There is already a student 'Ana'."),
        (b"student\nCy\n", "there is no column 'name'"),
        (b"\xff\xfe\x00", "is not UTF-8 text"),
    ],
)
def test_mistakes_in_a_table_are_told_with_their_lines(
    coach: Browser, foxes: Book, content: bytes, told: str
) -> None:
    page = upload(coach, content, status=422)
    assert told in page.replace("&#39;", "'")
    coach.post("/groups/import/keep", status=422, table=content.decode(errors="replace"))
    assert members(foxes) == ["Ana", "Bo"]


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("/groups", {"name": "foxes"}),
        ("/groups", {"name": " "}),
        ("/groups/1/students", {"names": "ana"}),
        ("/groups/1/students", {}),
        ("/groups/9/students", {"names": "Cy"}),
        ("/groups/1/put", {}),
        ("/groups/1/put", {"student": "99"}),
        ("/groups/9/put", {"student": "1"}),
        ("/groups/1/take", {"student": "Ana"}),
        ("/groups/1/rename", {"name": "?"}),
        ("/groups/9/remove", {}),
        ("/groups/import", {"table": "name"}),
        ("/groups/import/keep", {}),
    ],
)
def test_what_cannot_be_done_is_refused_in_words(
    coach: Browser, foxes: Book, path: str, form: dict[str, str]
) -> None:
    coach.post(path, status=422, **form)
    assert members(foxes) == ["Ana", "Bo"]


@pytest.mark.parametrize("path", ["/groups/9", "/groups/9/term", "/groups/9/remove"])
def test_a_group_that_is_gone_is_told(coach: Browser, path: str) -> None:
    assert "no longer in the book" in coach.get(path, status=422)


def test_an_overview_of_a_group_that_is_gone_is_told(coach: Browser) -> None:
    assert "no longer in the book" in coach.post("/groups/9/overview", status=422).text


def test_an_address_that_is_none_is_not_here(coach: Browser) -> None:
    coach.get("/groups/foxes", status=404)


def test_a_helpers_tablet_sees_and_changes_no_group(helper: Browser, foxes: Book) -> None:
    put_members(foxes, ["Ana"], "Foxes")
    for path in ("/groups", "/groups/1", "/groups/import", "/groups/1/remove"):
        helper.get(path, status=403)
    for path in ("/groups/1/take", "/groups/1/remove", "/groups/1/rename", "/groups/1/students"):
        helper.post(path, status=403, student="1", name="Owls", names="Cy")
    assert members(foxes) == ["Ana", "Bo"]
