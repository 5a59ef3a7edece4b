"""Runs the command on a terminal of a given width."""

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-c", "from coachbook.cli.main import main; main()", *arguments]


def on_a_terminal(*arguments: str, width: int) -> str:
    """What the command tells on a terminal of so many columns, without colours."""
    outer, inner = pty.openpty()
    fcntl.ioctl(inner, termios.TIOCSWINSZ, struct.pack("HHHH", 25, width, 0, 0))
    plain = {**os.environ, "COLUMNS": "", "NO_COLOR": "1", "TERM": "xterm"}
    with subprocess.Popen(command(*arguments), stdin=inner, stdout=inner, stderr=inner, env=plain):
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
