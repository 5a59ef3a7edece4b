"""What a group's page says of its term: the last evenings, and the slips made most often."""

from coachbook.club.book import Book
from coachbook.workflows.group_overview import group_overview
from tests.workflows.foxes import FIRST, SYLLABUS, answered, week


def test_the_trend_is_that_of_the_last_16_evenings(foxes: Book) -> None:
    for number in range(18):
        answered(foxes, "Ana", FIRST, week(number), "+" * (number % 7) + "-" * (6 - number % 7))
    trend = group_overview(foxes, SYLLABUS, "Foxes", week(17)).trend
    assert [point.on for point in trend] == [week(number) for number in range(2, 18)]
    assert [(point.right, point.tried) for point in trend[:3]] == [(2, 6), (3, 6), (4, 6)]
