"""Counts and longest mates that others have published, number by number."""

from collections.abc import Callable

import numpy as np
import pytest

from coachbook.endgame.census import Survey
from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe_many
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import Tables
from tests.endgame.positions import all_arrangements

# EPD file endgame-dm-4 of the `chess` package, after K. Kryukov's table of longest checkmates
LONGEST_MATES = {
    "KQK": 10,
    "KRK": 16,
    "KPK": 28,
    "KRRK": 7,
    "KQQK": 4,
    "KQRK": 6,
    "KBBK": 19,
    "KBNK": 33,
    "KQBK": 8,
    "KQNK": 9,
    "KRBK": 16,
    "KRNK": 16,
    "KPPK": 32,
    "KRPK": 16,
    "KQPK": 10,
    "KBPK": 31,
    "KNPK": 27,
    "KNNK": 1,
    "KQKR": 35,
    "KQKB": 17,
    "KQKN": 21,
    "KQKQ": 13,
    "KRKB": 29,
    "KRKN": 40,
    "KRKR": 19,
    "KQKP": 28,
    "KRKP": 26,
    "KPKP": 33,
}

# UCI Machine Learning Repository, "Chess (King-Rook vs. King)", Bain and Hoff 1994
KRK_DRAWN = 2796
KRK_MATED_IN = [
    27,
    78,
    246,
    81,
    198,
    471,
    592,
    683,
    1433,
    1712,
    1985,
    2854,
    3597,
    4194,
    4553,
    2166,
    390,
]


@pytest.fixture
def survey(tables: Tables) -> Callable[[str, int], Survey]:
    return lambda ending, side: Survey(parse_material(ending), side, tables)


@pytest.mark.parametrize("ending", LONGEST_MATES)
def test_the_longest_mate_is_the_published_one(ending: str, survey: Callable[[str, int], Survey]) -> None:
    assert survey(ending, WHITE).census().longest == LONGEST_MATES[ending]


def test_a_pawn_beats_a_rook_in_at_most_43_moves(survey: Callable[[str, int], Survey]) -> None:
    # same EPD file
    assert survey("KRKP", BLACK).census().longest == 43


def test_rook_against_king_has_the_published_distribution(survey: Callable[[str, int], Survey]) -> None:
    lone_king = survey("KRK", BLACK)
    values = lone_king.values[(BLACK, *lone_king.cells(lone_king.legal).T)].astype(int)
    assert np.count_nonzero(values == 0) == KRK_DRAWN
    assert np.bincount(values[values < 0] + 127).tolist() == KRK_MATED_IN
    assert lone_king.census().positions == KRK_DRAWN + sum(KRK_MATED_IN) == 28_056


@pytest.mark.parametrize(("ending", "count"), [("KQK", 1), ("KRK", 121), ("KPK", 3)])
def test_as_many_longest_mates_as_published(
    ending: str, count: int, survey: Callable[[str, int], Survey]
) -> None:
    # statistics of the Nalimov tables, from a posting on the computer-chess endgame-table forum
    assert survey(ending, WHITE).census().longest_count == count


@pytest.mark.parametrize(("ending", "count"), [("KQK", 8), ("KRK", 390), ("KPK", 2)])
def test_as_many_longest_defences_as_published(
    ending: str, count: int, survey: Callable[[str, int], Survey]
) -> None:
    # same posting
    lone_king = survey(ending, BLACK)
    slowest = LONGEST_MATES[ending] - 127
    assert len(lone_king.cells(lone_king.where(lambda v: v == slowest))) == count


@pytest.mark.parametrize(
    ("ending", "positions", "classes", "mean"),
    [("KQK", 144_508, 18_081, 5.617), ("KRK", 175_168, 21_959, 9.865)],
)
def test_queen_and_rook_to_move_always_win(
    ending: str,
    positions: int,
    classes: int,
    mean: float,
    tables: Tables,
    survey: Callable[[str, int], Survey],
) -> None:
    # no outside source: two separate programs computed the same
    material = parse_material(ending)
    values = probe_many(material, WHITE, all_arrangements(material), tables)
    values = values[values != IMPOSSIBLE]
    assert len(values) == np.count_nonzero(values > 0) == positions
    assert np.mean(127 - values.astype(int)) == pytest.approx(mean, abs=0.0005)
    census = survey(ending, WHITE).census()
    assert census.positions == census.won == classes


@pytest.mark.parametrize(
    ("ending", "stalemating", "mates_in_one", "one_mate", "one_mate_in_two", "mated", "stalemated"),
    [("KQK", 1393, 306, 182, 370, 46, 109), ("KRK", 88, 189, 189, 495, 27, 9)],
)
def test_the_supply_of_exercises(
    ending: str,
    stalemating: int,
    mates_in_one: int,
    one_mate: int,
    one_mate_in_two: int,
    mated: int,
    stalemated: int,
    survey: Callable[[str, int], Survey],
) -> None:
    # no outside source: two separate programs computed the same, up to symmetry
    own, lone_king = survey(ending, WHITE), survey(ending, BLACK)
    assert len(own.cells(own.stalemating())) == stalemating
    assert len(own.cells(own.where(lambda v: v == 126))) == mates_in_one
    assert len(own.cells(own.with_some_move(lambda v: v == -127))) == mates_in_one
    assert len(own.cells(own.with_one_move(lambda v: v == -127))) == one_mate
    in_two = own.where(lambda v: v == 125) & own.with_one_move(lambda v: v == -126)
    assert len(own.cells(in_two)) == one_mate_in_two
    assert len(lone_king.cells(lone_king.where(lambda v: v == -127))) == mated
    assert len(lone_king.cells(lone_king.stalemates())) == stalemated
