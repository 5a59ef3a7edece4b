"""Measures the desk: `python -m tests.bench.desk_speed`, on a quiet machine, with a big old book.

How long from the command to the first page, each page's time, what a first visit loads, the memory, and ten
devices that touch twice a second each for two minutes: how long until each touch is acknowledged as kept, and
whether any was lost or counted twice. Prints tables and puts them into RESULTS.md, in a section of its own.
"""

import os
import platform
import re
import statistics
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

from httpx2 import Client

from coachbook.club.book import Book, open_book
from coachbook.club.touches import is_kept
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.standings import load_syllabus
from tests.bench.club import fill
from tests.bench.endgame import Row, as_markdown, put_section
from tests.desk.serving import Served, served

TITLE = "# Speed of the desk"
GROUPS, EVENINGS = 50, 84
DEVICES, A_SECOND, SECONDS = 10, 2, 120
ROUNDS = 40
GROUP = "Group 01"
PATHS = {
    "tonight": "/",
    "an item": "/evening/{on}/1/item/1/1",
    "a play-out": "/evening/{on}/1/play-out/1/PLAY-QUEEN-BOX-1",
    "the groups": "/groups",
    "a group": "/groups/1",
    "a student": "/student/1",
    "the term": "/term",
    "who reviews what": "/term/reviews",
    "closing an evening": "/evening/{on}/1/close",
    "the syllabus": "/syllabus",
    "a unit": "/syllabus/queen-box",
    "the log": "/log",
    "an ending": "/board?fen=8/8/8/8/4k3/8/8/K1Q5_w_-_-_0_1",
}
_LOADED = re.compile(r'(?:href|src)="(/static/[^"#]+)')


@dataclass
class Device:
    """A browser that touches the answers of one student, and what it waited for."""

    client: Client
    path: str
    sheet: str
    sent: list[str] = field(default_factory=list)
    waited: list[float] = field(default_factory=list)

    def touch_until(self, end: float) -> None:
        """A touch every half second; each is sent anew until it is acknowledged."""
        while (begun := time.perf_counter()) < end:
            self.sent.append(str(uuid4()))
            mark = ("right", "wrong")[len(self.sent) % 2]
            form = {"touch": self.sent[-1], "sheet": self.sheet, "item": "1", "mark": mark}
            answer = self.client.post(self.path, data=form, headers={"x-part": "yes"})
            answer.raise_for_status()
            self.waited.append(time.perf_counter() - begun)
            time.sleep(max(0.0, 1 / A_SECOND - self.waited[-1]))


def big_book(folder: Path) -> Book:
    """A thousand students with half a million answers, and tonight's papers of one group."""
    path, today = folder / "club.book", date.today()
    fill(path, GROUPS, EVENINGS)
    book, syllabus = open_book(path), load_syllabus()
    wish = TermWish(today, today + timedelta(weeks=10), weekdays=(today.weekday(),), minutes=60)
    plan_terms(book, syllabus, (GROUP,), wish)
    prepare_evening(
        book, syllabus, today, (), folder / "papers", today, PaperOptions(), in_words=lambda _: ""
    )
    return book


def percentile(times: list[float], share: float) -> float:
    """In milliseconds: how long at most this share of all waited."""
    return 1000 * sorted(times)[min(len(times) - 1, int(share * len(times)))]


def processor(desk: Served) -> float:
    """The seconds of processor time that the desk has used (Linux)."""
    fields = Path(f"/proc/{desk.process.pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def pages(desk: Served, client: Client) -> Iterator[Row]:
    """Each page's median and 95th percentile, and the processor time that it takes."""
    for name, path in PATHS.items():
        times, before = [], processor(desk)
        for _ in range(ROUNDS):
            begun = time.perf_counter()
            client.get(path.format(on=date.today()).replace("_", "%20")).raise_for_status()
            times.append(time.perf_counter() - begun)
        used = (processor(desk) - before) / ROUNDS
        yield (
            name,
            f"{1000 * statistics.median(times):.0f} ms",
            f"{percentile(times, 0.95):.0f} ms",
            f"{1000 * used:.0f} ms",
        )


def first_visit(client: Client) -> int:
    """Bytes that the first page and all that it loads come to, as they are sent."""
    page = client.get("/")
    parts = {*_LOADED.findall(page.text), "/static/fonts/text.ttf", "/static/fonts/bold.ttf"}
    answers = [page, *(client.get(part) for part in parts)]
    return sum(each.num_bytes_downloaded for each in answers)


def memory(desk: Served) -> int:
    """The most that the process has used, in MiB (Linux)."""
    status = Path(f"/proc/{desk.process.pid}/status").read_text(encoding="utf-8")
    return int(re.findall(r"VmHWM:\s+(\d+) kB", status)[0]) // 1024


def load(desk: Served, client: Client, book: Book) -> Iterator[Row]:
    """Ten devices at once."""
    html = client.get("/").text
    rows = re.findall(r'action="(/evening/[^"]+/mark/\d+)".*?name="sheet" value="([^"]+)"', html, re.DOTALL)
    students = dict(rows)
    chosen = list(students.items())[:DEVICES]
    _first_of_the_day(client, *chosen[0])
    before = len(list_log(book, 100_000))
    devices = [
        Device(Client(base_url=desk.address, headers=client.headers, timeout=60), *each) for each in chosen
    ]
    for device in devices:
        device.client.cookies = client.cookies
    end, used = time.perf_counter() + SECONDS, processor(desk)
    threads = [threading.Thread(target=device.touch_until, args=(end,)) for device in devices]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    used = processor(desk) - used
    waited = [each for device in devices for each in device.waited]
    sent = [each for device in devices for each in device.sent]
    with book.reading() as tx:
        lost = sum(not is_kept(tx, touch) for touch in sent)
    doubled = len(list_log(book, 100_000)) - before - (len(sent) - lost)
    yield "touches", f"{len(sent)}", f"{lost} lost, {doubled} counted twice"
    yield (
        "until acknowledged",
        f"{1000 * statistics.median(waited):.0f} ms",
        f"{percentile(waited, 0.99):.0f} ms",
    )
    yield "processor time of a touch", f"{1000 * used / len(sent):.0f} ms", ""
    for device in devices:
        device.client.close()


def _first_of_the_day(client: Client, path: str, sheet: str) -> None:
    """The day's backup is made before the first thing that is logged, which takes seconds for a big book."""
    form = {"touch": str(uuid4()), "sheet": sheet, "item": "1", "mark": "blank"}
    client.post(path, data=form, headers={"x-part": "yes"}).raise_for_status()


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = big_book(Path(folder))
        begun = time.perf_counter()
        with served(book.path) as desk, desk.browser() as client:
            client.get("/").raise_for_status()
            start = time.perf_counter() - begun
            loaded = first_visit(client)
            timed = list(pages(desk, client))
            touched = list(load(desk, client, book))
            used = memory(desk)
    told = [
        f"{TITLE}\n",
        f"Python {platform.python_version()}, {platform.machine()};"
        " a thousand students, half a million answers.\n",
        as_markdown(("page", "median", "95 of 100", "processor time"), timed),
        f"\nFrom the command to the first page {start:.2f} s; a first visit loads {loaded // 1024} KB;"
        f" at most {used} MiB of memory.\n",
        f"\n{DEVICES} devices, {A_SECOND} touches a second each, {SECONDS} s:\n",
        as_markdown(("", "median or count", "99 of 100"), touched),
    ]
    print("\n".join(told))  # noqa: T201 - a table to read
    put_section(TITLE, "\n".join(told))


if __name__ == "__main__":
    main()
