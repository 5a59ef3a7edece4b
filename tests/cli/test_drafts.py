"""What is typed is not lost: not by a kill, a closed window, a full disk or a book that is in use."""

import builtins
import errno
import json
import os
import pty
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
import typer

from coachbook.club import connection
from coachbook.club.draft import DraftLine, Typed, draft_file, read_draft, write_draft
from coachbook.workflows import evening_log as evening
from coachbook.workflows import playing
from tests.cli.conftest import TODAY, AfterOnce, Club
from tests.cli.drive import done, kept_in, run

DAY, SECOND = "2026-09-10", "2026-09-24"
OWLS = ("--group", "Owls")
PLAN = ("--from", DAY, "--until", "2026-12-10", "--weekday", "thursday", "--minutes", "60")
SIX = "1 2 Qa1 Qb2 Qc3 Qd4"
FIVE = ("Ana", "Bo", "Eve", "Fay", "Łucja")
# A shell that starts pytest with nohup lets its children ignore a hang-up.
HEEDED = (
    "import signal; [signal.signal(each, signal.SIG_DFL) for each in {signal.SIGTERM, signal.Signals(1)}]"
)
CODE = f"{HEEDED if sys.platform != 'win32' else ''}\nfrom coachbook.cli.main import main; main()"
ASKED = "Go on with them? [Y/n] "
ASKED_OF_ONE = "Go on with it? [Y/n] "


def _give_five(club: Club) -> Club:
    for name in ("Eve", "Fay"):
        done("student", "add", name, *OWLS)
    made = ("sheet", "make", "queen-box", *OWLS, "--date", DAY, "--seed", "1", "--to", "five")
    return Club(club.folder, club.book, done(*made).splitlines()[1].split()[0])


@pytest.fixture
def five(after_once: AfterOnce) -> Club:
    """Five Owls with a sheet."""
    return after_once(_give_five)


def log_of(club: Club) -> tuple[str, ...]:
    return ("log", "answers", club.sheet, "--date", DAY)


def started(*words: str, stdin: int) -> subprocess.Popen[str]:
    """A program of its own, at the same book."""
    there = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    command, pipe = [sys.executable, "-c", CODE, *words], subprocess.PIPE
    return subprocess.Popen(command, stdin=stdin, stdout=pipe, stderr=pipe, text=True, env=there)


def wait_for(club: Club, lines: int) -> None:
    until = time.monotonic() + 60
    while len(read_draft(club.book)) < lines:
        assert time.monotonic() < until
        time.sleep(0.05)


@pytest.mark.full
@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals")
@pytest.mark.parametrize("how", ["SIGKILL", "SIGHUP", "SIGTERM"])
def test_after_a_kill_the_lines_that_were_typed_are_offered_again(five: Club, how: str) -> None:
    before = kept_in(five.folder)
    reading, writing = os.pipe()
    with started(*log_of(five), stdin=reading) as program:
        os.write(writing, f"{SIX}\n".encode() * 4 + b"1: 7; 2: 8\n")
        wait_for(five, 5)
        program.send_signal(getattr(signal, how))
        try:
            assert program.wait(60) != 0
        finally:
            program.kill()
    os.close(reading)
    os.close(writing)
    assert kept_in(five.folder) == before
    told = done(*log_of(five), typed="\n\n")
    assert told.startswith(f"5 lines for {DAY} were typed but not kept. {ASKED}")
    assert "  Ana: 0 of 6 right" in told
    assert told.endswith(f"Kept: 26 answers of 5 students on sheet {five.sheet}, evening of {DAY}.\n")
    assert not draft_file(five.book).exists()


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such terminals")
def test_a_closed_terminal_leaves_the_lines_aside_and_says_so(five: Club) -> None:
    window, terminal = pty.openpty()
    with started(*log_of(five), stdin=terminal) as program:
        os.close(terminal)
        os.write(window, f"{SIX}\n".encode() * 2)
        wait_for(five, 2)
        os.close(window)
        _, told = program.communicate(timeout=60)
    assert told.endswith(
        "Not kept yet, but safe: 12 answers of 2 students. The same command goes on from there.\n"
    )
    assert (program.returncode, told.count("\n")) == (2, 1)
    assert len(read_draft(five.book)) == 2


