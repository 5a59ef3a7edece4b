"""A desk in a process of its own, as a coach starts it."""

import re
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
_ROOM = "127.0.0.2"
"""Another address of this machine, which stands for that in a room's network."""
_CODE_OF_ROOM = f"from coachbook.desk import server; server.local_address = lambda: '{_ROOM}'; {_CODE}"


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

    def boards(self, coach: Client, count: int) -> list[Client]:
        """So many browsers that come in as boards, by the code on the coach's page; to be closed in the
        end."""
        page = coach.post("/room/link", data={"role": "board"}, follow_redirects=True).text
        (link,) = re.findall(r"http://[\d.]+:\d+/enter/[\w-]+", page)
        address = link.partition("/enter/")[0]
        made = [
            Client(base_url=address, headers={"origin": address}, timeout=60, follow_redirects=True)
            for _ in range(count)
        ]
        for each in made:
            each.get(link)
        return made


@contextmanager
def served(book: Path, *, room: bool = False) -> Iterator[Served]:
    """A desk, which is killed in the end if it still runs; with `room` for tablets, too."""
    code, more = (_CODE_OF_ROOM, ["--room"]) if room else (_CODE, [])
    command = [sys.executable, "-c", code, "desk", "--no-open", "--book", str(book), *more]
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
