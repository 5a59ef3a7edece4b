"""Unfinished files are private, and what a killed program leaves is swept, wherever it lies."""

import subprocess
import sys
from pathlib import Path

import pytest

from coachbook.files.reading import FOLDER_VARIABLE
from coachbook.files.unfinished import (
    make_private_folder,
    noted,
    sweep_left_over,
    unfinished_file,
    unfinished_folder,
)

KILLED = """
import os, signal, sys
from pathlib import Path
from coachbook.files.unfinished import {what}
with {what}(Path(sys.argv[1])) as part:
    (part / "page.pdf" if part.is_dir() else part).write_text("Ana")
    os.kill(os.getpid(), signal.SIGKILL)
"""

pytestmark = pytest.mark.usefixtures("cache")


@pytest.fixture
def papers(tmp_path: Path) -> Path:
    folder = tmp_path / "papers"
    folder.mkdir()
    return folder


def killed(what: str, folder: Path) -> None:
    subprocess.run([sys.executable, "-c", KILLED.format(what=what), str(folder)], check=False)


def notes(cache: Path) -> list[Path]:
    return list((cache / "unfinished").iterdir())


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def test_only_their_owner_may_use_them_and_they_go_at_the_end(papers: Path, cache: Path) -> None:
    with unfinished_file(papers) as file, unfinished_folder(papers) as folder:
        assert (mode(file), mode(folder)) == (0o600, 0o700)
        assert mode(cache / "unfinished") == 0o700
        assert len(notes(cache)) == 2
    assert list(papers.iterdir()) == notes(cache) == []


@pytest.mark.parametrize("what", ["unfinished_file", "unfinished_folder"])
def test_what_a_killed_program_left_is_swept_wherever_it_lies(papers: Path, cache: Path, what: str) -> None:
    killed(what, papers)
    assert len(list(papers.iterdir())) == len(notes(cache)) == 1
    sweep_left_over()
    assert list(papers.iterdir()) == notes(cache) == []


@pytest.mark.parametrize("what", ["unfinished_file", "unfinished_folder"])
def test_the_next_one_in_the_same_folder_sweeps_without_a_note(papers: Path, cache: Path, what: str) -> None:
    killed(what, papers)
    for note in notes(cache):
        note.unlink()
    with unfinished_file(papers) as part:
        assert list(papers.iterdir()) == [part]


def test_what_another_program_is_at_work_on_stays(papers: Path) -> None:
    with unfinished_file(papers) as part, unfinished_folder(papers) as folder:
        sweep_left_over(papers)
        assert part.exists()
        assert folder.exists()


def test_files_of_other_names_are_never_swept(papers: Path, cache: Path) -> None:
    mine = [papers / name for name in ("sheet.pdf", ".x.1.part", ".coachbook-x-00000000.part")]
    for file in mine:
        file.touch()
    make_private_folder(cache / "unfinished")
    (cache / "unfinished" / "999999999-00000000").write_text(str(mine[0]), encoding="utf-8")
    sweep_left_over(papers)
    assert all(file.exists() for file in mine)


def test_what_lies_on_a_disk_that_is_not_there_is_swept_later(papers: Path, cache: Path) -> None:
    killed("unfinished_file", papers)
    away = papers.rename(papers.with_name("away"))
    sweep_left_over()
    assert len(notes(cache)) == 1
    away.rename(papers)
    sweep_left_over()
    assert list(papers.iterdir()) == notes(cache) == []


def test_what_sqlite_keeps_beside_a_file_goes_with_it(papers: Path, cache: Path) -> None:
    part = papers / ".copy.book.999999999.part"
    with noted(part):
        pass
    for suffix in ("", "-wal", "-shm", "-journal"):
        part.with_name(part.name + suffix).touch()
    make_private_folder(cache / "unfinished")
    (cache / "unfinished" / "999999999-00000000").write_text(str(part), encoding="utf-8")
    sweep_left_over()
    assert list(papers.iterdir()) == []


def test_where_nothing_can_be_noted_it_goes_on_without(
    papers: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "file"))
    with unfinished_file(papers) as part:
        assert part.exists()


def test_folders_are_for_their_owner_alone_and_those_that_are_there_stay_as_they_are(tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.mkdir(mode=0o755)
    there.chmod(0o755)
    made = make_private_folder(there / "new" / "below")
    assert made == [there / "new", there / "new" / "below"]
    assert [mode(folder) for folder in (there, *made)] == [0o755, 0o700, 0o700]
    assert make_private_folder(there) == []