def test_who_goes_on_is_asked_first_for_what_is_missing_and_may_mend_the_rest(five: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n{SIX}\n")
    told = done(*log_of(five), typed="y\n2: 7\n<\n1: 8\n\n\nn\nana\n2: 9\n\n")
    assert told.split(ASKED)[1].split("Eve: ")[0].count("Ana: 0 of 6 right") == 1
    assert "Item 2: was 2, now 9." in told
    assert told.endswith(f"Kept: 14 answers of 3 students on sheet {five.sheet}, evening of {DAY}.\n")


def test_a_draft_that_is_not_wanted_is_deleted(five: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n")
    assert f"1 line for {DAY} was typed but not kept." in run(*log_of(five), typed="n\n").out
    assert not draft_file(five.book).exists()
    assert "Go on with" not in run(*log_of(five), typed="").out


@pytest.mark.parametrize("typed", ["n\ndrop\n", "y\n"])
def test_nothing_lies_aside_when_all_is_kept_or_thrown_away(five: Club, typed: str) -> None:
    done(*log_of(five), typed=f"{SIX}\n\n\n\n\n{typed}")
    assert not draft_file(five.book).exists()
    run(*log_of(five), typed=f"{SIX}\n<\nskip\n")
    assert not draft_file(five.book).exists()


def test_lines_of_other_sheets_stay_aside_and_are_told(five: Club, club: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n")
    other = ("log", "answers", club.sheet, "--date", DAY)
    told = done(*other, typed=f"{SIX}\n\n\n\n")
    assert told.startswith(
        f"1 line for {DAY} typed but not kept; to go on: coachbook log answers {five.sheet}\n"
    )
    assert [line.about for line in read_draft(five.book)] == [five.sheet]


def test_what_was_kept_before_a_kill_could_clear_the_draft_is_not_offered(five: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n")
    lines = read_draft(five.book)
    done(*log_of(five), typed="\n\n\n\n\n\n")
    write_draft(five.book, lines)
    assert "Go on with" not in run(*log_of(five), typed="").out
    assert not draft_file(five.book).exists()


Typing = Callable[..., None]


@pytest.fixture
def typing(monkeypatch: pytest.MonkeyPatch) -> Typing:
    """Lines that are typed one by one; what can be called is called when its turn comes."""

    def typed(*lines: str | Callable[[], str]) -> None:
        left = iter(lines)

        def answer(prompt: str) -> str:
            typer.echo(prompt)
            line = next(left)
            return line if isinstance(line, str) else line()

        monkeypatch.setattr(builtins, "input", answer)

    return typed


def test_a_book_in_use_is_told_before_anything_is_typed(five: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection, "WAIT_SECONDS", 0.05)
    with closing(sqlite3.connect(five.book, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        for words in (log_of(five), ("log", "attendance", *OWLS, "--date", DAY)):
            ran = run(*words, typed=f"{SIX}\n" * 9)
            assert "is in use by another program." in ran.err
            assert "Ana" not in ran.out


def test_a_book_that_is_in_use_when_all_is_typed_costs_nothing(
    five: Club, monkeypatch: pytest.MonkeyPatch, typing: Typing
) -> None:
    monkeypatch.setattr(connection, "WAIT_SECONDS", 0.05)
    with closing(sqlite3.connect(five.book, isolation_level=None)) as other:
        typing(*[SIX] * 5, lambda: str(other.execute("BEGIN IMMEDIATE") and "y"))
        ran = run(*log_of(five))
    assert ran.code == 2
    assert "is in use by another program. Close it there, then try again." in ran.err
    assert ran.err.endswith(
        "What you typed is safe, but not kept yet. The same command goes on from there.\n"
    )
    typing("", "")
    assert "Kept: 30 answers of 5 students" in done(*log_of(five))


def full(*_: object, **__: object) -> None:
    error = sqlite3.OperationalError("database or disk is full")
    error.sqlite_errorcode = sqlite3.SQLITE_FULL
    raise error


def test_a_full_disk_when_all_is_typed_costs_nothing(five: Club, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(evening, "log_answers", full)
        ran = run(*log_of(five), typed=f"{SIX}\n" * 5 + "\n")
    assert "the disk is full. Make room, then try again. What you typed is safe, but not kept yet." in ran.err
    assert len(read_draft(five.book)) == 5
    assert "Kept: 30 answers of 5 students" in done(*log_of(five), typed="\n\n")


def test_a_line_that_cannot_be_put_aside_is_told_at_once_and_may_be_kept(
    five: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", no_room)
    ran = run(*log_of(five), typed=f"{SIX}\n")
    assert "  This line could not be put aside, so keep it soon: " in ran.out
    assert ran.err == "coachbook: Stopped. Not kept: 6 answers of Ana.\n"
    assert "Kept: 6 answers of Ana" in done(*log_of(five), typed=f"{SIX}\n\n\n\n\n\n")


def test_ctrl_d_at_a_terminal_asks_whether_to_keep(
    five: Club, at_a_terminal: Callable[[], None], typing: Typing
) -> None:
    def ctrl_d() -> str:
        raise EOFError

    at_a_terminal()
    typing(SIX, ctrl_d, "y")
    ran = run(*log_of(five))
    assert "Stopped at Bo. 6 answers of Ana are typed." in ran.out
    assert "Kept: 6 answers of Ana" in ran.out
    assert (ran.code, ran.err) == (2, "coachbook: Stopped. To type the rest, log answers again.\n")
    typing("", SIX, ctrl_d, ctrl_d)
    assert "Not kept yet, but safe: 6 answers of Bo." in run(*log_of(five)).err
    assert [line.student for line in read_draft(five.book)] == ["Bo"]


def _prepare(club: Club) -> Club:
    done("term", "plan", *OWLS, *PLAN)
    done("evening", "prepare", SECOND, *OWLS)
    return club


@pytest.fixture
def planned(after_once: AfterOnce) -> Club:
    return after_once(_prepare)


CLOSE = ("evening", "close", SECOND, *OWLS)


def test_an_evening_that_was_stopped_goes_on_with_every_line(planned: Club) -> None:
    run(*CLOSE, typed="bo\n")
    told = run(*CLOSE, "--ticks", typed="\n\n=\n=\n")
    assert f"1 line for {SECOND} was typed but not kept. {ASKED_OF_ONE}" in told.out
    assert "There: 2 of 3. Absent: Bo.\n" in told.out
    told = run(*CLOSE, "--ticks", typed="\n\n\n")
    assert told.out.startswith(f"2 lines for {SECOND} were typed but not kept. {ASKED}")
    assert f"Kept: 40 answers of 2 students on 2 sheets, evening of {SECOND}." in told.out
    assert not draft_file(planned.book).exists()


def test_a_play_out_and_a_note_that_could_not_be_kept_are_taken_up_again(
    planned: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    done("log", "attendance", "Ana", "Bo", "Łucja", *OWLS, "--date", SECOND)
    lines = "1 mated in 9\nBo queen-box-1 no such end\n\nlucja, queen-box+:  sees   it\n\n\n"
    with monkeypatch.context() as patch:
        patch.setattr(playing, "log_play_out", full)
        patch.setattr(playing, "log_observation", full)
        told = done(*CLOSE, typed=f"\n\n\n\n{lines}")
    assert (
        told.count("the disk is full. Make room, then try again. This line is safe, but not kept yet.") == 2
    )
    assert [(line.what, line.text) for line in read_draft(planned.book)] == [
        (Typed.PLAY_OUT, "Ana PLAY-QUEEN-BOX-1 mated in 9"),
        (Typed.NOTE, "Łucja, queen-box+: sees it"),
    ]
    told = done(*CLOSE, typed="\n" * 11)
    assert "  Kept: Ana: mate in 9 moves" in told
    assert "  Kept: a note on Łucja in queen-box" in told
    assert not draft_file(planned.book).exists()
    logged = json.loads(done("log", "list", "--json"))
    assert len([each for each in logged if "term" not in each["what"]]) == 3


def test_check_tells_of_a_draft_and_which_command_goes_on(five: Club) -> None:
    assert "typed" not in done("check", "--date", str(TODAY))
    run(*log_of(five), typed=f"{SIX}\n")
    told = done("check", "--date", str(TODAY))
    assert f"1 line for {DAY} typed but not kept; to go on: coachbook log answers {five.sheet}\n" in told
    assert "All is well" in told


def test_nobody_is_renamed_while_something_is_typed_and_not_kept(five: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n")
    ran = run("student", "rename", "Ana", "Anna")
    assert ran.code == 2
    assert ran.err.startswith("coachbook: Lines that were typed but not kept yet still have the old name.")
    assert read_draft(five.book)


def test_erasing_a_student_takes_the_draft_with_a_word(five: Club) -> None:
    run(*log_of(five), typed=f"{SIX}\n")
    part = five.folder / ".club.book.typed.4711.part"
    part.write_text("Ana", encoding="utf-8")
    assert "Also deleted: what was typed for an evening but not kept.\n" in done(
        "student", "erase", "Ana", "--yes"
    )
    assert not draft_file(five.book).exists()
    assert not part.exists()
    assert "Deleted, too" not in done("student", "rename", "Bo", "Beau")


def test_a_restored_book_leaves_the_draft(five: Club) -> None:
    done("backup", "--to", "copy.book")
    run(*log_of(five), typed=f"{SIX}\n")
    lines = read_draft(five.book)
    done("restore", "copy.book")
    assert (
        read_draft(five.book)
        == lines
        == (DraftLine(Typed.ANSWERS, lines[0].on, five.sheet, "Ana", lines[0].written),)
    )


def test_who_stops_at_the_question_about_an_absent_student_keeps_the_line_aside(planned: Club) -> None:
    done(*CLOSE, "--ticks", typed="\n\n=\n\n\n\n\n\n\n\n")
    ran = run("log", "attendance", *OWLS, "--date", SECOND, typed="ana\n")
    assert "Ana has 20 answers from this evening." in ran.out
    assert ran.err.startswith("coachbook: Stopped. Not kept yet, but safe: who was absent.")
    assert [line.text for line in read_draft(planned.book)] == ["Ana"]


def test_how_a_play_out_went_is_asked_for_once_though_it_could_not_be_kept(
    planned: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("log", "playout", "Ana", "queen-box-1", "--date", SECOND)
    with monkeypatch.context() as patch:
        patch.setattr(playing, "log_play_out", full)
        ran = run(*words, typed="mated in 9\n")
    assert ran.err.endswith(
        "What you typed is safe, but not kept yet. The same command goes on from there.\n"
    )
    assert len(read_draft(planned.book)) == 1
    told = done(*words, typed="\n")
    assert told.startswith(
        f"1 line for {SECOND} was typed but not kept. {ASKED_OF_ONE}Kept: a play-out of Ana"
    )
    assert not draft_file(planned.book).exists()
