from datetime import date

from coachbook.wording.days import day_and_month, day_in_words, how_long_ago, short_day


def test_a_day_is_told_in_english_on_every_machine() -> None:
    assert day_in_words(date(2026, 9, 7)) == "Mon 7 Sept 2026"
    assert short_day(date(2026, 9, 7)) == "Mon 7 Sept"
    assert day_and_month(date(2026, 1, 31)) == "31 Jan"


def test_time_is_told_in_days_then_weeks_then_months() -> None:
    days = (0, 1, 13, 14, 69, 70)
    words = ["today", "yesterday", "13 days ago", "2 weeks ago", "9 weeks ago", "2 months ago"]
    assert list(map(how_long_ago, days)) == words
