"""An evening of the term whole, for all groups that meet: minute by minute, with reasons, and what can be
changed in it."""

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page
from coachbook.desk.shown import shown
from coachbook.desk.term_page import pin_in_words
from coachbook.model.term_plan import SlotKind
from coachbook.wording.counting import listed
from coachbook.wording.plans import Titles, kind_in_words, reason_in_words, subject
from coachbook.wording.term_lines import time_of_slot, who_reviews_what
from coachbook.workflows.term_view import GroupEvening, WallCell, term_evening


def show(asked: Asked) -> Response:
    """An evening of the term."""
    on, titles = asked.day("on"), asked.syllabus.titles
    found = term_evening(asked.book(), asked.syllabus, on, asked.today)
    return shown(
        asked,
        "term_evening.html",
        evening=found,
        is_past=on < asked.today,
        is_ahead=on > asked.today,
        groups=[_group(each, titles) for each in found.groups],
    )


def _group(each: GroupEvening, titles: Titles) -> dict[str, object]:
    units = [code for code in each.cell.session.units(*SlotKind) if code not in each.cell.not_done]

    def named(codes: tuple[str, ...] | list[str]) -> list[tuple[str, str]]:
        return [(code, titles.get(code, code)) for code in codes]

    return {
        "group": each.column.group,
        "cell": each.cell,
        "slots": _slots(each.cell, titles),
        "reviews": who_reviews_what(each.reviews, titles, each.students),
        "catch_ups": who_reviews_what(each.catch_ups, titles, each.students),
        "may_begin": named(each.may_begin),
        "pinned": named(each.cell.pinned),
        "units": named(units),
        "not_done": [title for _, title in named(each.cell.not_done)],
    }


def _slots(cell: WallCell, titles: Titles) -> list[tuple[str, int, str, str, str, str]]:
    """When it begins, the minutes, what for, the unit, why, and with whom the coach is."""
    return [
        (
            time_of_slot(cell.at, start),
            slot.minutes,
            kind_in_words(slot.kind),
            subject(slot, titles) + pin_in_words(cell, slot),
            reason_in_words(slot.why, titles),
            f"yes, with {listed(others)}" if others else "yes" if slot.with_coach else "",
        )
        for start, slot, others in cell.slots
    ]


PAGES = (Page("/term/{on}", show),)
