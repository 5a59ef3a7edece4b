"""A table is read whatever spreadsheet wrote it, and each mistake is told with its line."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.workflows.spreadsheet import LONGEST_FIELD, read_table

SAMPLE_CLUB = Path(__file__).parents[2] / "sample_club"


@pytest.fixture
def table(tmp_path: Path) -> Path:
    return tmp_path / "students.csv"


def rows(table: Path, content: str | bytes) -> list[tuple[int, str, str]]:
    """Line, name and group of each row of a table without mistakes."""
    table.write_bytes(content.encode() if isinstance(content, str) else content)
    found, problems = read_table(table, ["name"], ["group"])
    assert problems == ()
    return [(row.line, row["name"], row["group"]) for row in found]


def mistakes(table: Path, content: str | bytes) -> list[str]:
    table.write_bytes(content.encode() if isinstance(content, str) else content)
    _, problems = read_table(table, ["name"], ["group"])
    return [str(problem) for problem in problems]


@pytest.mark.parametrize(
    "content",
    [
        "name,group\nŁucja,Owls\nĐức,Foxes\n",
        "name;group\nŁucja;Owls\nĐức;Foxes\n",
        "\ufeffname,group\r\nŁucja,Owls\r\nĐức,Foxes",
        "name,group\rŁucja,Owls\rĐức,Foxes\r",
        ' Name , GROUP \n"Łucja",Owls\nĐức,  Foxes \n',
    ],
)
def test_separators_marks_line_ends_and_spaces_make_no_difference(table: Path, content: str) -> None:
    assert rows(table, content) == [(2, "Łucja", "Owls"), (3, "Đức", "Foxes")]


def test_columns_may_come_in_any_order_and_optional_ones_may_be_left_out(table: Path) -> None:
    assert rows(table, "group,name\nOwls,Ana\n") == [(2, "Ana", "Owls")]
    assert rows(table, "name\nAna\n") == [(2, "Ana", "")]


def test_empty_lines_are_passed_over_and_counted(table: Path) -> None:
    content = "\n\nname,group\n\nAna,Owls\n  \n,\nBo,\n"
    assert rows(table, content) == [(5, "Ana", "Owls"), (8, "Bo", "")]


def test_a_quoted_field_may_hold_the_separator_and_quotes(table: Path) -> None:
    assert rows(table, 'name,group\n"Ana, ""the fox""",Owls\n') == [(2, 'Ana, "the fox"', "Owls")]


def test_composed_and_decomposed_letters_are_the_same_name(table: Path) -> None:
    assert rows(table, "name\nZoe\u0308\n") == [(2, "Zo\u00eb", "")]


