"""The best moment of a play-out: something true and kind to begin with."""

from collections.abc import Callable, Sequence

from coachbook.endgame.probe import Outcome, Result
from coachbook.exercises.play_out_turns import Turn
from coachbook.model.play_out import PlayedMove
from coachbook.model.syllabus import Goal

_MATE_AT_ONCE = Outcome(Result.WIN, 1)
_KEPT = {Goal.WIN: "the win", Goal.DRAW: "the draw"}


def find_praise(turns: Sequence[Turn]) -> PlayedMove | None:
    """The best moment; None if no move of the student's kept the goal in reach.

    The only move that kept it, of the most moves there were; else a mate at the first chance; else
    the longest run of moves by the method or of best moves; else of moves that kept the goal.
    """
    kept = [turn for turn in turns if turn.keeps]
    only = [turn for turn in kept if turn.keeping == 1 and len(turn.judged) > 1]
    if only:
        hardest = max(only, key=lambda turn: len(turn.judged))
        told = f"Of {len(hardest.judged)} moves, only this one keeps {_KEPT[hardest.goal]}."
        return hardest.told(told)
    chances = [turn for turn in turns if turn.before == _MATE_AT_ONCE]
    if chances and chances[0].after.is_checkmate():
        return chances[0].told("Mate, at the first chance.")
    return _praise_run(turns) if kept else None


def _praise_run(turns: Sequence[Turn]) -> PlayedMove:
    """The longest run of good moves, of at least one. There is a move that kept the goal."""
    # All moves that keep a draw are as good as each other.
    by_rule = _longest_run(turns, lambda turn: turn.keeps and turn.by_rule)
    quick = _longest_run(turns, lambda turn: turn.keeps and turn.is_best and turn.goal is Goal.WIN)
    if by_rule and len(by_rule) >= len(quick):
        return _tell_run(by_rule, "as the rule says")
    if quick:
        return _tell_run(quick, "as quick as can be")
    kept = f"keeping {_KEPT[turns[0].goal]}"
    return _tell_run(_longest_run(turns, lambda turn: turn.keeps), kept)


def _tell_run(run: Sequence[Turn], words: str) -> PlayedMove:
    first, last = run[0], run[-1]
    if len(run) > 1:
        moves = (
            f"{first.number} and {last.number}: both"
            if len(run) == 2
            else f"{first.number} to {last.number}: all"
        )
        return first.told(f"Moves {moves} {words}.")
    return first.told("Mate!" if first.after.is_checkmate() else f"{words[0].upper()}{words[1:]}.")


def _longest_run(turns: Sequence[Turn], good: Callable[[Turn], bool]) -> Sequence[Turn]:
    """The longest stretch of good moves, the first of equals; empty if there is none."""
    longest: Sequence[Turn] = ()
    start = 0
    for end, turn in enumerate(turns, start=1):
        if not good(turn):
            start = end
        elif end - start > len(longest):
            longest = turns[start:end]
    return longest
