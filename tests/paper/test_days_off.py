"""Evenings without club are on the wall plan and in the table of a term."""

import csv
from dataclasses import replace
from datetime import date, timedelta
from io import StringIO
from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import TermPlan
from coachbook.paper.wall_plan import term_pdf
from coachbook.term.calendar import csv_text
from coachbook.workflows.term_files import table_of_terms
from tests.paper import printed, samples


def term_without(*weeks: int, sessions: int = 6) -> TermPlan:
    """A term of so many weeks from Tue 14 Jan 2025 that has no evening in some, counted from 0."""
    plan = samples.term_plan(sessions)
    kept = tuple(session for week, session in enumerate(plan.sessions) if week not in weeks)
    return replace(plan, sessions=kept)


def test_a_term_without_gaps_has_no_day_off() -> None:
    assert term_without().days_off == ()


def test_what_is_missing_between_the_evenings_is_off() -> None:
    assert term_without(2, 3).days_off == (date(2025, 1, 28), date(2025, 2, 4))


def test_the_first_and_the_last_week_count_too() -> None:
    assert term_without(0, 5).days_off == (date(2025, 1, 14), date(2025, 2, 18))


def test_each_weekday_of_the_club_counts_for_itself() -> None:
    plan = term_without(1, sessions=3)
    thursdays = tuple(
        replace(session, on=session.on + timedelta(days=2)) for session in samples.term_plan(3).sessions
    )
    both = replace(plan, sessions=(*plan.sessions, *thursdays[:2]), ends_on=thursdays[2].on)
    assert both.days_off == (date(2025, 1, 21), date(2025, 1, 30))


def test_a_term_without_evenings_has_no_weekday_to_miss() -> None:
    assert replace(term_without(), sessions=()).days_off == ()


def test_the_wall_plan_shows_them_between_the_evenings(tmp_path: Path) -> None:
    (tmp_path / "t.pdf").write_bytes(
        term_pdf(term_without(2), samples.TITLES, "Club", "Foxes", PaperOptions())
    )
    (text,) = (" ".join(page.split()) for page in printed.texts(tmp_path / "t.pdf"))
    assert text.count("No club") == 1
    assert text.index("Tue 21 Jan") < text.index("Tue 28 Jan No club") < text.index("Tue 4 Feb")


def test_the_table_has_a_row_for_each_of_them() -> None:
    plans = [("Foxes", term_without(2)), ("Badgers", term_without(3))]
    rows = list(csv.DictReader(StringIO(table_of_terms(plans, samples.TITLES))))
    off = [row for row in rows if row["for"] == "no club"]
    assert [(row["group"], row["date"]) for row in off] == [
        ("Foxes", "2025-01-28"),
        ("Badgers", "2025-02-04"),
    ]
    assert all(not row[column] for row in off for column in ("starts", "minutes", "unit", "title", "why"))
    for group, _ in plans:
        dates = [row["date"] for row in rows if row["group"] == group]
        assert dates == sorted(dates)
    assert list(dict.fromkeys(row["group"] for row in rows)) == [group for group, _ in plans]


def test_without_days_off_the_table_is_just_the_plan() -> None:
    plans = [("Foxes", term_without())]
    assert table_of_terms(plans, samples.TITLES) == csv_text(plans, samples.TITLES)
