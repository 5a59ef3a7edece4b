"""Measures the table of king, rook and pawn against king and rook: `nice python -m tests.bench.five_men`.

Builds it from nothing, in a folder that is gone afterwards, and then asks about positions, each part in a
process of its own. Time is processor time; the ratio to all endings of up to four men, solved in the same
run, says how much it is on any machine. Puts a table into RESULTS.md beside this file.
"""

import os
import platform
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

import chess
import numpy as np

from coachbook.endgame.build_large import build_large, parts_needed
from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe
from coachbook.endgame.tables import Tables, all_materials
from tests.bench.endgame import Row, as_markdown, peak_mib, put_section, seconds
from tests.endgame.positions import positions

TITLE = "# Speed of a table of five men"
KRPKR = parse_material("KRPKR")
MEBIBYTE = 2**20
QUESTIONS = 100


def tell(*figures: float) -> None:
    """To the process that asked."""
    sys.stdout.write(" ".join(map(str, figures)))


def of_four_men() -> None:
    tables = Tables(None)
    tell(seconds(lambda: [tables.table(each) for each in all_materials()]))


def built(folder: Path) -> None:
    tell(seconds(partial(build_large, KRPKR, folder, lambda *_: None)), peak_mib())


def asked(folder: Path) -> None:
    """Milliseconds, the median and the most, for a position by chance whose tables were not opened before;
    and the memory of one question, and of the whole process."""
    boards = list(positions(KRPKR, QUESTIONS, seed=31))
    before = peak_mib()
    times = [cold(board, folder) for board in boards[:1]]
    after = peak_mib()
    times += [cold(board, folder) for board in boards[1:]]
    tell(median(times), max(times), after - before, after)


def cold(board: chess.Board, folder: Path) -> float:
    tables, start = Tables(folder), perf_counter()
    probe(board, tables)
    return 1000 * (perf_counter() - start)


def in_a_process(what: str, folder: Path) -> list[float]:
    command = (sys.executable, "-m", "tests.bench.five_men", what, str(folder))
    found = subprocess.run(command, check=True, capture_output=True, text=True, env=dict(os.environ))
    return [float(each) for each in found.stdout.split()]


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (four,) = in_a_process("four", folder)
        time, peak = in_a_process("build", folder)
        disk = sum(part.path(folder).stat().st_size for part in parts_needed(KRPKR)) / MEBIBYTE
        usual, most, more, asking = in_a_process("ask", folder)
    rows: list[Row] = [
        ("KRPKR with all that it needs, from nothing", f"{time:.0f} s", "under 150 s"),
        ("the same, as a multiple of all endings of up to four men", f"{time / four:.0f} times", ""),
        ("all endings of up to four men in the same run", f"{four:.1f} s", ""),
        ("peak memory of the build", f"{peak:.0f} MiB", "under 2560 MiB"),
        ("on disk, all parts", f"{disk:.0f} MiB", "under 300 MiB"),
        (f"a cold question, the median of {QUESTIONS} (on a clock)", f"{usual:.0f} ms", ""),
        ("the longest of them", f"{most:.0f} ms", "under 50 ms"),
        ("memory that a question adds", f"{more:.0f} MiB", "under 100 MiB"),
        ("memory of the whole process", f"{asking:.0f} MiB", ""),
    ]
    versions = f"Python {platform.python_version()}, NumPy {np.__version__}, {platform.machine()}"
    text = (
        f"{TITLE}\n\nMeasured by `python -m tests.bench.five_men` ({versions}); processor time on one"
        " core.\n\n"
        f"{as_markdown(('', 'measured', 'aim'), rows)}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    if len(sys.argv) == 1:
        main()
    elif sys.argv[1] == "four":
        of_four_men()
    else:
        {"build": built, "ask": asked}[sys.argv[1]](Path(sys.argv[2]))
