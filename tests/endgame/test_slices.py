"""An ending with one pawn solved a file at a time is the same as solved in one."""

import numpy as np
import pytest

from coachbook.endgame.material import parse_material
from coachbook.endgame.retrograde import Rules, solve
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE, Space
from coachbook.endgame.symmetry import unpacked
from coachbook.endgame.tables import Tables

FILES = range(4)


@pytest.mark.parametrize("name", ["KPK", "KRPK", "KPKR", "KQKP", "KPKN"])
def test_every_position_of_every_slice_is_worth_the_same_as_in_the_whole(name: str, tables: Tables) -> None:
    material = parse_material(name)
    for file in FILES:
        space = Space(material, file)
        values, legal = solve(space, tables.look_up), Rules(space).legal
        for side in (WHITE, BLACK):
            whole = tables.look_up(material, side, space.kings, [man.wanted for man in space.men])
            positions = unpacked(legal[side])
            here = values[side].reshape(-1)[positions]
            assert np.array_equal(here, whole.reshape(-1)[positions])
            assert IMPOSSIBLE not in here


@pytest.mark.parametrize("name", ["KRPK", "KPKR", "KQKP"])
def test_the_slices_have_all_positions_up_to_mirroring(name: str) -> None:
    material = parse_material(name)
    for side in (WHITE, BLACK):
        in_slices = sum(positions(Space(material, file), side) for file in FILES)
        assert in_slices == positions(Space(material), side)


def positions(space: Space, side: int) -> int:
    return int(np.bitwise_count(Rules(space).legal[side]).sum())


@pytest.mark.parametrize("name", ["KRPK", "KPKR", "KQKP"])
def test_what_is_solved_is_told_mate_by_mate(name: str, tables: Tables) -> None:
    told: list[tuple[int, int]] = []
    solve(Space(parse_material(name), 0), tables.look_up, lambda *step: told.append(step))
    of_white = [moves for winner, moves in told if winner == WHITE]
    assert of_white == list(range(len(of_white)))
    assert told == sorted(told)