def test_a_table_of_a_header_only_has_no_rows(table: Path) -> None:
    assert rows(table, "name,group\n") == []


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        ("", ["line 1: the file is empty; expected the columns name"]),
        ("\n \n", ["line 1: the file is empty; expected the columns name"]),
        ("group\nOwls\n", ["line 1: there is no column 'name'; expected the columns name, group"]),
        (
            "name\tgroup\n",
            [
                "line 1: there is no column 'name'; expected the columns name, group",
                "line 1: coachbook does not use a column 'name?group'; expected the columns name, group",
            ],
        ),
        (
            "name,age\nAna,7\n",
            [
                "line 1: coachbook does not use a column 'age'; expected the columns name, group."
                " Delete that column, then import again."
            ],
        ),
        (
            "name,\nAna,\n",
            [
                "line 1: coachbook does not use a column ''; expected the columns name, group."
                " Delete that column, then import again."
            ],
        ),
        ("name,name\nAna,Bo\n", ["line 1: the column 'name' is there 2 times"]),
        ("name,group\nAna\n", ["line 2: there are 1 fields; expected 2: name, group"]),
        ("name,group\nAna,Owls,7\nBo,Owls\n", ["line 2: there are 3 fields; expected 2: name, group"]),
        (
            'name,group\n"A\nB",Owls\nC\n',
            [
                "line 2: name has a line break or another control character in it",
                "line 4: there are 1 fields; expected 2: name, group",
            ],
        ),
        ("name\nA\x1b[31m\n", ["line 2: name has a line break or another control character in it"]),
        ("name\nA\x00B\n", ["line 2: name has a line break or another control character in it"]),
        (f"name\n{'x' * 201}\n", ["line 2: name has 201 characters; at most 200 are allowed"]),
        ('name\nAna\n"Bo\nCy\n', ["line 3: cannot be read as CSV (unexpected end of data)"]),
        (
            f"name\n{'x' * 200_000}\n",
            ["line 2: cannot be read as CSV (field larger than field limit (131072))"],
        ),
        (
            "name\nAna\nZoë\n".encode("latin-1"),
            ["line 3: is not UTF-8 text (byte 12 of the file); save the file as UTF-8"],
        ),
        (
            b"\xef\xbb\xbfname\n\xff\n",
            ["line 2: is not UTF-8 text (byte 9 of the file); save the file as UTF-8"],
        ),
        (
            "name\nAna\n".encode("utf-16"),
            ["line 1: is not UTF-8 text (byte 1 of the file); save the file as UTF-8"],
        ),
    ],
)
def test_a_mistake_is_told_with_its_line(table: Path, content: str | bytes, expected: list[str]) -> None:
    assert mistakes(table, content) == [f"students.csv: {line}" for line in expected]


def test_the_longest_field_allowed_is_read(table: Path) -> None:
    assert rows(table, f"name\n{'x' * LONGEST_FIELD}\n") == [(2, "x" * LONGEST_FIELD, "")]


def test_good_rows_are_read_beside_faulty_ones(table: Path) -> None:
    table.write_text("name,group\nAna,Owls\nBo\nCy,Owls\n", encoding="utf-8")
    found, problems = read_table(table, ["name", "group"])
    assert [row["name"] for row in found] == ["Ana", "Cy"]
    assert len(problems) == 1


def test_a_row_tells_a_mistake_with_its_place(table: Path) -> None:
    table.write_text("name\nAna\n", encoding="utf-8")
    (row,), _ = read_table(table, ["name"])
    assert str(row.problem(table, "is there already")) == "students.csv: line 2: is there already"


def test_a_file_that_is_not_there_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match=r"students\.csv cannot be read"):
        read_table(tmp_path / "students.csv", ["name"])


@given(content=st.binary(max_size=60) | st.text('name,;"\n\r \t', max_size=40).map(str.encode))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_in_a_file_is_read_or_told(table: Path, content: bytes) -> None:
    table.write_bytes(content)
    found, problems = read_table(table, ["name"], ["group"])
    assert all(problem.file == "students.csv" and problem.message for problem in problems)
    assert problems or all(row["name"] or row["group"] for row in found)


@pytest.mark.parametrize(
    ("name", "columns"),
    [
        ("students.csv", ["name", "group"]),
        ("term.csv", ["group", "from", "to", "weekday", "minutes", "skip"]),
        ("attendance.csv", ["date", "student", "present"]),
    ],
)
def test_the_sample_club_has_no_mistake(name: str, columns: list[str]) -> None:
    found, problems = read_table(SAMPLE_CLUB / name, columns)
    assert problems == ()
    assert found


def test_the_sample_club_has_a_dozen_students_in_two_groups_whose_evening_is_complete() -> None:
    students, _ = read_table(SAMPLE_CLUB / "students.csv", ["name", "group"])
    evening, _ = read_table(SAMPLE_CLUB / "attendance.csv", ["date", "student", "present"])
    term, _ = read_table(SAMPLE_CLUB / "term.csv", ["group", "from", "to", "weekday", "minutes", "skip"])
    names = [row["name"] for row in students]
    assert len(set(names)) == len(names) == 12
    assert [row["student"] for row in evening] == names
    assert {row["group"] for row in students} == {row["group"] for row in term} == {"Foxes", "Owls"}
    assert {row["date"] for row in evening} == {row["from"] for row in term}
