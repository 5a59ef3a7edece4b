"""What a level file shows and asks: how it is read, and which mistakes are found without the tables."""

from pathlib import Path

import pytest

from coachbook.model.syllabus import ShownMove
from coachbook.syllabus import read_syllabus
from tests.syllabus.test_read import LEVEL, mistakes, write

SHOW = """
[[unit.show]]
line = [
  "Qc5 The wall comes nearer: {box 16 to 15}.",
  "Kf6 He steps back.",
]
until = "box 15"

[[unit.question]]"""
SHOWING = LEVEL.replace("[[unit.question]]", SHOW, 1)


def test_a_line_starts_from_the_demonstration_or_a_position_of_its_own(tmp_path: Path) -> None:
    write(tmp_path, SHOWING)
    (show,) = read_syllabus(tmp_path).units[0].shows
    assert show.fen == "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1"
    assert show.line[1] == ShownMove("Kf6", "He steps back.")
    assert show.until == "box 15"
    other = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
    text = SHOWING.replace("[[unit.show]]", f'[[unit.show]]\nfen = "{other}"').replace("Qc5 ", "Qc4 ")
    write(tmp_path, text.replace("16 to 15", "30 to 20"))
    assert read_syllabus(tmp_path).units[0].shows[0].fen == other


def test_a_unit_may_show_nothing(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    assert read_syllabus(tmp_path).units[0].shows == ()


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("Qc5 The", "Qh9 The", "show[1].line[1]: 'Qh9' is not a move that White can make here"),
        ("Kf6 He", "Kd5 He", "show[1].line[2]: 'Kd5' is not a move that Black can make here"),
        ("Qc5 The", "Qc5+ The", "show[1].line[1]: 'Qc5+' is written Qc5"),
        ("Kf6 He steps back.", "Kf6", "show[1].line[2]: 'Kf6' stands alone"),
        ("{box 16 to 15}", "{box 16 and 15}", "show[1].line[1]: 'box 16 and 15' is not a claim"),
        (
            "{box 16 to 15}",
            "{stale mate}",
            "show[1].line[1]: 'stale mate' is not a claim that coachbook can check",
        ),
        ('"box 15"', '"the end"', "show[1].until: 'the end' is not a claim"),
        ('until = "box 15"\n', "", "show[1].until: is missing"),
        ("[[unit.show]]", '[[unit.show]]\nfen = "8/8"', "show[1].fen: '8/8' is not a position"),
        ("[[unit.show]]", '[[unit.show]]\nsay = "x"', "show[1].say: is not a key that is known here"),
    ],
)
def test_a_mistake_in_a_line_is_named_with_its_place(
    tmp_path: Path, old: str, new: str, mistake: str
) -> None:
    assert old in SHOWING
    write(tmp_path, SHOWING.replace(old, new, 1))
    (found,) = mistakes(tmp_path)
    assert found.startswith(f"level-1.toml: unit[1].{mistake}")


def test_a_near_miss_is_told(tmp_path: Path) -> None:
    write(tmp_path, SHOWING.replace("{box 16 to 15}", "{stalemates}"))
    assert "did you mean 'stalemate'?" in mistakes(tmp_path)[0]


ASKING = LEVEL.replace(
    'expect = "Because."',
    'expect = "Because."\nwrong = "No idea."\nreply = "Look again."\nfen = "7k/5Q2/8/8/8/8/8/K7 b - - 0 1"',
)


def test_a_question_has_a_wrong_answer_with_a_reply_and_a_position_that_may_be_over(tmp_path: Path) -> None:
    write(tmp_path, ASKING)
    (question,) = read_syllabus(tmp_path).units[0].questions
    assert (question.wrong, question.reply) == ("No idea.", "Look again.")
    assert question.fen == "7k/5Q2/8/8/8/8/8/K7 b - - 0 1"


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ('reply = "Look again."\n', "", "reply: a wrong answer needs a reply"),
        ('wrong = "No idea."\n', "", "reply: a wrong answer needs a reply"),
        ("8/8/K7 b", "8/8/k7 b", "fen: '7k/5Q2"),
        ("7k/5Q2", "7kk/5Q2", "fen: '7kk/5Q2/8/8/8/8/8/K7 b - - 0 1' is not a legal position"),
    ],
)
def test_a_mistake_in_a_question_is_named(tmp_path: Path, old: str, new: str, mistake: str) -> None:
    assert old in ASKING
    write(tmp_path, ASKING.replace(old, new, 1))
    (found,) = mistakes(tmp_path)
    assert found.startswith(f"level-1.toml: unit[1].question[1].{mistake}")
