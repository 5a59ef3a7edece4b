"""An exercise for tests that need one, whatever it is."""

from coachbook.model.claims import MateIn
from coachbook.model.position import Marks, Position
from coachbook.model.sayings import NOTHING, Saying
from coachbook.model.worksheet import Answer, AnswerForm, Exercise, Solution


def in_words(words: str) -> Saying:
    """A sentence of which only the words are known."""
    return Saying("", (), words)


AN_EXERCISE = Exercise(
    kind="mate_in_one",
    unit="",
    position=Position("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"),
    task=in_words("Mate in one."),
    task_marks=Marks(),
    answer=Answer(AnswerForm.MOVES, ("Qg7#",)),
    solution=Solution(Marks(), NOTHING),
    claims=(MateIn(1),),
    difficulty=1,
    key="k",
    seed=1,
)
