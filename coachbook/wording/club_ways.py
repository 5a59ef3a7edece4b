"""The club's own ways in words: how dates look, and what is easily mistaken in letters for the pieces."""

from coachbook.model.settings import DateStyle

DATES_LOOK = {
    DateStyle.USUAL: "2027-01-12; on paper 12 Jan 2027",
    DateStyle.ISO: "2027-01-12",
    DateStyle.DAY_FIRST: "12 Jan 2027",
    DateStyle.MONTH_FIRST: "Jan 12, 2027",
}

ROYALS_LOOK_SWAPPED = "Careful: king and queen look swapped. The king comes first, then the queen."


def letter_means_another(letter: str, man: str, english: str) -> str:
    """Of a letter that stands for another man than in English."""
    return f"Careful: {letter} means the {man}; in English letters it is the {english}."
