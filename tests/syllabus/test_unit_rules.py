"""A position in the syllabus is legal, undecided, and of the unit's ending."""

import pytest

from coachbook.model.known_themes import THEMES, Theme
from coachbook.model.syllabus import Goal
from coachbook.syllabus.unit_rules import position_mistake, theme_mistakes


def test_a_legal_position_of_the_ending_has_no_mistake() -> None:
    assert position_mistake("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", ("KRK", "KQK")) == ""
    assert position_mistake("8/8/4k3/8/8/8/1Q6/K6R w - - 0 1", ("KQRK",)) == ""


@pytest.mark.parametrize(
    ("fen", "mistake"),
    [
        ("nonsense", "not a position in FEN"),
        ("8/8/4k3/8/3Q4/8/8/K7 w - e5 0 1", "not a position in FEN"),
        ("8/8/4k3/8/3Q4/8/8/K7 b - - 0 1", "Black is to move and to win, with a king alone"),
        ("8/8/4K3/8/3q4/8/8/k7 w - - 0 1", "the men are KKQ; this unit is about KQK"),
        ("8/8/8/8/3Q4/8/1k6/K7 w - - 0 1", "not legal"),
        ("8/8/4k3/8/8/8/8/K3Q3 w - - 0 1", "not legal"),
        ("4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "not legal"),
        ("8/8/4k3/8/8/8/8/K3N3 w - - 0 1", "the game is over"),
        ("8/8/4k3/8/3R4/8/8/K7 w - - 0 1", "the men are KRK; this unit is about KQK"),
    ],
)
def test_a_faulty_position_is_told_in_words(fen: str, mistake: str) -> None:
    assert mistake in position_mistake(fen, ("KQK",))


def test_a_lone_king_may_be_to_move_where_a_draw_is_the_goal() -> None:
    fen = "8/8/8/4k3/8/4K3/4P3/8 b - - 0 1"
    assert position_mistake(fen, ("KPK",), Goal.DRAW) == ""
    assert position_mistake(fen, ("KPK",), Goal.WIN).startswith("Black is to move and to win")


def test_black_may_be_to_move_and_win_with_more_than_a_king() -> None:
    assert position_mistake("8/8/8/8/2p5/8/6P1/K6k b - - 0 1", ("KPKP",), Goal.WIN) == ""


def mistakes(endings: tuple[str, ...] = ("KPK",), **use: object) -> dict[str, str]:
    return dict(theme_mistakes(use, endings))


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_an_example_is_no_mistake_where_its_men_are(theme: Theme) -> None:
    value = theme.example.strip('"')
    assert any(not mistakes((ending,), **{theme.name: value}) for ending in ("KPK", "KBPK", "KQK", "KRPKR"))


@pytest.mark.parametrize(
    ("theme", "endings", "told"),
    [
        ("pawn_files", ("KQK",), "needs a pawn; that is not in KQK"),
        ("lone_king_in_front", ("KPK", "KQK", "KRK"), "needs a pawn; that is not in KQK and KRK"),
        ("bishop", ("KPK",), "needs a bishop and a pawn on one side; that is not in KPK"),
        ("bishop", ("KBKP",), "needs a bishop and a pawn on one side; that is not in KBKP"),
        ("box_at_most", ("KPK",), "needs a queen or a rook alone against a king; that is not in KPK"),
        ("box_at_most", ("KQKR",), "needs a queen or a rook alone against a king; that is not in KQKR"),
        ("only_rule", ("KQKP",), "needs a king alone on one side; that is not in KQKP"),
        ("kept_by", ("KRPK", "KRPKR"), "needs four men at most; that is not in KRPKR"),
        ("picture", ("KRPK",), "needs king, rook and pawn against king and rook; that is not in KRPK"),
    ],
)
def test_a_theme_without_its_men_is_told(theme: str, endings: tuple[str, ...], told: str) -> None:
    assert mistakes(endings, **{theme: "mate"}) == {theme: told}


@pytest.mark.parametrize(
    ("use", "told"),
    [
        ({"pawn_ranks": "5-2"}, {"pawn_ranks": "the lower rank comes first: 2-5, not 5-2"}),
        (
            {"king_near_pawn": 2, "king_far_from_pawn": 4},
            {"king_far_from_pawn": "4 or more cannot be: king_near_pawn is 2"},
        ),
        ({"kings_within": 3, "kings_apart": 4}, {"kings_apart": "4 or more cannot be: kings_within is 3"}),
        (
            {"lone_king_near_pawn": 1, "lone_king_far_from_pawn": 2},
            {"lone_king_far_from_pawn": "2 or more cannot be: lone_king_near_pawn is 1"},
        ),
        (
            {"decided_by": "corner", "pawn_files": "bc"},
            {"decided_by": "is about pawns on the a-file or h-file; pawn_files is 'bc'"},
        ),
        ({"pawn_ranks": "7"}, {}),
        ({"pawn_ranks": "2-2"}, {}),
        ({"kings_within": 3, "kings_apart": 3}, {}),
        ({"decided_by": "corner", "pawn_files": "h"}, {}),
        ({"decided_by": "opposition", "pawn_files": "bc"}, {}),
        ({"kings_within": None, "kings_apart": 4}, {}),
    ],
)
def test_themes_that_contradict_each_other_are_told(use: dict[str, object], told: dict[str, str]) -> None:
    assert dict(theme_mistakes(use, ("KPK",))) == told


def test_a_bishop_goes_with_the_files_at_the_edge() -> None:
    assert "pawn_files is 'c'" in mistakes(("KBPK",), bishop="wrong", pawn_files="c")["bishop"]
    assert not mistakes(("KBPK",), bishop="wrong", pawn_files="ah")


def test_a_rule_is_named_as_on_its_card() -> None:
    told = mistakes(("KQK",), only_rule="dance")["only_rule"]
    assert told.startswith("there is no rule 'dance'; known are: mate, ")
    assert "bring the king" in told
    assert not mistakes(("KQK",), only_rule="bring the king")
