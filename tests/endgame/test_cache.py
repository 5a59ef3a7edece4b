import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import platformdirs
import pytest

from coachbook.endgame import retrograde, tables
from coachbook.endgame import tables as cache
from coachbook.endgame.material import parse_material
from coachbook.endgame.smaller import LookUp, Values
from coachbook.endgame.space import Space
from coachbook.endgame.tables import Tables, is_kept, is_ready, read_values, write_values
from coachbook.files.reading import FOLDER_VARIABLE, cache_folder

NAMES = ("KNNK", "KQQK")
KNNK = parse_material("KNNK")


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the tables that are solved, not read, from now on."""
    names: list[str] = []

    def counting(space: Space, look_up: LookUp) -> Values:
        names.append(space.material.name)
        return retrograde.solve(space, look_up)

    monkeypatch.setattr(tables, "solve", counting)
    return names


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """The file of a table that has been solved and kept."""
    Tables(tmp_path).table(KNNK)
    (file,) = tmp_path.iterdir()
    return file


def test_a_table_comes_back_as_it_was_kept(tmp_path: Path, solved: list[str]) -> None:
    first = Tables(tmp_path).table(KNNK)
    assert solved.count("KNNK") == 1
    second = Tables(tmp_path).table(KNNK)
    assert solved.count("KNNK") == 1
    assert np.array_equal(first.values, second.values)
    assert second.values.dtype == np.int8


def test_small_tables_need_no_cache(tmp_path: Path) -> None:
    known = Tables(tmp_path)
    known.table(parse_material("KQK"))
    assert list(tmp_path.iterdir()) == []
    assert known.lasting(parse_material("KQK"))


def test_a_table_lasts_once_it_is_kept(tmp_path: Path) -> None:
    known = Tables(tmp_path)
    assert not known.lasting(KNNK)
    known.table(KNNK)
    assert known.lasting(KNNK)
    assert is_kept(tmp_path, KNNK)
    assert not Tables(None).lasting(KNNK)


@pytest.mark.parametrize("place", [0, 0.001, 0.5, 1])
def test_a_damaged_file_is_solved_again_and_mended(kept: Path, place: float, solved: list[str]) -> None:
    sound = kept.read_bytes()
    damaged = bytearray(sound)
    damaged[min(int(place * len(sound)), len(sound) - 1)] ^= 1
    kept.write_bytes(damaged)
    assert read_values(kept.parent, KNNK) is None
    Tables(kept.parent).table(KNNK)
    assert "KNNK" in solved
    assert kept.read_bytes() == sound


@pytest.mark.parametrize("content", [b"", b"\n", b"no table", b"{}\n\n"])
def test_a_file_that_is_no_table_is_not_trusted(kept: Path, content: bytes) -> None:
    kept.write_bytes(content)
    assert read_values(kept.parent, KNNK) is None


def test_a_file_cut_short_is_not_trusted(kept: Path) -> None:
    kept.write_bytes(kept.read_bytes()[:-1])
    assert read_values(kept.parent, KNNK) is None


def test_a_file_of_another_format_is_not_trusted(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "FORMAT", "a later one")
    assert read_values(kept.parent, KNNK) is None


def test_a_file_of_another_ending_is_not_trusted(kept: Path) -> None:
    kept.rename(kept.with_stem("KQQK"))
    assert read_values(kept.parent, parse_material("KQQK")) is None


def test_nothing_is_left_beside_a_kept_table_if_writing_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(Path, "replace", full)
    write_values(tmp_path, KNNK, np.zeros(3, np.int8))
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_no_error(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.touch()
    known = Tables(in_the_way / "folder")
    assert known.table(KNNK).values.any()
    assert not known.lasting(KNNK)


def test_two_processes_at_once_do_each_other_no_harm(tmp_path: Path) -> None:
    program = (
        "from coachbook.endgame.material import parse_material\n"
        "from coachbook.endgame.tables import shared_tables\n"
        f"for name in {NAMES}: shared_tables().table(parse_material(name))\n"
    )
    environment = os.environ | {FOLDER_VARIABLE: str(tmp_path)}
    processes = [subprocess.Popen([sys.executable, "-c", program], env=environment) for _ in range(2)]
    assert [process.wait() for process in processes] == [0, 0]
    assert sorted(file.stem for file in tmp_path.iterdir()) == sorted(NAMES)
    for name in NAMES:
        values = read_values(tmp_path, parse_material(name))
        assert values is not None
        assert np.array_equal(values, Tables(None).table(parse_material(name)).values)


def test_the_folder_is_the_users_own_unless_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert cache_folder() == tmp_path
    monkeypatch.delenv(FOLDER_VARIABLE)
    assert cache_folder() == platformdirs.user_cache_path("coachbook", appauthor=False)


def test_an_ending_is_ready_when_all_it_leads_to_is_at_hand(tmp_path: Path) -> None:
    ending, unkept = parse_material("KNPK"), Tables(None)
    assert is_ready(parse_material("KQK"), unkept)
    assert not is_ready(KNNK, unkept)
    unkept.table(KNNK)
    assert is_ready(KNNK, unkept)
    for name in ("KQNK", "KRNK", "KBNK", "KNNK", "KNPK"):
        assert not is_ready(ending, Tables(tmp_path))
        (tmp_path / f"{name}.mates").touch()
    assert is_ready(ending, Tables(tmp_path))
