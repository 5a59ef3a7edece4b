"""Which of the options to tick a text may mean: by words, by their beginning, by a number.

The rules of a method have the numbers of its card, and sheets print them beside the options. Sheets of
before had none: then a number may be the card's, or that of the place in the list. Where the two say
different things it means both, so that nobody is told wrong for what the coach meant otherwise.
"""

import re

from coachbook.exercises.said import answer_claim, card_of
from coachbook.model.exercise import Exercise

_SAID_OTHERWISE = {
    "mate": ("checkmate", "check mate", "mated", "checkmated", "#"),
    "stalemate": ("stale mate", "stalemated"),
    "neither": ("none", "none of them", "neither of them", "neither of the two", "nothing"),
    "draw": ("drawn", "=", "½", "½-½", "1/2", "1/2-1/2"),
    "White wins": ("white", "white won", "white win", "win for white", "win", "wins", "won", "1-0"),
}
"""Whole words and signs for an option, in small letters."""
_BEFORE = re.compile(r"(?:(?:it is|it's|its|is) )?(?:an? |the |rule )?")
_DASHES = re.compile(r"\s*[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]\s*")
_NUMBER = re.compile(r"[1-9][0-9]?")


def fitting_options(exercise: Exercise, text: str) -> tuple[str, ...]:
    """The options of an exercise that a text may mean, in printed order; () if it is no choice, or none fits.

    More than one means that the text leaves it open; then it is marked as unreadable.
    """
    options, said = exercise.answer.options, _tidy(text)
    if not said:
        return ()
    if _NUMBER.fullmatch(said):
        return _numbered(exercise, int(said))
    spaced = said.replace("-", " ")
    named = tuple(option for option in options if _names(option, said) or _names(option, spaced))
    return named or tuple(option for option in options if option.casefold().startswith(spaced))


def is_doubtful_number(exercise: Exercise, text: str) -> bool:
    """Whether a text is a number that list and card count differently, on a sheet that printed none."""
    answer, is_number = exercise.answer, _NUMBER.fullmatch(_tidy(text)) is not None
    may_differ = answer.options and not answer.numbers and card_of(answer_claim(exercise))
    return bool(may_differ) and is_number and len(fitting_options(exercise, text)) != 1


def _tidy(text: str) -> str:
    words = _DASHES.sub(
        "-", " ".join(text.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())
    )
    return _BEFORE.sub("", words.strip(" .!()"), count=1)


def _names(option: str, said: str) -> bool:
    return said == option.casefold() or said in _SAID_OTHERWISE.get(option, ())


def _numbered(exercise: Exercise, number: int) -> tuple[str, ...]:
    """The options with this number: as printed; or where none is printed, by the list and by the card.

    None if it is the number of a rule on the card that is no option.
    """
    answer = exercise.answer
    listed = dict(zip(answer.numbers or range(1, len(answer.options) + 1), answer.options, strict=False))
    ways = (listed,) if answer.numbers else (listed, card_of(answer_claim(exercise)))
    meant = {way[number] for way in ways if number in way}
    return tuple(option for option in answer.options if option in meant) if meant <= {*answer.options} else ()
