"""Lets a simulated club live with coachbook and without: `python -m tests.bench.simulation`.

Thirty students in three groups, each of which has the coach for an hour a week, live through a term of
12 evenings and a year of 40 (three terms): with what `term plan` and `evening prepare` give them; with a
naive plan (units in order, no review, the sheet always on the unit of the evening); and with coachbook's own
plan, its reviews left out. In all three a student gets as many items an evening. How the students
learn and forget, and what of that is invented: see `tests/simulation/students.py`. Measures `evening
prepare`, too. Puts the figures into RESULTS.md beside this file, better or not. Takes some minutes.
"""

import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from statistics import mean

from pypdf import PdfReader

from coachbook.model.syllabus import Syllabus
from coachbook.workflows.standings import load_syllabus
from tests.bench.endgame import Row, as_markdown, put_section
from tests.simulation.club import GROUPS, Outcome, new_club
from tests.simulation.coaches import Coachbook, WithoutReview, units_in_order

TITLE = "# A simulated club"
SEEDS = range(1, 6)
LATER = timedelta(weeks=6)
COACHBOOK = Path(sys.executable).with_name("coachbook")
Terms = Sequence[Sequence[date]]


def weekly(first: date, evenings: int) -> list[date]:
    return [first + timedelta(weeks=week) for week in range(evenings)]


TERM = (weekly(date(2026, 9, 10), 12),)
YEAR = (weekly(date(2026, 9, 10), 14), weekly(date(2027, 1, 7), 13), weekly(date(2027, 4, 22), 13))
WAYS = ("coachbook", "naive plan", "its plan without reviews")
TOLD = {
    "recall_of_taught": ("true recall of what the group was taught", "{:.0%}"),
    "recall_of_met": ("true recall of what a student met", "{:.0%}"),
    "predicted": ("the same as the book predicts it", "{:.0%}"),
    "known": ("units known: true recall, added up", "{:.1f}"),
    "met": ("units met", "{:.1f}"),
    "secure": ("units secure", "{:.1f}"),
    "rule_met": ("units secure or fading", "{:.1f}"),
    "answers": ("items answered", "{:.0f}"),
    "countable": ("evenings with items enough of a unit to count for its rule", "{:.1f}"),
}
AT_THE_END_ONLY = ("met", "rule_met", "answers", "countable")
TO_COMPARE = ("recall_of_taught", "recall_of_met", "known", "secure", "rule_met")


@dataclass(frozen=True, slots=True)
class Lived:
    """What came of one club, at the end of the last term and six weeks after."""

    end: Outcome
    later: Outcome


def live_all_ways(syllabus: Syllabus, seed: int, terms: Terms, folder: Path) -> tuple[Lived, ...]:
    """The same students with each of the `WAYS`."""
    dates = [on for term in terms for on in term]
    clubs = [new_club(folder / f"{number}.book", syllabus, seed) for number in range(len(WAYS))]
    clubs[0].live(Coachbook(syllabus), terms)
    given = clubs[0].given
    items = {
        (name, on): sum(count for _, count in wanted.items)
        for (_, on), each in given.items()
        for name, wanted in each.papers.items()
    }
    plans = (units_in_order(syllabus, GROUPS, dates), {key: each.session for key, each in given.items()})
    for club, plan in zip(clubs[1:], plans, strict=True):
        club.live(WithoutReview(syllabus, plan, items, club.members), terms)
    return tuple(Lived(club.outcome(dates[-1]), club.outcome(dates[-1] + LATER)) for club in clubs)


def rows_of(lived: list[tuple[Lived, ...]]) -> Iterator[Row]:
    """Each figure at the end and later: the mean of all seeds, and in how many coachbook is ahead of
    the naive plan."""
    times: tuple[tuple[str, Callable[[Lived], Outcome]], ...] = (
        ("", lambda each: each.end),
        (", six weeks later", lambda each: each.later),
    )
    for name, (what, form) in TOLD.items():
        for when, outcome in times:
            if when and name in AT_THE_END_ONLY:
                continue
            figures = [[getattr(outcome(each), name) for each in ways] for ways in lived]
            means = (form.format(mean(way)) for way in zip(*figures, strict=True))
            ahead = sum(ours > naive for ours, naive, _ in figures)
            yield f"{what}{when}", *means, f"{ahead} of {len(figures)}" if name in TO_COMPARE else ""


