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
from time import perf_counter

import chess
import numpy as np

from coachbook.endgame.build_large import build_large, parts_needed
from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import judge_moves, probe
from coachbook.endgame.tables import Tables, all_materials
from tests.bench.endgame import Row, as_markdown, peak_mib, put_section, seconds

TITLE = "# Speed of a table of five men"
KRPKR = parse_material("KRPKR")
MEBIBYTE = 2**20
LUCENA = "1K1k4/1P6/8/8/8/8/r7/2R5 {} - - 0 1"
"""Where the whole question is cold: no block was read before."""


def tell(*figures: float) -> None:
    """To the process that asked."""
    sys.stdout.write(" ".join(map(str, figures)))


def of_four_men() -> None:
    tables = Tables(None)
    tell(seconds(lambda: [tables.table(each) for each in all_materials()]))


def built(folder: Path) -> None:
    tell(seconds(partial(build_large, KRPKR, folder, lambda *_: None)), peak_mib())


def asked(folder: Path) -> None:
    """Milliseconds for Black to move, for White, and for all moves of White; and the memory of it all."""
    tables = Tables(folder)
    before, times = peak_mib(), []
    for turn, ask in (("b", probe), ("w", probe), ("w", judge_moves)):
        board, start = chess.Board(LUCENA.format(turn)), perf_counter()
        ask(board, tables)
        times.append(1000 * (perf_counter() - start))
    tell(*times, peak_mib() - before, peak_mib())


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
        black, white, moves, more, asking = in_a_process("ask", folder)
    rows: list[Row] = [
        ("KRPKR with all that it needs, from nothing", f"{time:.0f} s", "under 150 s"),
        ("the same, as a multiple of all endings of up to four men", f"{time / four:.0f} times", ""),
        ("all endings of up to four men in the same run", f"{four:.1f} s", ""),
        ("peak memory of the build", f"{peak:.0f} MiB", "under 2560 MiB"),
        ("on disk, all parts", f"{disk:.0f} MiB", "under 300 MiB"),
        ("a cold question, Black to move (on a clock)", f"{black:.0f} ms", "under 50 ms"),
        ("a cold question, White to move (on a clock)", f"{white:.0f} ms", "under 50 ms"),
        ("all moves of White (on a clock)", f"{moves:.0f} ms", "under 50 ms"),
        ("memory that these questions add", f"{more:.0f} MiB", "under 100 MiB"),
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
