"""No cell of a table is taken for a formula, and each reads as it was."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from coachbook.workflows.spreadsheet import cell, read_table, table_text, text_of

texts = st.text(max_size=12) | st.text("'=+-@ \t\r1,.5aQ\uff1d", max_size=6)


@pytest.mark.parametrize(
    "text", ["=1+1", "@x", "+Qe5", "-Qe5", "\tx", "\rx", "--", "-3-4", "\uff1d1", "'=1", "=", "+"]
)
def test_what_a_spreadsheet_would_work_out_has_an_apostrophe(text: str) -> None:
    assert cell(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", "-", "-3", "+3", "-3,5", "1-0", "Qe5+", "O'Neil", "'", "a=b"])
def test_anything_else_is_written_as_it_is(text: str) -> None:
    assert cell(text) == text


@given(texts)
@example("'-3")
@example("''=x")
def test_each_text_reads_as_it_was_and_none_begins_as_a_formula(text: str) -> None:
    written = cell(text)
    assert text_of(written) == text
    assert written[:1] not in {*"=@\t\r\uff1d\uff0b\uff0d\uff20"}
    assert written[:1] not in {*"+-"} or written == "-" or float(written.replace(",", ".")) is not None


names = st.text("'=+-@ 1,;.5aé\"", max_size=8).map(str.strip).filter(lambda text: text.strip("'=+-@ ") != "")


@given(st.lists(st.tuples(names, names), min_size=1, max_size=4))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_table_that_was_written_reads_as_it_was(tmp_path: Path, rows: list[tuple[str, str]]) -> None:
    path = tmp_path / "answers.csv"
    path.write_text(table_text([("student", "answer"), *rows]), encoding="utf-8", newline="")
    found, problems = read_table(path, ("student", "answer"))
    assert problems == ()
    assert [(row["student"], row["answer"]) for row in found] == rows
