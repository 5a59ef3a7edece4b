"""Runs commands on a terminal of a given width."""

import fcntl
import json
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from collections.abc import Sequence

MARK = "\N{END OF PROOF} the next command \N{END OF PROOF}"
ALL = f"""
import contextlib, json, sys
from coachbook.cli.main import main
for words in json.loads(sys.argv[1]):
    with contextlib.suppress(SystemExit):
        main(words)
    sys.stdout.flush()
    sys.stderr.flush()
    print({MARK!r}, flush=True)
"""


def all_on_a_terminal(commands: Sequence[Sequence[str]], width: int) -> list[str]:
    """What each of them tells on a terminal of so many columns, without colours. One program runs them all:
    to start takes it longer than to tell."""
    program = [sys.executable, "-X", "utf8", "-c", ALL, json.dumps(commands)]
    told = _told(program, width).split(MARK + "\n")
    assert len(told) == len(commands) + 1
    assert told.pop() == ""
    return told


def _told(program: list[str], width: int) -> str:
    outer, inner = pty.openpty()
    fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", 25, width, 0, 0))
    plain = {**os.environ, "COLUMNS": "", "NO_COLOR": "1", "TERM": "xterm"}
    with subprocess.Popen(program, stdin=inner, stdout=inner, stderr=inner, env=plain):
        os.close(inner)
        told = b"".join(iter(lambda: _read(outer), b""))
    os.close(outer)
    return re.sub(r"\x1b\[[\d;]*m", "", told.decode()).replace("\r\n", "\n")


def _read(terminal: int) -> bytes:
    """What comes next; nothing once the other end is closed."""
    try:
        return os.read(terminal, 4096)
    except OSError:
        return b""
