"""The command as the shell starts it: help at once, quiet when a pipe closes, plain when piped."""

import contextlib
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.commands import leaves
from tests.cli.conftest import Club
from tests.cli.drive import done, run

MAIN = "from coachbook.cli.main import main; main()"
HEAVY = {"alembic", "chess", "fsrs", "numpy", "reportlab", "rich", "sqlalchemy", "sqlmodel"}


def start(*arguments: str) -> list[str]:
    return [sys.executable, "-X", "utf8", "-c", MAIN, *arguments]


def test_every_help_appears_without_loading_anything_heavy() -> None:
    helps = [[*words, "--help"] for words, _ in leaves()]
    code = f"""
import contextlib, io, sys
from coachbook.cli.main import main
for words in {helps!r} + [["--help"], ["--version"]]:
    with contextlib.suppress(SystemExit), contextlib.redirect_stdout(io.StringIO()) as told:
        main(words)
    assert told.getvalue(), words
print(*sorted({HEAVY!r} & set(sys.modules)))
"""
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.split() == []


def test_each_command_says_what_it_does_and_each_option_too() -> None:
    for words, command in leaves():
        assert command.help, words
        assert done(*words, "--help").startswith(f"Usage: coachbook {' '.join(words)} ")
        assert all(getattr(parameter, "help", None) for parameter in command.params), words


def test_without_a_command_there_is_help() -> None:
    for words in ((), ("sheet",)):
        ran = run(*words)
        assert ran.code == 2
        assert ran.err.startswith("Usage: coachbook ")


@pytest.mark.parametrize("words", [("--version",), ("sheet",), ("sheet", "burn")])
def test_the_module_does_the_same_as_the_command(words: tuple[str, ...]) -> None:
    module = [sys.executable, "-X", "utf8", "-m", "coachbook", *words]
    ran, told = (
        subprocess.run(command, capture_output=True, text=True, check=False)
        for command in (module, start(*words))
    )
    assert (ran.returncode, ran.stdout, ran.stderr) == (told.returncode, told.stdout, told.stderr)
    assert "__main__" not in ran.stdout + ran.stderr
    assert "coachbook" in ran.stdout + ran.stderr


def test_a_known_error_is_one_line_and_exit_code_2(tmp_path: Path) -> None:
    ran = subprocess.run(
        start("club", "show", "--book", "none.book"),
        capture_output=True,
        text=True,
        cwd=tmp_path,
        check=False,
    )
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr == "coachbook: There is no book none.book. Create one, or check where it is.\n"
    assert list(tmp_path.iterdir()) == []


def test_a_pipe_that_closes_early_shows_no_traceback(club: Club) -> None:
    command = start("student", "list", "--book", str(club.book))
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full to write to")
def test_output_on_a_full_disk_is_one_line_and_exit_code_2(club: Club) -> None:
    command = start("student", "list", "--book", str(club.book))
    with Path("/dev/full").open("w") as full:
        ran = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert ran.returncode == 2
    assert ran.stderr == (
        "coachbook: The output cannot be written: the disk is full. Make room, then try again.\n"
    )


@pytest.mark.full
@pytest.mark.skipif(sys.platform == "win32", reason="no SIGINT to send")
def test_ctrl_c_at_a_question_is_one_line_and_exit_code_2(club: Club) -> None:
    before = club.book.read_bytes()
    # A shell that starts pytest in the background lets its children ignore SIGINT.
    heeded = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    command = [sys.executable, "-c", heeded + MAIN, "log", "attendance", "--group", "Owls"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, bufsize=0) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        seen = b""
        while not seen.endswith(b"): "):
            letter = process.stdout.read(1)
            assert letter, process.stderr.read()
            seen += letter
        while process.poll() is None:  # one that comes between question and reading is not heeded
            process.send_signal(signal.SIGINT)
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(timeout=15)
        assert process.stderr.read() == b"coachbook: Stopped. Nothing was kept.\n"
    assert process.returncode == 2
    assert club.book.read_bytes() == before


@pytest.mark.parametrize("words", [("student", "list"), ("sheet", "list"), ("group", "list")])
@pytest.mark.usefixtures("club")
def test_what_is_piped_is_plain_and_aligned(words: tuple[str, ...]) -> None:
    lines = done(*words).splitlines()
    assert not re.search("[\x1b\u2500-\u257f]", "".join(lines))
    assert all(line == line.rstrip() for line in lines)
    starts = {tuple(match.start() for match in re.finditer(r"(?<=  )\S", line))[:1] for line in lines}
    assert len(starts) == 1


def test_no_color_is_heeded_on_a_terminal(club: Club) -> None:
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    environment = os.environ | {"NO_COLOR": "1", "TERM": "xterm-256color"}
    ran = subprocess.run(
        start("student", "list", "--book", str(club.book)), stdout=theirs, env=environment, check=False
    )
    os.close(theirs)
    told = os.read(ours, 1 << 16).decode()
    os.close(ours)
    assert ran.returncode == 0
    assert "Łucja" in told
    assert not re.search(r"\x1b\[[0-9;]*[34][0-9]", told)


def test_a_terminal_of_few_signs_shows_question_marks(club: Club) -> None:
    command = [sys.executable, "-c", MAIN, "student", "list", "--book", str(club.book)]
    ran = subprocess.run(
        command, capture_output=True, env=os.environ | {"PYTHONIOENCODING": "latin-1"}, check=True
    )
    assert b"?ucja" in ran.stdout


@pytest.mark.full
def test_what_is_not_text_is_told_whatever_the_language_of_the_machine(club: Club) -> None:
    before = club.book.read_bytes()
    ran = subprocess.run(
        [sys.executable, "-c", MAIN, "log", "answers", "--date", "2026-09-10", "--book", str(club.book)],
        input=b"9;\xff\n\n\n\n",
        capture_output=True,
        env=os.environ | {"LC_ALL": "C"},
        check=False,
    )
    assert ran.returncode == 2
    assert ran.stderr == b"coachbook: What was typed is not UTF-8 text. Nothing was kept.\n"
    assert club.book.read_bytes() == before
