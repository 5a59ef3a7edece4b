"""Positions placed by chance where there is no survey: king and rook against king and pawn stands in for an
ending of five men, as if only three men had room in memory."""

import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice, pairwise
from pathlib import Path

import chess
import numpy as np
import pytest

from coachbook.endgame.build_large import build_large
from coachbook.endgame.material import UnknownEndingError, material_of, parse_material
from coachbook.endgame.probe import Result, after_move, probe
from coachbook.endgame.space import BLACK, WHITE, Space
from coachbook.endgame.symmetry import symmetric_copies
from coachbook.endgame.tables import Tables
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises import drawn_positions, generate
from coachbook.exercises.drawn_positions import Drawn, is_drawn_from, played
from coachbook.exercises.generate import (
    SupplyExhaustedError,
    exercise_stream,
    fresh_exercises,
    make_exercises,
    make_forms,
    supplies,
    survey_of,
    surveyed,
)
from coachbook.exercises.places import Placed
from coachbook.exercises.themes import standing
from coachbook.exercises.verify import check_exercise
from coachbook.method.border import choose
from coachbook.method.bridge import BRIDGE
from coachbook.method.rook_verdicts import PICTURES, find_verdicts
from coachbook.method.written_plan import find_length
from coachbook.model import known_themes
from coachbook.model.known_themes import Themes, ThemeValue
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import unit_with
from tests.exercises.test_themes import EXAMPLES, NAIVE
from tests.judges.published import Published
from tests.method import naive_bridge
from tests.shipped import without_five_men