def verdict(lived: list[tuple[Lived, ...]]) -> str:
    """In which of the figures to compare coachbook is ahead of the naive plan at the end, in words."""
    told = {"every club": list[str](), "some clubs only": list[str](), "no club": list[str]()}
    for name in TO_COMPARE:
        ahead = [getattr(ours.end, name) > getattr(naive.end, name) for ours, naive, _ in lived]
        told["every club" if all(ahead) else "some clubs only" if any(ahead) else "no club"].append(
            TOLD[name][0]
        )
    words = (f"{where}: {', '.join(names)}" for where, names in told.items() if names)
    ours, naive = (mean(ways[way].end.met for ways in lived) for way in (0, 1))
    return (
        f"Ahead of the naive plan at the end in {'. In '.join(words)}. A student with coachbook has met"
        f" {ours:.1f} units, with the naive plan {naive:.1f}: the minutes for review and assessments are not"
        " there for what is new, and a further term begins with what less than half of a group has secure."
    )


def preparing(folder: Path) -> Iterator[Row]:
    """`evening prepare` for thirty students, as a process of its own: a first evening, and the last one of
    a term, with its assessment."""
    book = folder / "prepare.book"
    new_club(book, load_syllabus(), 1)
    groups = [word for group in GROUPS for word in ("--group", group)]
    days = ("--from", str(TERM[0][0]), "--until", str(TERM[0][-1]), "--weekday", "thu", "--minutes", "90")
    _run(book, "term", "plan", *groups, *days)
    for what, on in (("first", TERM[0][0]), ("last", TERM[0][-1])):
        place = folder / what
        spent = _run(book, "evening", "prepare", str(on), "--to", str(place))
        sizes = {name: (place / name).stat().st_size / 2**20 for name in ("print.pdf", "coach.pdf")}
        pages = len(PdfReader(place / "print.pdf").pages)
        yield f"the {what} evening of a term", f"{spent:.1f} s", "under 30 s"
        told = f"{sizes['print.pdf']:.2f} MiB ({pages} pages)"
        yield (
            "of that, the files to print, and for the coach",
            f"{told}, {sizes['coach.pdf']:.2f} MiB",
            "under 10 MB",
        )


def _run(book: Path, *arguments: str) -> float:
    """Processor seconds of a command."""
    process = subprocess.Popen((str(COACHBOOK), *arguments, "--book", str(book)), stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{arguments} failed")
    return usage.ru_utime + usage.ru_stime


def main() -> None:
    syllabus = load_syllabus()
    text = (
        f"{TITLE}\n\nLived by `python -m tests.bench.simulation` (Python {platform.python_version()},"
        f" {platform.machine()}): {len(SEEDS)} clubs of thirty invented students, who learn and forget by the"
        " model of the package `fsrs`, each with coachbook's plan and sheets, with units in order and no"
        " review, and with coachbook's plan without its reviews; as many items an evening in all three."
        " Means over students and clubs. What is invented of the students stands in"
        " [students.py](../simulation/students.py); real ones may be otherwise, and that two items of"
        " review do as much for a memory as a whole sheet is kind to coachbook.\n"
    )
    headers = ("", *WAYS, "ahead of naive")
    for what, terms in (("A term of 12 evenings", TERM), ("A year of 40 evenings, three terms", YEAR)):
        lived = []
        for seed in SEEDS:
            with tempfile.TemporaryDirectory() as room:
                lived.append(live_all_ways(syllabus, seed, terms, Path(room)))
            sys.stderr.write(f"{what}: seed {seed} done\n")
        text += f"\n{what}:\n\n{as_markdown(headers, list(rows_of(lived)))}\n\n{verdict(lived)}\n"
    with tempfile.TemporaryDirectory() as room:
        rows = list(preparing(Path(room)))
    text += (
        "\n`evening prepare` for thirty students in three groups; processor time of the process:\n\n"
        f"{as_markdown(('', 'measured', 'aim'), rows)}\n"
    )
    put_section(TITLE, text)
    sys.stdout.write(text)


if __name__ == "__main__":
    main()
