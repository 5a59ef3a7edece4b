"""Tables on disk, in parts and blocks: king, rook and pawn against king stands in for endings with five
men, as if only three men had room in memory."""

from collections.abc import Iterator
from pathlib import Path

import chess
import numpy as np
import pytest

from coachbook.endgame import block_file, large_table
from coachbook.endgame.block_file import BLOCK, BlockFile, DamagedFileError, write_blocks
from coachbook.endgame.build_large import (
    build_large,
    figures_of,
    parts_missing,
    parts_needed,
    solved_large,
)
from coachbook.endgame.census import Survey
from coachbook.endgame.large_table import Part, parts_of
from coachbook.endgame.material import Material, UnknownEndingError, parse_material
from coachbook.endgame.probe import judge_moves, probe
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import Tables
from coachbook.errors import Advice, CoachbookError, Step
from tests.endgame.positions import positions
from tests.endgame.test_rules import from_successors

KRPK = parse_material("KRPK")
NAMES = [
    *("KQRK-black", "KRRK-black", "KRBK-black", "KRNK-black"),
    *("KRPK-a-white", "KRPK-a-black", "KRPK-b-white", "KRPK-b-black"),
    *("KRPK-c-white", "KRPK-c-black", "KRPK-d-white", "KRPK-d-black"),
]


def untold(*_: object) -> None:
    """Progress that nobody wants to hear of."""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a finished build."""
    folder = tmp_path_factory.mktemp("built")
    build_large(KRPK, folder, untold)
    return folder


@pytest.fixture
def copy(built: Path, tmp_path: Path) -> Path:
    """A copy of it, to be damaged."""
    for path in built.glob("*.blocks"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    return tmp_path


def from_disk(folder: Path) -> Tables:
    return Tables(folder, most_men=3)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.stem: path.read_bytes() for path in folder.glob("*.blocks")}


def test_a_build_keeps_a_part_for_each_ending_and_each_file_of_the_pawn(built: Path) -> None:
    assert [part.name for part in parts_needed(KRPK)] == NAMES
    assert sorted(contents(built)) == sorted(NAMES)
    assert parts_missing(KRPK, built) == ()
    assert KRPK in solved_large(built)


@pytest.mark.parametrize("name", ["KRPK", "KRRK"])
def test_a_position_on_disk_is_worth_what_it_is_in_memory(name: str, built: Path, tables: Tables) -> None:
    on_disk = from_disk(built)
    for board in positions(parse_material(name), 600, seed=11):
        assert probe(board, on_disk) == probe(board, tables), board.fen()


def test_moves_into_smaller_endings_are_worth_the_same(built: Path, tables: Tables) -> None:
    on_disk = from_disk(built)
    for board in positions(KRPK, 60, seed=12):
        assert judge_moves(board, on_disk) == judge_moves(board, tables), board.fen()
        assert probe(board, on_disk) == from_successors(board, on_disk), board.fen()


@pytest.mark.parametrize("name", ["KQRK", "KRBK"])
def test_a_table_without_pawns_is_looked_up_as_in_memory(name: str, built: Path, tables: Tables) -> None:
    material, kings = parse_material(name), np.arange(64)
    for wanted in ([slice(0, 64), slice(3, 60, 8)], [slice(57, 58), slice(0, 64)]):
        found = from_disk(built).look_up(material, BLACK, kings, wanted)
        whole = tables.look_up(material, BLACK, kings, wanted)
        positions = found != IMPOSSIBLE  # the rest of what is in memory was taken just now, or is nothing
        assert positions.mean() > 0.4
        assert np.array_equal(found[positions], whole[positions])


def test_every_position_is_there(built: Path, tables: Tables) -> None:
    found = from_disk(built).look_up(parse_material("KRRK"), BLACK, np.arange(64), [slice(0, 64)] * 2)
    legal = Survey(parse_material("KRRK"), BLACK, tables).legal
    rows = [0, 1, 2, 3, 9, 10, 11, 18, 19, 27]
    assert (found[rows] != IMPOSSIBLE).sum() == np.bitwise_count(legal).sum()


@pytest.mark.parametrize(
    ("fen", "hint"),
    [
        ("7k/8/8/8/8/8/P7/K6R w - - 0 1", "It is White's move, but Black is in check."),
        ("k7/1P6/8/8/8/8/7R/K7 w - - 0 1", "It is White's move, but Black is in check."),
        ("8/8/8/3kK3/8/8/P7/7R b - - 0 1", "It is Black's move, but White is in check."),
    ],
)
def test_what_cannot_arise_is_refused_on_disk_too(fen: str, hint: str, built: Path) -> None:
    with pytest.raises(UnknownEndingError, match="not a position that can arise") as told:
        probe(chess.Board(fen), from_disk(built))
    assert told.value.hint == hint


@pytest.mark.parametrize("name", ["KRPK", "KRRK", "KQRK"])
def test_the_figures_of_a_table_on_disk_are_those_of_its_census(
    name: str, built: Path, tables: Tables
) -> None:
    material = parse_material(name)
    for side, found in zip((WHITE, BLACK), figures_of(material, built), strict=True):
        census = Survey(material, side, tables).census()
        assert (found.positions, found.won, found.drawn, found.lost) == (
            *(census.positions, census.won, census.drawn, census.lost),
        )
        assert (found.longest, found.longest_count) == (census.longest, census.longest_count)
        if found.example is not None:
            board = Survey(material, side, tables).board(np.zeros(4, np.intp))
            board.set_fen(found.example)
            assert probe(board, tables).moves == found.longest


class Stop:
    """Progress during which somebody presses Ctrl-C, as soon as something of this name is told."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.told: list[tuple[int, int, str]] = []

    def __call__(self, done: int, of: int, name: str) -> None:
        self.told.append((done, of, name))
        if self.name and name.startswith(self.name):
            raise KeyboardInterrupt


