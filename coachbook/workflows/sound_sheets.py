"""Sheets out of the book that can be relied on, whether they carry a checksum or not."""

from coachbook.club.book import Reading
from coachbook.club.sheets import has_checksum, load_worksheet
from coachbook.club.stored import damaged_sheet
from coachbook.exercises.intact import find_damage
from coachbook.model.worksheet import Worksheet


def sound_sheet(page: Reading, code: str) -> Worksheet:
    """The worksheet exactly as it was saved; `code` in any case, and with spaces.

    Raises CoachbookError for an unknown sheet, and for a damaged one: a checksum tells that, or, on a
    sheet of coachbook 0.1.0, an answer that is not what the sheet claims of the position.
    """
    sheet = load_worksheet(page, code)
    if not has_checksum(page, code) and any(map(find_damage, sheet.items)):
        raise damaged_sheet(sheet.code)
    return sheet
