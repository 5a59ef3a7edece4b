"""An evening of twelve sheets is typed in with few keys, and read without a mistake."""

from pathlib import Path

import pytest

from tests.bench.keystrokes import KEYS_A_MINUTE, an_evening
from tests.cli.drive import done


def test_twelve_sheets_take_fewer_keys_than_two_minutes_of_typing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    evening = an_evening(tmp_path)
    monkeypatch.setenv("COACHBOOK_BOOK", str(evening.book))
    log = ("log", "answers", "--date", "2026-09-10")
    told = done(*log, typed="\n".join(evening.lines) + "\n\n")
    assert told.count("6 of 6 right") == 12
    assert told.endswith("Kept: 72 answers of 12 students on 12 sheets, evening of 2026-09-10.\n")
    assert evening.keys < 2 * KEYS_A_MINUTE
    done("log", "undo")
    assert "72 answers" in done(*log, "--ticks", typed="\n".join(evening.ticks) + "\n\n")
    assert 4 * evening.tick_keys < evening.keys * 2
