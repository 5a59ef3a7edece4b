"""In which form an answer is read, with an example: said where what was typed could not be read."""

from collections.abc import Callable

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.wording.counting import listed
from coachbook.wording.exercises import option_words

_ENGLISH = PaperOptions().letters
_STRONGEST_FIRST = "QRBNK"
_SHORT = 2
"""Words of an option that is easily written out."""


def form_in_words(exercise: Exercise, letters: str) -> str:
    """Such as "Write a move like Qe4, or - for nothing."; men have the club's `letters`, "" for English ones.

    The example has the square e4 whatever is right, with a man that the side to move has.
    """
    answer, man = exercise.answer, _man(exercise, letters)
    return f"Write {_FORMS[answer.form](answer, man)}, or - for nothing."


def _man(exercise: Exercise, letters: str) -> str:
    """The letter of the strongest man of the side to move."""
    position = exercise.position
    there = position.fen.split()[0] if position.white_to_move else position.fen.split()[0].swapcase()
    man = next((each for each in _STRONGEST_FIRST if each in there), "K")
    return letters[_ENGLISH.index(man)] if letters else man


def _moves(answer: Answer, man: str) -> str:
    return f"every move, like {man}e4 {man}f4" if answer.all_needed else f"a move like {man}e4"


def _choice(answer: Answer, _man: str) -> str:
    """The options that are short, with their letters where these differ; else their numbers."""
    words = [option_words(option) for option in answer.options]
    if answer.numbers:
        return f"the number of one: {listed(answer.numbers, 'or')}"
    if all(len(each.split()) <= _SHORT for each in words):
        letters = ", or the first letter" if len({each[0] for each in words}) == len(words) else ""
        return f"{listed(words, 'or')}{letters}"
    return f"its number in the list, 1 to {len(words)}"


def _squares(answer: Answer, _man: str) -> str:
    return "every square, like e4 f4" if answer.all_needed else "a square like e4"


_FORMS: dict[AnswerForm, Callable[[Answer, str], str]] = {
    AnswerForm.NUMBER: lambda _answer, _man: "a number like 12",
    AnswerForm.MOVES: _moves,
    AnswerForm.CHOICE: _choice,
    AnswerForm.SQUARES: _squares,
    AnswerForm.RACE: lambda _answer, _man: "White's moves, Black's moves and who is first, like 4 3 black",
    AnswerForm.LINE: lambda _answer, man: f"the moves in their order, like {man}e4 {man}f4 {man}g4",
}
