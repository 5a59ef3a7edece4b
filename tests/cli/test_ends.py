"""However a command is started, fed or stopped: it ends at once, in one line or none, with no traceback."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import run

# Tests may run in the background of a shell, where Ctrl-C is ignored from the beginning.
HEEDED = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)"
MORE_THAN_A_PIPE_HOLDS = b"# a note\n" * 100_000
START = [sys.executable, "-c", f"{HEEDED}; from coachbook.cli.start import main; main()"]
FED = {
    "own positions": ("exercise", "own", "FILE"),
    "a sheet of them": (
        *("sheet", "make", "queen-box", "--group", "Owls", "--kind", "every_mate", "--own", "FILE"),
    ),
    "answers": ("log", "answers", "--table", "FILE"),
    "attendance": ("log", "attendance", "--table", "FILE"),
    "students": ("student", "import", "FILE"),
    "a game": ("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "--pgn", "FILE"),
    "closures": (
        *("term", "plan", "--group", "Owls", "--weekday", "thu", "--minutes", "60", "--from", "2026-09-10"),
        *("--until", "2026-12-10", "--closed", "FILE"),
    ),
}


def shell(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """What a shell's line does, in which CB stands for the command."""
    command = (
        "CB() { " + f'"{sys.executable}" -c "from coachbook.cli.start import main; main()" "$@"; }}; {line}'
    )
    return subprocess.run(
        ["/bin/sh", "-c", command], cwd=folder, capture_output=True, text=True, check=False, timeout=120
    )


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("words", FED.values(), ids=FED)
def test_a_pipe_or_a_device_is_no_file_to_read(words: tuple[str, ...]) -> None:
    os.mkfifo("pipe")
    for name in ("pipe", "/dev/zero"):
        ran = run(*(name if word == "FILE" else word for word in words))
        assert (ran.code, len(ran.problems)) == (2, 1), ran
        assert f"{name}" in ran.err
        assert "it is not a file" in ran.err


@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("words", FED.values(), ids=FED)
def test_a_file_that_is_too_large_is_not_read(words: tuple[str, ...]) -> None:
    with Path("large").open("wb") as file:
        file.truncate(200_000_000)
    ran = run(*("large" if word == "FILE" else word for word in words))
    assert (ran.code, len(ran.problems)) == (2, 1), ran
    assert "MB" in ran.err


def test_input_without_end_is_not_read_to_its_end(club: Club) -> None:
    ran = shell("yes '8/8/8/8/8/8/8/8 w - - 0 1' | CB exercise own -", club.folder)
    assert ran.returncode == 2
    assert ran.stderr == (
        "coachbook: '-' cannot be read (it has more than 20 MB). Name a file with FEN, EPD or PGN, or write"
        " a FEN in quotes.\n"
    )


@pytest.mark.full
@pytest.mark.parametrize(
    ("line", "code", "told"),
    [
        ("CB exercise own - <&-", 2, "There is no position in '-'"),
        ("CB student erase Ana <&-", 2, ""),
        ("CB student list >&-", 0, ""),
        ("CB student list >&- 2>&-", 0, ""),
        ("CB nothing >&- 2>&-", 2, ""),
        ("CB --help >&-", 0, ""),
    ],
)
def test_a_closed_stream_is_no_trouble(club: Club, line: str, code: int, told: str) -> None:
    before = club.book.read_bytes()
    ran = shell(line, club.folder)
    assert ran.returncode == code
    assert "Traceback" not in ran.stderr
    assert "Exception" not in ran.stderr
    assert told in ran.stderr
    assert club.book.read_bytes() == before


@pytest.mark.full
@pytest.mark.usefixtures("club")
@pytest.mark.parametrize("words", ["student list", "syllabus list", "student list --json", "--help"])
def test_who_reads_no_further_is_told_no_more(words: str) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    ran = subprocess.run([*START, *words.split()], stdout=writing, stderr=subprocess.PIPE, check=False)
    os.close(writing)
    assert ran.stderr == b""
    assert ran.returncode in (0, 1)


def test_in_a_folder_that_is_gone_it_is_told(club: Club) -> None:
    for words in ("student list", "sheet make queen-box --group Owls"):
        ran = shell(f"mkdir gone; cd gone; rmdir ../gone; CB {words}", club.folder)
        assert ran.returncode == 2
        told = (
            "coachbook: The folder that you are in is no longer there. Go to another one, then try again.\n"
        )
        assert ran.stderr.endswith(told)
        assert "Traceback" not in ran.stderr


def test_who_is_stopped_before_it_has_begun_tells_nothing(club: Club) -> None:
    """The first import takes until it is stopped."""
    folder = club.folder / "path" / "typer"
    folder.mkdir(parents=True)
    (folder / "__init__.py").write_text(
        "import time\nprint('x', flush=True)\ntime.sleep(60)\n", encoding="utf-8"
    )
    environment = {**os.environ, "PYTHONPATH": str(folder.parent)}
    with subprocess.Popen(START, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment) as begun:
        assert begun.stdout is not None
        assert begun.stdout.readline() == b"x\n"
        begun.send_signal(signal.SIGINT)
        _, told = begun.communicate(timeout=60)
    assert (begun.returncode, told) == (-signal.SIGINT, b"")


def test_who_is_stopped_at_work_tells_nothing_either() -> None:
    words = ("exercise", "own", "-")
    pipe = subprocess.PIPE
    with subprocess.Popen([*START, *words], stdin=pipe, stdout=pipe, stderr=pipe) as waiting:
        assert waiting.stdin is not None
        waiting.stdin.write(MORE_THAN_A_PIPE_HOLDS)  # goes on when it reads, and is at work
        waiting.send_signal(signal.SIGINT)
        _, told = waiting.communicate(timeout=60)
    assert waiting.returncode in (130, -signal.SIGINT)
    assert b"Traceback" not in told
