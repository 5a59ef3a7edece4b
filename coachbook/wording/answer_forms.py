"""In which form an answer is read, with an example: said where what was typed could not be read; and how a
kind of exercise is answered on a sheet."""

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


_HOW = {
    "box_size": "the child shades the box on the board, and writes how many squares it has",
    "box_walls": "the child shades the walls on the board; nothing is to be written",
    "build_position": "a piece is to be placed; the child writes its square, such as b6",
    "catch_pawn": "can the king catch the pawn? The child ticks yes or no",
    "draw_square": "the child shades the four corners of the pawn's square on the board",
    "enough_to_mate": "has White enough to force mate? The child ticks yes or no",
    "every_mate": "the child writes every move that is mate; boxes may stay empty",
    "final_position": "the child ticks mate, stalemate or neither",
    "find_mistake": "the child plays the line through, and ticks the move that is the mistake",
    "finish_rule": "a rule of the card has lost its end; the child ticks the right one",
    "fork_square": "the child marks each square on which the queen wins the rook",
    "key_squares": "the child shades the key squares on the board; nothing is to be written",
    "mate_in_two": "the child writes only the first of the two moves, such as Rb1",
    "mating_corners": "the child marks two corners on the board; nothing is to be written",
    "next_moves": "the child writes White's next three moves; Black's replies are printed",
    "next_rule": "the child ticks the first rule of the card that can be followed",
    "no_go_squares": "the child crosses squares out on the board; nothing is to be written",
    "only_move": "all moves but one are mistakes; the child writes that one",
    "opposition": "the child writes the move of the king that takes the opposition",
    "promotion": "can the pawn become a queen? The child ticks yes or no",
    "race_count": "the child writes how many moves each pawn needs, and who queens first",
    "right_corner": "the child ticks whether the bishop is the right one or the wrong one",
    "rook_place": "where does the rook belong? The child ticks one rank or file of four",
    "shrink_or_king": "the child writes one move: a smaller box, or else a step of the king",
    "smallest_box": "the child writes a move that makes the smallest safe box",
    "stalemate_moves": "the child writes every move that is stalemate; boxes may stay empty",
    "stop_pawn": "only one move stops the pawn; the child writes it",
    "waiting_move": "the child writes a move of the rook that waits",
    "win_or_draw": "the child ticks White wins or draw",
}
"""By the name of the kind."""

NEW_ON_SHEET = "New on the sheet:"
"""What stands before it, in bold."""


def how_answered(kind: str) -> str:
    """Such as "the child ticks mate, stalemate or neither. Do one together first."."""
    return f"{_HOW[kind]}. Do one together first."
