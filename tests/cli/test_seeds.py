"""The same seed on the same book gives the same paper, byte by byte; another seed other positions."""

from pathlib import Path

import pytest

from tests.cli.conftest import SYLLABUS
from tests.cli.drive import done, everything_in, sheet_in


def paper_of(folder: Path, seed: str, monkeypatch: pytest.MonkeyPatch) -> dict[str, bytes | None]:
    monkeypatch.setenv("COACHBOOK_BOOK", str(folder / "club.book"))
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
    done("club", "new", "Harbour Lane")
    done("student", "add", "Ana")
    done(
        "sheet", "make", "queen-box", "--student", "Ana", "--seed", seed, "--date", "2026-09-10",
        "--to", str(folder / "paper"),
    )  # fmt: skip
    return everything_in(folder / "paper")


def positions_of(folder: Path) -> list[str]:
    (sheet,) = (folder / "paper").glob("*[!y].pdf")
    code = sheet.stem.removeprefix("queen-box-")
    return [item.position.fen for item in sheet_in(folder / "club.book", code).items]


def test_the_seed_decides_the_paper(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one, same, other = (tmp_path / name for name in ("one", "same", "other"))
    assert paper_of(one, "42", monkeypatch) == paper_of(same, "42", monkeypatch)
    assert positions_of(one) == positions_of(same)
    paper_of(other, "43", monkeypatch)
    assert set(positions_of(other)) != set(positions_of(one))
