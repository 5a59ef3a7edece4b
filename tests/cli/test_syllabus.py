"""The syllabus reads like a coach's notebook."""

import json

import pytest

from coachbook.model.known_themes import THEMES
from coachbook.model.shown_claims import CLAIM_FORMS
from tests.cli.drive import done

PAGE = """\
The queen's box
Boxes (level 2). Unit queen-box, 75 minutes.

  I can shut the lone king in a box with my queen, make the box small, bring
  my king and mate.

Comes after
  - Two big pieces

Show on the board: White moves first, and is to win.
  8  . . . . . . . .
  7  . . . . . . . .
  6  . . . . k . . .
  5  . . . . . . . .
  4  . . . Q . . . .
  3  . . . . . . . .
  2  . . . . . . . .
  1  K . . . . . . .
     a b c d e f g h
  8/8/4k3/8/3Q4/8/8/K7 w - - 0 1
  Method: queen-box

Say
  1. The queen's rank and the queen's file are two walls.
  2. A smaller box is better.

Ask
  - Show me the box. How many squares are in it?
      Four times four, sixteen squares.

Watch for
  - Makes the box too small and gives stalemate.

Worksheets
  - box size, difficulty 1 to 20
  - every mate, difficulty 31 to 100
  - stalemate moves, difficulty 31 to 100

For those who are done early
  - Play it with the king on a8.

For those who can't follow yet
  - Lay a string along the walls.

Play out
  - 8/8/8/8/4k3/8/8/K1Q5 w - - 0 1, mate within 16 moves

Secure after
  - 2 evenings with at least 5 items answered and 80% of them right
"""


@pytest.mark.usefixtures("club")
def test_a_unit_is_a_page_of_plain_text() -> None:
    assert done("syllabus", "show", "Queen-Box") == PAGE


@pytest.mark.usefixtures("club")
def test_the_units_are_listed_level_by_level() -> None:
    assert done("syllabus", "list") == (
        "Mate, not stalemate (level 1)\n"
        "Unit        Title           Minutes  Comes after\n"
        "two-majors  Two big pieces  60\n"
        "\n"
        "Boxes (level 2)\n"
        "Unit       Title            Minutes  Comes after\n"
        "queen-box  The queen's box  75       two-majors\n"
        "\n"
    )
    levels = json.loads(done("syllabus", "list", "--json"))
    assert [unit["code"] for level in levels for unit in level["units"]] == ["two-majors", "queen-box"]
    assert json.loads(done("syllabus", "show", "queen-box", "--json"))["secure"] == {
        "evenings": 2,
        "items": 5,
        "share": 0.8,
        "play_outs": 0,
    }


@pytest.mark.usefixtures("club")
def test_a_syllabus_without_mistakes_is_counted() -> None:
    assert done("syllabus", "check") == (
        "2 levels, 2 units: the demonstrations, with what they claim in braces, the goals and allowances of"
        " the play-outs, and the supply of exercises are true by the tables. Other words are"
        " not checked.\n"
    )


def test_the_claims_of_a_demonstration_are_listed_with_what_they_mean() -> None:
    told = done("syllabus", "claims")
    listed = json.loads(done("syllabus", "claims", "--json"))
    assert [each["claim"] for each in listed] == [form.written for form in CLAIM_FORMS]
    for each in listed:
        assert f"{{{each['claim']}}}" in told
        assert " ".join(each["means"].split()) in " ".join(told.split())


def test_the_themes_are_listed_with_what_they_mean() -> None:
    told = done("syllabus", "themes")
    listed = json.loads(done("syllabus", "themes", "--json"))
    assert [each["name"] for each in listed] == [theme.name for theme in THEMES]
    for each in listed:
        assert f"{each['name']} = {each['example']}" in told
        assert each["meaning"] in told
