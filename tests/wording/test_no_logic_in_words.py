"""With every sentence turned into nonsense coachbook plans, prints, marks, verifies and checks as before."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest


def lived(folder: Path, how: str) -> dict[str, Any]:
    folder.mkdir()
    command = [sys.executable, "-m", "tests.wording.nonsense", str(folder), how]
    # Sets of moves are kept in the order in which they are walked through, which is to be the same twice.
    here = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONHASHSEED": "0"}
    ran = subprocess.run(command, check=False, capture_output=True, text=True, env=here)
    assert ran.returncode == 0, ran.stderr
    found: dict[str, Any] = json.loads(ran.stdout.splitlines()[-1])
    return found


@pytest.mark.full
def test_nothing_is_decided_by_a_sentence(tmp_path: Path) -> None:
    sense, nonsense = lived(tmp_path / "sense", "sense"), lived(tmp_path / "nonsense", "nonsense")
    assert (sense["turned"], nonsense["turned"] > 20) == (0, True)
    assert nonsense["papers"] == sense["papers"]
    assert len(sense["papers"]) > 10
    assert nonsense["facts"] == sense["facts"]
    assert sense["facts"]["answer"]