@pytest.mark.full
@pytest.mark.parametrize(("at", "count"), [("KNK", 0), ("KQRK, mates in 3", 0), ("KRPK-c, mates in 0", 8)])
def test_a_build_that_was_stopped_goes_on_where_it_was_and_gives_the_same(
    at: str, count: int, built: Path, tmp_path: Path
) -> None:
    with pytest.raises(KeyboardInterrupt):
        build_large(KRPK, tmp_path, Stop(at))
    finished = {path: path.stat().st_mtime_ns for path in tmp_path.glob("*.blocks")}
    assert [path.stem for path in sorted(finished)] == sorted(NAMES[:count])
    build_large(KRPK, tmp_path, untold)
    assert contents(tmp_path) == contents(built)
    assert all(path.stat().st_mtime_ns == written for path, written in finished.items())


def test_progress_only_grows_and_ends_whole(built: Path, tmp_path: Path) -> None:
    told = Stop("")
    build_large(KRPK, tmp_path, told)
    done = [each for each, _, _ in told.told]
    assert done == sorted(done)
    assert len({of for _, of, _ in told.told}) == 1
    assert told.told[-1][:2] == (done[-1], done[-1])
    again = Stop("")
    build_large(KRPK, built, again)
    assert not any("mates in" in name for _, _, name in again.told)


def test_what_is_not_built_is_said_and_not_solved(tmp_path: Path) -> None:
    board = next(positions(KRPK, 1, seed=13))
    for folder in (tmp_path, None):
        with pytest.raises(UnknownEndingError, match="KRPK is not solved yet") as told:
            probe(board, Tables(folder, most_men=3))
        assert told.value.hint == Advice(Step.BUILD_THE_ENDING, {"ending": "KRPK"})
    assert list(tmp_path.iterdir()) == []


def test_half_a_table_is_none(copy: Path) -> None:
    for side in ("white", "black"):
        (copy / f"KRPK-d-{side}.blocks").unlink()
    with pytest.raises(UnknownEndingError, match="not solved yet"):
        probe(next(positions(KRPK, 1, seed=13)), from_disk(copy))
    assert KRPK not in solved_large(copy)
    assert [part.name for part in parts_missing(KRPK, copy)] == ["KRPK-d-white", "KRPK-d-black"]


def test_with_one_side_only_the_others_positions_are_worth_their_best_move(
    copy: Path, tables: Tables
) -> None:
    (copy / "KRPK-d-white.blocks").unlink()
    on_disk = from_disk(copy)
    for board in positions(KRPK, 200, seed=14):
        assert probe(board, on_disk) == probe(board, tables), board.fen()


@pytest.mark.full
@pytest.mark.parametrize("place", [0, 0.0005, 0.002, 0.3, 0.6, 1])
def test_one_flipped_bit_is_found_said_and_mended(place: float, copy: Path, built: Path) -> None:
    path = copy / "KRPK-b-black.blocks"
    content = bytearray(path.read_bytes())
    content[min(int(place * len(content)), len(content) - 1)] ^= 4
    path.write_bytes(content)
    assert [part.name for part in parts_missing(KRPK, copy)] == ["KRPK-b-black"]
    with pytest.raises(UnknownEndingError, match="The table of KRPK is damaged") as told:
        ask_all(from_disk(copy))
    assert told.value.hint == Advice(Step.BUILD_THE_ENDING, {"ending": "KRPK"})
    build_large(KRPK, copy, untold)
    assert contents(copy) == contents(built)
    ask_all(from_disk(copy))


