"""Where the table of an ending of five men is not built, what needs it says so in a line with the step that
builds it, and leaves nothing behind; all else never asks for it."""

import re
from pathlib import Path

import pytest

from tests.cli.drive import Ran, done, kept_in, run
from tests.shipped import LARGE_UNITS, without_five_men

UNIT = LARGE_UNITS[0]
FEN = UNIT.demonstration
NOT_BUILT = "coachbook: KRPKR is not solved yet. Build it once: coachbook ending build KRPKR\n"
TERM = ("--from", "2026-12-10", "--until", "2027-03-25", "--weekday", "thursday", "--minutes", "60")


@pytest.fixture(autouse=True)
def nothing_built(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever other tests have built."""
    without_five_men(monkeypatch, tmp_path_factory.mktemp("tables"))


@pytest.fixture
def syllabus(tmp_path: Path) -> Path:
    """A syllabus of one unit, about five men, which is the first that is taught."""
    folder = tmp_path / "syllabus"
    folder.mkdir()
    source = next((Path(__file__).parents[2] / "curricula").glob("level-7.toml")).read_text(encoding="utf-8")
    head, first, *_ = re.split(r"(?m)^(?=\[\[unit\]\])", source)
    alone = re.sub(r"(?m)^prerequisites = .*$", "prerequisites = []", first)
    (folder / "level-1.toml").write_text(head.replace("level = 7", "level = 1") + alone, encoding="utf-8")
    return folder


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Ana and Bo in a group."""
    path = tmp_path / "club.book"
    done("club", "new", "Hill Street", "--book", str(path))
    done("group", "add", "Foxes", "--book", str(path))
    for name in ("Ana", "Bo"):
        done("student", "add", name, "--group", "Foxes", "--book", str(path))
    return path


def asked(book: Path, syllabus: Path, *words: str) -> Ran:
    return run(*words, "--book", str(book), "--syllabus", str(syllabus))


TO = ("report", "card")
"""What puts a paper somewhere."""
NEEDS_IT = [
    ("sheet", "make", UNIT.code, "--group", "Foxes"),
    ("sheet", "make", UNIT.code, "--group", "Foxes", "--each"),
    ("sheet", "make", UNIT.code, "--group", "Foxes", "--forms"),
    ("lesson", "make", UNIT.code),
    ("log", "playout", "Ana", FEN, UNIT.code, "gave up"),
]


@pytest.mark.full
@pytest.mark.parametrize("words", NEEDS_IT, ids=" ".join)
def test_what_needs_it_says_so_and_leaves_nothing(
    words: tuple[str, ...], book: Path, syllabus: Path, tmp_path: Path
) -> None:
    before = kept_in(tmp_path)
    to = () if words[0] == "log" else ("--to", str(tmp_path / "papers"))
    ran = asked(book, syllabus, *words, *to)
    assert (ran.code, ran.out, ran.err) == (2, "", NOT_BUILT)
    assert kept_in(tmp_path) == before


@pytest.mark.full
def test_an_evening_that_needs_it_is_not_prepared(book: Path, syllabus: Path, tmp_path: Path) -> None:
    assert asked(book, syllabus, "term", "plan", *TERM, "--group", "Foxes").code == 0
    before = kept_in(tmp_path)
    ran = asked(book, syllabus, "evening", "prepare", "2026-12-10", "--to", str(tmp_path / "papers"))
    assert (ran.code, ran.out, ran.err) == (2, "", NOT_BUILT)
    assert kept_in(tmp_path) == before


@pytest.mark.parametrize(
    "words", [("exercise", "count", UNIT.code), ("ending", "show", FEN), ("ending", "plan", FEN)], ids=str
)
def test_what_looks_into_it_says_so(words: tuple[str, ...]) -> None:
    ran = run(*words)
    assert (ran.code, ran.out, ran.err) == (2, "", NOT_BUILT)


@pytest.mark.parametrize(
    "words",
    [
        ("term", "plan", *TERM, "--group", "Foxes"),
        ("group", "show", "Foxes"),
        ("student", "show", "Ana"),
        ("review",),
        ("report", "family", "Ana"),
        ("card", "make", UNIT.code),
        ("syllabus", "show", UNIT.code),
        ("syllabus", "list"),
    ],
    ids=" ".join,
)
def test_all_else_never_needs_it(words: tuple[str, ...], book: Path, syllabus: Path, tmp_path: Path) -> None:
    whose = () if words[0] == "syllabus" else ("--book", str(book))
    to = ("--to", str(tmp_path / "paper.pdf" if words[0] == "report" else tmp_path)) if words[0] in TO else ()
    ran = run(*words, *whose, "--syllabus", str(syllabus), *to)
    assert (ran.code, ran.err) == (0, "")


def test_a_syllabus_with_it_is_checked_as_far_as_the_tables_go(syllabus: Path) -> None:
    ran = run("syllabus", "check", str(syllabus))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.splitlines()[-1] == (
        "But the positions of 1 unit were not checked. KRPKR is not solved yet. Build it once: coachbook"
        " ending build KRPKR"
    )


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            r'kind = "\w+"',
            'kind = "mate_in_two"',
            "kind[1].kind: mate_in_two cannot be asked with five men, as in KRPKR",
        ),
        (r'endings = \["KRPKR"\]', 'endings = ["KRPKR", "KRPKP"]', "endings: KRPKP would take too much"),
    ],
)
def test_what_can_never_be_is_a_mistake_all_the_same(old: str, new: str, told: str, syllabus: Path) -> None:
    path = syllabus / "level-1.toml"
    text = re.sub(r"(?m)^picture = .*$", "", path.read_text(encoding="utf-8"))
    path.write_text(re.sub(old, new, text, count=1), encoding="utf-8")
    ran = run("syllabus", "check", str(syllabus))
    assert ran.code == 2
    (problem,) = ran.problems
    assert f"{UNIT.code}: {told}" in problem
