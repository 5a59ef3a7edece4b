"""Days in English: independent of the machine's language."""

from datetime import date

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
"""In the order of `date.weekday`: 0 is Monday."""
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")


def day_in_words(day: date) -> str:
    """Such as "Tue 14 Jan 2025"."""
    return f"{short_day(day)} {day.year}"


def short_day(day: date) -> str:
    """Such as "Tue 14 Jan"."""
    return f"{WEEKDAYS[day.weekday()][:3]} {day_and_month(day)}"


def day_and_month(day: date) -> str:
    """Such as "14 Jan"."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def how_long_ago(days: int) -> str:
    """Days in words: exact below two weeks, then full weeks, and from ten weeks full months."""
    if days == 0:
        return "today"
    if days == 1:
        return "yesterday"
    if days < 14:
        return f"{days} days ago"
    if days < 70:
        return f"{days // 7} weeks ago"
    return f"{days // 30} months ago"
