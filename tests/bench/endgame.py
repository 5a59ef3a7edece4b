"""Measures the endgame tables: `python -m tests.bench.endgame`, on a quiet machine.

Time is processor time of one process. Prints a table and puts it into RESULTS.md beside this
file, in a section of its own. Probes are compared with `chess.gaviota` in the same run, on the
same positions.
"""

import platform
import re
import resource
import sys
from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from pathlib import Path
from time import process_time

import chess.gaviota
import numpy as np

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe, probe_many
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import Tables, all_materials, build
from tests.authority.fetch import published_data
from tests.endgame.positions import OF_THREE_MEN, arrangements, board_at

TITLE = "# Speed of the endgame tables"
ROUNDS = 3
RESULTS = Path(__file__).with_name("RESULTS.md")
Row = tuple[str, ...]


def seconds(work: Callable[[], object], rounds: int = 1) -> float:
    """The shortest of several rounds."""
    times = []
    for _ in range(rounds):
        start = process_time()
        work()
        times.append(process_time() - start)
    return min(times)


def peak_mib() -> float:
    """Peak memory of this process so far."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / 1024 / (1024 if sys.platform == "darwin" else 1)


def solving() -> tuple[list[Row], list[Row]]:
    """The time for each table, smaller ones already known; and for the whole set."""
    materials = all_materials()
    rounds, peak = [], 0.0
    for _ in range(ROUNDS):
        tables = Tables(None)
        rounds.append([seconds(partial(tables.table, material)) for material in materials])
        peak = peak or peak_mib()
    total = min(map(sum, rounds))
    best = [min(times) for times in zip(*rounds, strict=True)]
    needed = seconds(lambda: build([parse_material("KPPK")], Tables(None), lambda *_: None), ROUNDS)
    whole: list[Row] = [
        (f"all {len(materials)} endings of up to four men", f"{total:.1f} s", "under 10 s"),
        ("peak memory with all of them", f"{peak:.0f} MiB", "under 550 MiB"),
        ("KPPK with all that it needs", f"{needed:.1f} s", "under 3.5 s"),
    ]
    return [(m.name, f"{spent:.2f} s", "") for m, spent in zip(materials, best, strict=True)], whole


def probing(gaviota_folder: Path) -> Iterator[Row]:
    """Probes of positions of three men, one by one and many at once."""
    tables, arrays, boards = Tables(None), [], []
    for material, side in product(map(parse_material, OF_THREE_MEN), (WHITE, BLACK)):
        squares = arrangements(material, 4000, seed=9)
        squares = squares[probe_many(material, side, squares, tables) != IMPOSSIBLE]
        arrays.append((material, side, squares))
        boards += [board_at(material, side, row) for row in squares]
    with chess.gaviota.PythonTablebase() as tablebase:
        tablebase.add_directory(str(gaviota_folder))
        theirs = len(boards) / seconds(lambda: [tablebase.probe_dtm(board) for board in boards], rounds=7)
    ours = len(boards) / seconds(lambda: [probe(board, tables) for board in boards], rounds=7)
    many = len(boards) / seconds(lambda: [probe_many(*array, tables) for array in arrays], rounds=7)
    yield "chess.gaviota, probes a second", f"{theirs:,.0f}", ""
    yield "one by one, probes a second", f"{ours:,.0f} ({ours / theirs:.1f} times)", "over 6 times"
    yield "many at once, probes a second", f"{many:,.0f} ({many / theirs:.0f} times)", "over 200 times"


def as_markdown(headers: Row, rows: list[Row]) -> str:
    lines = (headers, ("---", *("---:" for _ in headers[1:-1]), "---"), *rows)
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def put_section(title: str, text: str) -> None:
    """Put a section into the results, in place of an older one; the others stay."""
    known = RESULTS.read_text() if RESULTS.exists() else ""
    others = [part for part in re.split(r"(?m)^(?=# )", known) if part and not part.startswith(title)]
    sections = sorted((*others, text))
    RESULTS.write_text("\n".join(part.strip() + "\n" for part in sections))


def main() -> None:
    each, whole = solving()
    whole += probing(published_data() / "gaviota")
    versions = f"Python {platform.python_version()}, NumPy {np.__version__}, {platform.machine()}"
    text = (
        f"{TITLE}\n\nMeasured by `python -m tests.bench.endgame` ({versions});"
        f" processor time on one core, the best of {ROUNDS} runs.\n\n"
        f"{as_markdown(('', 'measured', 'aim'), whole)}\n\n"
        f"Solving one table, smaller ones already known:\n\n{as_markdown(('ending', 'time', ''), each)}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()
