import numpy as np
import pytest

from coachbook.endgame.material import Material, UnknownEndingError, parse_material
from coachbook.endgame.probe import probe
from coachbook.endgame.retrograde import LONGEST, put_mates
from coachbook.endgame.space import Space
from coachbook.endgame.tables import Tables, build
from tests.endgame.positions import positions
from tests.endgame.test_rules import from_successors


def test_building_tells_its_progress_smaller_endings_first() -> None:
    told: list[tuple[int, int, str]] = []
    build([parse_material("KPK")], Tables(None), lambda *step: told.append(step))
    assert [name for _, _, name in told] == ["KK", "KBK", "KNK", "KQK", "KRK", "KPK", ""]
    assert [done for done, _, _ in told] == list(range(7))
    assert {of for _, of, _ in told} == {6}


def test_a_table_is_solved_once(tables: Tables) -> None:
    assert tables.table(parse_material("KQK")) is tables.table(parse_material("KQK"))


def test_a_table_has_both_sides_to_move_and_an_axis_for_each_man(tables: Tables) -> None:
    assert tables.table(parse_material("KQK")).values.shape == (2, 10, 64, 64)
    assert tables.table(parse_material("KPK")).values.shape == (2, 32, 64, 64)
    assert tables.table(parse_material("KRKN")).values.shape == (2, 10, 64, 64, 64)


def test_more_men_than_the_tables_have_are_refused(tables: Tables) -> None:
    with pytest.raises(UnknownEndingError, match="KRPKR has 5 men; this needs an ending of up to 4"):
        tables.table(Material("RP", "R"))


def test_a_mate_that_does_not_fit_into_a_byte_is_no_silent_mistake() -> None:
    space = Space(parse_material("KK"))
    values, somewhere = np.zeros((*space.shape, 64), dtype=np.int8), ~space.empty()
    put_mates(values, LONGEST + 1, space.empty(), wins=True)
    with pytest.raises(OverflowError, match="mate in 127"):
        put_mates(values, LONGEST + 1, somewhere, wins=True)
    assert not values.any()
    put_mates(values, LONGEST, somewhere, wins=False)
    assert (values == -1).all()


@pytest.mark.long
def test_nothing_assumes_four_men() -> None:
    known, material = Tables(None, most_men=5), parse_material("KQQQK")
    for board in positions(material, 300, seed=7):
        assert probe(board, known) == from_successors(board, known), board.fen()
    assert known.table(material).values.shape == (2, 10, 64, 64, 64, 64)
    assert np.count_nonzero(known.table(material).values > 0) > 0
