"""The evenings of a term on which there is no club: closures and cancelled ones."""

from datetime import date, timedelta

from coachbook.model.term import TermPlan

NO_CLUB = "No club"


def days_off(plan: TermPlan) -> tuple[date, ...]:
    """The days from the first to the last of the term that fall on one of its weekdays and have no evening.

    A plan keeps no closures: what they left out is what is missing between its evenings.
    """
    planned = {session.on for session in plan.sessions}
    weekdays = {on.weekday() for on in planned}
    days = (plan.starts_on + timedelta(days=i) for i in range((plan.ends_on - plan.starts_on).days + 1))
    return tuple(day for day in days if day.weekday() in weekdays and day not in planned)
