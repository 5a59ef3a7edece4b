"""What a group's page says of its term: the last evenings, and the slips made most often."""

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.model.progress import Standing
from coachbook.workflows.reports import group_overview
from tests.workflows.foxes import FIRST, FOURTH, SECOND, SYLLABUS, THIRD, TITLES, answered, planned, week


def test_the_trend_is_that_of_the_last_16_evenings(foxes: Book) -> None:
    for number in range(18):
        answered(foxes, "Ana", FIRST, week(number), "+" * (number % 7) + "-" * (6 - number % 7))
    trend = group_overview(foxes, SYLLABUS, "Foxes", week(17)).trend
    assert [point.on for point in trend] == [week(number) for number in range(2, 18)]
    assert [(point.right, point.tried) for point in trend[:3]] == [(2, 6), (3, 6), (4, 6)]


def test_the_trend_counts_the_units_secure_by_then_over_all_students(foxes: Book) -> None:
    for number in (0, 1):
        answered(foxes, "Ana", FIRST, week(number))
        answered(foxes, "Bo", SECOND, week(number + 1))
        answered(foxes, "Ana", "old-unit", week(number), "+-")
    trend = group_overview(foxes, SYLLABUS, "Foxes", week(2)).trend
    assert [(each.on, each.right, each.tried, each.secure) for each in trend] == [
        (week(0), 7, 8, 0),
        (week(1), 13, 14, 1),
        (week(2), 6, 6, 2),
    ]


def test_of_a_term_that_has_begun_nothing_earlier_is_told(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(-1), "ss-")
    answered(foxes, "Ana", SECOND, week(0), "s+")
    before = group_overview(foxes, SYLLABUS, "Foxes", week(0))
    assert [point.on for point in before.trend] == [week(-1), week(0)]
    assert [(each.slip, each.count, each.units) for each in before.slips] == [
        ("stalemate", 3, (TITLES[FIRST], TITLES[SECOND])),
        ("not tried", 1, (TITLES[FIRST],)),
    ]
    planned(foxes)
    told = group_overview(foxes, SYLLABUS, None, week(0))
    assert [point.on for point in told.trend] == [week(0)]
    assert [(each.slip, each.count, each.units) for each in told.slips] == [
        ("stalemate", 1, (TITLES[SECOND],))
    ]
    assert [point.on for point in group_overview(foxes, SYLLABUS, "Foxes", week(-1)).trend] == [week(-1)]


def test_a_unit_is_shown_once_somebody_has_begun_it_and_the_first_that_nobody_has(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(0))
    answered(foxes, "Bo", FOURTH, week(0))
    told = group_overview(foxes, SYLLABUS, "Foxes", week(0))
    assert (told.club, told.group, told.on) == ("Hill Street", "Foxes", week(0))
    assert [(each.code, each.title, each.level) for each in told.units] == [
        (code, TITLES[code], 1) for code in (FIRST, SECOND, FOURTH)
    ]
    new, working = Standing.NEW, Standing.WORKING
    assert told.rows == (("Ana", (working, new, new)), ("Bo", (new, new, working)))
    every = group_overview(foxes, SYLLABUS, "Foxes", week(0), every_unit=True)
    assert [each.code for each in every.units] == list(TITLES)
    assert THIRD in TITLES


def test_the_page_is_that_of_the_group_that_is_named(foxes: Book) -> None:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    told = group_overview(foxes, SYLLABUS, "owls", week(0))
    assert (told.group, [student for student, _ in told.rows]) == ("Owls", ["Cy"])
