"""A desk in a process of its own, as a coach starts it."""

import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from httpx2 import Client

ROOT = Path(__file__).parents[2]
_CODE = "from coachbook.cli.main import main; main()"


@dataclass(frozen=True)
class Served:
    """A desk that runs: where it is, and the link that lets one browser in."""

    process: "subprocess.Popen[str]"
    address: str
    link: str

    @contextmanager
    def browser(self) -> Iterator[Client]:
        """A browser that has used the link."""
        with Client(base_url=self.address, headers={"origin": self.address}, timeout=30) as client:
            client.get(self.link)
            yield client


@contextmanager
def served(book: Path) -> Iterator[Served]:
    """A desk, which is killed in the end if it still runs."""
    command = [sys.executable, "-c", _CODE, "desk", "--no-open", "--book", str(book)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    assert process.stdout is not None
    try:
        link = next(word for word in _words(process) if word.startswith("http://"))
        yield Served(process, link.partition("/enter/")[0], link)
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def _words(process: "subprocess.Popen[str]") -> Iterator[str]:
    assert process.stdout is not None
    for line in process.stdout:
        yield from line.split()


def stop(desk: Served) -> str:
    """Press Ctrl-C, and return what is told then."""
    desk.process.send_signal(signal.SIGINT)
    assert desk.process.stdout is not None
    told = desk.process.stdout.read()
    desk.process.wait(timeout=30)
    return told
