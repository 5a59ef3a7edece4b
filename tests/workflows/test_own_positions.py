from coachbook.workflows.own_positions import offered, own_exercises, read_source

MATES = "k7/8/1K6/8/8/8/8/7R w - - 0 1\n7k/5K2/8/8/8/8/8/6R1 w - - 0 1\n"


def test_each_position_is_told_before_it_is_looked_at() -> None:
    told: list[tuple[int, int, str]] = []
    assert len(offered(read_source(MATES), lambda *step: told.append(step))) == 2
    assert told == [(0, 2, "line 1"), (1, 2, "line 2")]
    assert len(own_exercises(read_source(MATES), "every_mate", "own", lambda *step: told.append(step))) == 2
    assert told[2:] == told[:2]
