"""A cache folder of its own for a test of files, so that what is noted there is the test's alone."""

from pathlib import Path

import pytest

from coachbook.files.reading import FOLDER_VARIABLE


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "cache"
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder))
    return folder
