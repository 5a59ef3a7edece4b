"""What is said to a student who plays against coachbook: whose move it is, how it ended, what to do then;
and in a few quiet words under the boards of the wall."""

from collections.abc import Mapping
from enum import StrEnum, auto

from coachbook.model.play_outs import GameEnd, JudgedPlayOut
from coachbook.model.syllabus import Goal, PlayOut
from coachbook.wording.counting import counted
from coachbook.wording.people import play_out_task
from coachbook.wording.sentences import side_in_words

_ENDS: Mapping[GameEnd, str] = {
    GameEnd.MATE: "Checkmate: you have won.",
    GameEnd.MATED: "Checkmate: this time coachbook has won.",
    GameEnd.STALEMATE: "Stalemate: a draw.",
    GameEnd.REPETITION: "The same position for the third time: a draw.",
    GameEnd.FIFTY_MOVES: "Fifty moves each without a capture or a pawn's move: a draw.",
    GameEnd.TOO_FEW_MEN: "Too few men are left to mate with: a draw.",
    GameEnd.HELD: "The draw is held.",
    GameEnd.STOPPED: "The game stops here.",
}


def your_move(play_out: PlayOut, *, white: bool) -> str:
    """Such as "Your move, White: mate within 16 moves."."""
    return f"Your move, {side_in_words(white=white)}: {play_out_task(play_out)}."


def moves_counted(used: int, play_out: PlayOut) -> str:
    """The student's moves beside the allowance, such as "Your moves: 3 of 16."."""
    over = used - play_out.allowance
    if over <= 0:
        return f"Your moves: {used} of {play_out.allowance}."
    return f"Your moves: {used}{f', {over} more than allowed' if play_out.goal is Goal.WIN else ''}."


def answer_in_words(move: str) -> str:
    """Coachbook's last move."""
    return f"coachbook answers {move}."


def count_on_wall(used: int, play_out: PlayOut) -> str:
    """The same for the coach, such as "3 of 16 moves"."""
    return f"{used} of {play_out.allowance} moves"


def not_made() -> str:
    """To whoever made a move in a game that has changed meanwhile."""
    return "Somebody else has changed this game. Look again."


def clock_in_words(seconds: int) -> str:
    """Such as "after 1:05"."""
    return f"after {seconds // 60}:{seconds % 60:02}"


def game_end_in_words(end: GameEnd) -> str:
    """Such as "Stalemate: a draw."."""
    return _ENDS[end]


def then_in_words(judged: JudgedPlayOut) -> str:
    """What to do after a game, in a few words."""
    if judged.first_slip is not None:
        return f"Look at {'your first slip' if judged.slip else 'the quicker way'}, then play again."
    return "Well played. Now play another." if judged.how_good is not None else "Play again when you like."


class BoardSign(StrEnum):
    """What a coach looks for: a game that is over, a win or draw that is gone, a student who does not
    move."""

    DONE = auto()
    SLIPPED = auto()
    STUCK = auto()


def sign_in_words(sign: BoardSign, goal: Goal, end: str, minutes: int, *, is_taken_out: bool = False) -> str:
    """Such as "stuck: no move for 3 minutes"; `end` says how the game ended, and `is_taken_out` that it is in
    the log no more."""
    if sign is BoardSign.DONE:
        return f"done: {end[0].lower()}{end[1:]}{' Not in the log.' if is_taken_out else ''}"
    if sign is BoardSign.SLIPPED:
        return f"slipped: the {'win' if goal is Goal.WIN else 'draw'} is gone"
    return f"stuck: no move for {counted(minutes, 'minute')}"