ENDING = "KRKP"
NEEDS_SURVEY = ("kept_by", "box_at_most", "only_rule")
KINDS = (
    "win_or_draw",
    pytest.param("only_move", marks=pytest.mark.long),
    pytest.param("rook_place", marks=pytest.mark.long),
    "find_mistake",
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with the table of the stand-in."""
    folder = tmp_path_factory.mktemp("built")
    for ending in (
        ENDING,
        "KQKR",
    ):  # with its new queen Black is the stronger side, which needs five men more
        build_large(parse_material(ending), folder, lambda *_: None)
    return folder


def with_three_men(patch: pytest.MonkeyPatch, folder: Path) -> Tables:
    """The tables that everything uses, as if they held three men, and all others were in a folder."""
    return without_five_men(patch, folder, most_men=3)


@pytest.fixture
def on_disk(built: Path, monkeypatch: pytest.MonkeyPatch) -> Tables:
    return with_three_men(monkeypatch, built)


without_survey = pytest.mark.usefixtures("on_disk")


def drawn(side: int = WHITE, themes: Themes = (), seed: int = 1, ending: str = ENDING) -> Drawn:
    return Drawn(ending, side, themes, random.Random(seed))  # noqa: S311 - no secret


def some(boards: Iterator[chess.Board], count: int = 40) -> list[chess.Board]:
    return list(islice(boards, count))


def stream(kind: str, count: int, themes: Themes = (), seed: int = 1) -> list[Exercise]:
    unit = unit_with(kind, ENDING, themes=themes)
    return list(islice(exercise_stream(unit, unit.kinds[0], seed, frozenset()), count))


@without_survey
def test_an_ending_is_drawn_from_where_the_tables_do_not_hold_it() -> None:
    assert [is_drawn_from(each) for each in ("KRKP", "KRPKR", "KRK")] == [True, True, False]
    assert surveyed(("KRKP", "KRK")) == ("KRK",)


def test_up_to_four_men_have_a_survey() -> None:
    assert [is_drawn_from(each) for each in ("KRKP", "KRPKR", "KRK")] == [False, True, False]


@pytest.mark.parametrize("side", [WHITE, BLACK])
@without_survey
def test_positions_are_legal_of_the_ending_and_leave_nothing_to_be_taken(side: int) -> None:
    for board in some(drawn(side).won(by_white=True)):
        assert board.is_valid()
        assert board.turn == (side == WHITE)
        assert material_of(board).name == ENDING
        assert not any(map(board.is_capture, board.legal_moves))
        assert board.ep_square is None


@pytest.mark.parametrize("side", [WHITE, BLACK])
@without_survey
def test_wins_and_draws_are_those_of_the_tables_and_none_is_lost(side: int, published: Published) -> None:
    source = drawn(side)
    won, held = some(source.won(by_white=True)), some(source.won(by_white=False))
    white = 1 if side == WHITE else -1
    assert {published.result(board) * white for board in won} == {1}
    assert {published.result(board) for board in held} == {0}
    assert source.worth[True] >= len(won)
    assert source.worth[False] >= len(held)


@without_survey
def test_the_same_seed_draws_the_same_positions_on_every_machine() -> None:
    first = [board.epd() for board in some(drawn(seed=3).won(by_white=True), 3)]
    assert first == [board.epd() for board in some(drawn(seed=3).won(by_white=True), 3)]
    assert first != [board.epd() for board in some(drawn(seed=4).won(by_white=True), 3)]
    assert first == FIRST


FIRST = [
    "8/7p/8/8/8/R1K4k/8/8 w - -",
    "8/5p2/8/1R2K3/6k1/8/8/8 w - -",
    "1k6/8/8/8/3p2K1/2R5/8/8 w - -",
]
"""As first drawn."""


@without_survey
def test_both_wings_and_all_ranks_come() -> None:
    boards = some(drawn().won(by_white=True), 200)
    pawns = [chess.lsb(board.pawns) for board in boards]
    assert {chess.square_file(at) for at in pawns} == set(range(8))
    assert {chess.square_rank(at) for at in pawns} == set(range(1, 7))


@without_survey
def test_a_theme_may_be_about_the_position_or_about_what_a_move_leads_to() -> None:
    themes: Themes = (("king_near_pawn", 1), ("to_move", "black"))
    source = replace(drawn(BLACK, themes), before=True)
    here = there = 0
    for board in some(source.won(by_white=False), 200):
        led_to = [after_move(board, move) for move in board.legal_moves]
        near = [is_near(each) for each in (board, *led_to)]
        assert any(near), board.fen()
        here, there = here + near[0], there + (not near[0])
    assert here > 0 < there


def is_near(board: chess.Board) -> bool:
    """Whether the king with the pawn is next to it."""
    return chess.square_distance(board.king(chess.BLACK) or 0, chess.lsb(board.pawns)) == 1


def placed_in(ending: str, side: int) -> tuple[Placed, list[chess.Board]]:
    """A batch, and the board of each of its positions."""
    space = Space(parse_material(ending))
    squares = drawn_positions._placed_men(space, random.Random(2))[:3000]  # noqa: S311 - no secret
    return Placed(space, side, squares), [drawn_positions._board_of(space, side, row) for row in squares]


MEN = [
    example for example in EXAMPLES if example[0] not in (*NEEDS_SURVEY, "result", "answer_is", "decided_by")
]


@pytest.mark.parametrize(("name", "value", "ending", "side"), MEN)
def test_a_theme_of_the_men_says_of_placed_ones_what_a_naive_judge_says(
    name: str, value: ThemeValue, ending: str, side: int, published: Published
) -> None:
    placed, boards = placed_in(ending, side)
    found = standing(placed, ((name, value),))
    for board, kept in zip(boards, found, strict=True):
        if board.is_valid():
            assert NAIVE[name](board, value, published) == kept, board.fen()


def test_themes_of_the_men_are_all_tried() -> None:
    assert {name for name, *_ in MEN} == NAIVE.keys() - {*NEEDS_SURVEY, "result"}


def test_the_pictures_that_a_level_file_may_name_are_those_there_are() -> None:
    assert tuple(PICTURES) == known_themes.PICTURES


@pytest.mark.full
@pytest.mark.parametrize("picture", PICTURES)
def test_a_picture_is_the_same_for_placed_men_a_board_and_its_mirror_image(picture: str) -> None:
    placed, boards = placed_in("KRPKR", WHITE)
    found = standing(placed, (("picture", picture),))
    for board, kept in zip(boards, found, strict=True):
        for look in symmetric_copies(board) if board.is_valid() else ():
            told = {each.because for each in find_verdicts(look)}
            assert bool(told & {*PICTURES[picture]}) == kept, board.fen()


def test_no_picture_is_of_another_ending() -> None:
    placed, _ = placed_in("KRKP", WHITE)
    assert not standing(placed, (("picture", "third rank"),)).any()


@pytest.mark.parametrize("kind", KINDS)
@without_survey
def test_exercises_are_true_fresh_and_the_same_from_the_same_seed(kind: str) -> None:
    made = stream(kind, 2)
    assert len({exercise.key for exercise in made}) == len(made) == 2
    assert made == stream(kind, 2)
    assert made[:1] != stream(kind, 1, seed=2)
    for exercise in made:
        check_exercise(exercise)


@pytest.mark.full
@without_survey
def test_what_was_used_does_not_come_again() -> None:
    unit = unit_with("only_move", ENDING)
    used = frozenset(exercise.key for exercise in stream("only_move", 1))
    again = make_exercises(unit, unit.kinds[0], 1, 1, used)
    assert used.isdisjoint(exercise.key for exercise in again)


def worth_and_turn(exercise: Exercise) -> tuple[bool, bool]:
    board = chess.Board(exercise.position.fen)
    return probe(board).result is not Result.DRAW, board.turn


@without_survey
def test_wins_and_draws_come_in_turn_and_either_side_is_to_move() -> None:
    cases = [worth_and_turn(exercise) for exercise in stream("win_or_draw", 16)]
    assert all(one[0] != other[0] for one, other in pairwise(cases))
    assert len(set(cases)) == 4


@pytest.mark.parametrize(
    ("themes", "cases"),
    [
        ((("to_move", "black"),), {(True, False), (False, False)}),
        ((("result", "draw"),), {(False, True), (False, False)}),
        ((("to_move", "white"), ("result", "win")), {(True, True)}),
    ],
)
@without_survey
def test_whose_move_and_what_result_are_asked_for(themes: Themes, cases: set[tuple[bool, bool]]) -> None:
    assert {worth_and_turn(exercise) for exercise in stream("win_or_draw", 8, themes)} == cases


@pytest.mark.long
@without_survey
def test_themes_about_the_answer_and_the_key_hold_too() -> None:
    for exercise in stream("only_move", 2, (("answer_is", "king move"),)):
        assert exercise.answer.accepted[0].startswith("K")
    for exercise in stream("only_move", 1, (("decided_by", "cut off"),)):
        assert "can go to a rank between" in exercise.solution.text.words


@pytest.mark.full
@without_survey
def test_two_forms_are_made() -> None:
    forms = make_forms(unit_with("only_move", ENDING), 4, 1, frozenset())
    assert len({exercise.key for exercise in (*forms.a, *forms.b)}) == 8


@without_survey
def test_an_ending_with_a_survey_comes_beside_one_without() -> None:
    unit = replace(unit_with("win_or_draw", ENDING), endings=("KPK", ENDING))
    made = make_exercises(unit, unit.kinds[0], 12, 1, frozenset())
    endings = {material_of(chess.Board(exercise.position.fen)).name for exercise in made}
    assert endings == {"KPK", ENDING}
    assert len(supplies("win_or_draw", surveyed(unit.endings))) == 2


@pytest.mark.parametrize(
    "themes",
    [
        (("kings_within", 2), ("kings_apart", 7)),  # no men stand so
        (("to_move", "white"), ("result", "draw"), ("lone_king_near_pawn", 1), ("decided_by", "corner")),
    ],
)
@without_survey
def test_where_nothing_suits_the_search_ends(themes: Themes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_positions, "_MOST_BATCHES", 5)
    monkeypatch.setattr(generate, "_MOST_TRIED", 30)
    unit = unit_with("only_move", ENDING, themes=themes)
    with pytest.raises(SupplyExhaustedError, match="Only 0 fresh positions are left for only_move"):
        make_exercises(unit, unit.kinds[0], 4, 1, frozenset())
    assert fresh_exercises(unit, unit.kinds[0], 5) == 0


@without_survey
def test_a_result_that_never_comes_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drawn_positions, "_MOST_OF_OTHERS", 20)
    far_from_all = (("pawn_ranks", "2"), ("king_near_pawn", 7), ("lone_king_near_pawn", 1))
    source = drawn(WHITE, far_from_all)
    assert not some(source.won(by_white=False))
    assert some(source.won(by_white=True))  # what was drawn in vain is not lost


@without_survey
def test_a_kind_that_needs_a_survey_is_told() -> None:
    unit = unit_with("mate_in_two", ENDING)
    with pytest.raises(CoachbookError, match="mate_in_two cannot be asked in KRKP") as told:
        make_exercises(unit, unit.kinds[0], 4, 1, frozenset())
    assert told.value.hint


@pytest.mark.full
@pytest.mark.parametrize("make", [make_exercises, fresh_exercises])
def test_an_ending_that_is_not_built_is_told(
    make: Callable[..., object], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_three_men(monkeypatch, tmp_path)
    unit: Unit = unit_with("only_move", ENDING)
    given = (unit, KindUse("only_move", 1, 100), 4)
    with pytest.raises(UnknownEndingError, match="KRKP is not solved yet") as told:
        make(*given, *((1, frozenset()) if make is make_exercises else ()))
    assert told.value.hint == Advice(Step.BUILD_THE_ENDING, {"ending": "KRKP"})
    assert not list(tmp_path.iterdir())


def counted(side: int, *, by_white: bool) -> float:
    """How many there are in the whole table, judged by an even part of it."""
    survey = survey_of(ENDING, side)
    won = survey.where(lambda values: values > 0 if side == WHITE else values < 0)
    cells = survey.cells(won if by_white else survey.where(lambda values: values == 0))
    cells = cells[~np.isin(cells[:, 2] // 8, (0, 7))]  # none where a pawn may be taken en passant
    boards = [survey.board(cell) for cell in cells[:: len(cells) // 10_000]]
    quiet = [board.is_valid() and not any(map(board.is_capture, board.legal_moves)) for board in boards]
    return len(cells) * sum(quiet) / len(quiet)


@pytest.mark.parametrize("side", [WHITE, BLACK])
@pytest.mark.parametrize("by_white", [True, False])
@pytest.mark.long
def test_how_many_there_are_is_estimated_to_a_tenth(side: int, by_white: bool, built: Path) -> None:
    with pytest.MonkeyPatch.context() as patch:
        with_three_men(patch, built)
        source = drawn(side)
        some(source.won(by_white=by_white), 3000)
    assert source.estimate(by_white=by_white) == pytest.approx(counted(side, by_white=by_white), rel=0.1)


UNIT = unit_with("next_rule", "KRPKR")


def boards(seed: int) -> Iterator[chess.Board]:
    return played(BRIDGE, "RPr", random.Random(seed))  # noqa: S311 - no secret


def test_the_method_works_from_each_of_them() -> None:
    for board in islice(boards(1), 12):
        assert board.is_valid()
        assert find_length(board, BRIDGE) is not None, board.fen()


@pytest.mark.full
def test_the_rules_come_and_none_much_more_often_than_others() -> None:
    found = Counter(rule.code for board in islice(boards(2), 50) if (rule := choose(board, BRIDGE).rule))
    assert len(found) >= len(BRIDGE.rules) - 1  # one is rare
    assert max(found.values()) <= 20


def test_the_same_chance_gives_the_same_positions() -> None:
    first = [board.fen() for board in islice(boards(3), 6)]
    assert first == [board.fen() for board in islice(boards(3), 6)]
    assert first != [board.fen() for board in islice(boards(4), 6)]


def test_exercises_ask_for_the_rule_that_the_words_of_the_card_name() -> None:
    made = list(islice(exercise_stream(UNIT, KindUse("next_rule", 1, 100), 1, frozenset()), 12))
    assert len({exercise.key for exercise in made}) == 12
    assert len({exercise.answer.accepted for exercise in made}) >= 4
    for exercise in made:
        rule, _ = naive_bridge.decide(chess.Board(exercise.position.fen), by_card=True)
        assert exercise.answer.accepted == (rule,), exercise.position.fen