def ask_all(tables: Tables) -> None:
    """A value of each block of a table."""
    table = tables.large(KRPK)
    for index in range(BLACK * 32 * 64**3, (BLACK + 1) * 32 * 64**3, 64):
        table[index]


@pytest.mark.parametrize(
    "content", [b"", b"\n", b"no table", b"{}\n\n", b"x\n[]\n", b'x\n{"blocks": "many"}\n']
)
def test_a_file_that_is_none_is_not_trusted(content: bytes, copy: Path) -> None:
    (copy / "KRPK-a-black.blocks").write_bytes(content)
    assert [part.name for part in parts_missing(KRPK, copy)] == ["KRPK-a-black"]
    with pytest.raises(UnknownEndingError, match="damaged"):
        from_disk(copy).large(KRPK)


def test_a_file_cut_short_is_not_trusted(copy: Path) -> None:
    path = copy / "KRPK-a-black.blocks"
    path.write_bytes(path.read_bytes()[:-1])
    assert [part.name for part in parts_missing(KRPK, copy)] == ["KRPK-a-black"]


def test_a_file_of_another_part_or_format_is_not_trusted(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (copy / "KRPK-a-black.blocks").write_bytes((copy / "KRPK-b-black.blocks").read_bytes())
    assert [part.name for part in parts_missing(KRPK, copy)] == ["KRPK-a-black"]
    monkeypatch.setattr(large_table, "FORMAT", "a later one")
    assert [part.name for part in parts_missing(KRPK, copy)] == NAMES


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.touch()
    with pytest.raises((CoachbookError, OSError)):
        build_large(parse_material("KQRK"), in_the_way, untold)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("KPPKP", "KPPKP has a mate in 127 moves, and a table holds 126 at most."),
        ("KRPKP", "KRPKP would take too much: with five men there can be one pawn at most."),
        ("KPPKR", "KRKPP would take too much"),
        ("KRRRKR", "This ending has 6 men; the tables go up to 5."),
    ],
)
def test_what_would_take_too_much_is_refused(name: str, why: str, tmp_path: Path) -> None:
    material = parse_material(name)
    for ask in (lambda: parts_needed(material), lambda: Tables(tmp_path).large(material)):
        with pytest.raises(UnknownEndingError, match=why.replace("KRKPP", material.name)):
            ask()


def test_a_pawn_of_black_needs_tables_with_white_to_move() -> None:
    names = [part.name for part in parts_needed(parse_material("KRBKP"))]
    assert names[:4] == ["KRBKQ-white", "KRBKR-white", "KRBKB-white", "KRBKN-white"]
    assert names[4:6] == ["KRBKP-a-white", "KRBKP-a-black"]
    assert len(names) == 12
    assert [part.name for part in parts_needed(Material("QR", "R"))] == ["KQRKR-black"]


@pytest.fixture
def numbers(tmp_path: Path) -> Iterator[BlockFile]:
    """A file of three blocks, the last one shorter."""
    path = tmp_path / "numbers"
    blocks = [bytes([number]) * BLOCK for number in (1, 2)]
    write_blocks(path, {"of": "numbers"}, [*blocks, b"abc"])
    with BlockFile(path) as file:
        yield file


def test_bytes_are_read_from_their_block(numbers: BlockFile, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(block_file, "_MOST_KEPT", 1)
    assert [numbers[place] for place in (0, BLOCK - 1, BLOCK, 2 * BLOCK + 1, 0)] == [1, 1, 2, ord("b"), 1]
    assert numbers.read(2 * BLOCK + 1, 2) == b"bc"
    assert numbers.head["of"] == "numbers"
    numbers.check()


def test_a_block_that_is_gone_is_damage(numbers: BlockFile) -> None:
    numbers.path.write_bytes(numbers.path.read_bytes()[:-2])
    with BlockFile(numbers.path) as file, pytest.raises(DamagedFileError, match="block 2 of"):
        file.check()


def test_the_side_that_is_kept_and_the_file_stand_in_a_parts_name() -> None:
    assert parts_of(parse_material("KQRKR"), WHITE) == (Part(parse_material("KQRKR"), WHITE, None),)
    assert [part.name for part in parts_of(KRPK, WHITE)][-1] == "KRPK-d-white"
