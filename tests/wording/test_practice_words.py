"""What a student reads who plays against coachbook: short, and true of the moves that were counted."""

import pytest

from coachbook.model.play_outs import GameEnd
from coachbook.model.syllabus import Goal, PlayOut
from coachbook.wording.practice_words import game_end_in_words, moves_counted, your_move
from coachbook.workflows.standings import load_syllabus

WIN = PlayOut("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1", 16)
HOLD = PlayOut("8/8/3k4/8/3KP3/8/8/8 b - - 0 1", 20, Goal.DRAW)


@pytest.mark.parametrize(
    ("used", "play_out", "told"),
    [
        (0, WIN, "Your moves: 0 of 16."),
        (16, WIN, "Your moves: 16 of 16."),
        (18, WIN, "Your moves: 18, 2 more than allowed."),
        (20, HOLD, "Your moves: 20 of 20."),
        (24, HOLD, "Your moves: 24."),
    ],
)
def test_moves_are_counted_beside_the_allowance(used: int, play_out: PlayOut, told: str) -> None:
    assert moves_counted(used, play_out) == told


def test_what_to_do_is_said_in_nine_words_at_most() -> None:
    play_outs = [play_out for unit in load_syllabus().units for play_out in unit.play_outs]
    assert all(len(your_move(each, white=False).split()) <= 9 for each in play_outs)
    assert your_move(HOLD, white=False) == "Your move, Black: hold the draw for 20 moves."


def test_every_end_has_words_of_its_own() -> None:
    assert len({game_end_in_words(end) for end in GameEnd}) == len(GameEnd)
