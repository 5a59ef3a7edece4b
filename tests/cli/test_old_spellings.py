"""What was spelled otherwise in 0.1.0 still works, and says in one line how it is spelled now."""

import shlex
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.core import TyperGroup
from typer.main import get_command

from coachbook.cli.main import app
from coachbook.cli.old_spellings import OLD, Option, in_todays_words
from tests.cli.conftest import Club
from tests.cli.drive import done, run

FEN = "'8/8/8/8/4k3/8/8/K1Q5 w - - 0 1'"
TERM = "--from 2026-09-10 {} 2026-12-10 --weekday thu --minutes 60 --group Owls"
RESPELLED = {
    "demo my-demo": "demo --to my-demo",
    "group show Owls --pdf owls.pdf": "group show Owls --to owls.pdf",
    f"term plan {TERM.format('--to')} --pdf wall.pdf": f"term plan {TERM.format('--until')} --to wall.pdf",
    "term show --group Owls --pdf w.pdf": "term show --group Owls --to w.pdf",
    "term export --group Owls --ics a.ics --csv a.csv --pdf=a.pdf": (
        "term export --group Owls --to a.ics --to a.csv --to a.pdf"
    ),
    "term replan --group Owls --from 2026-09-17 --cancel 2026-09-24": (
        "term replan --group Owls --from 2026-09-17 --skip 2026-09-24"
    ),
    "lesson make --unit queen-box": "lesson make queen-box",
    "sheet make --group Owls --unit=queen-box --seed 1": "sheet make queen-box --group Owls --seed 1",
    "card make --group Owls --unit queen-box": "card make queen-box --group Owls",
    "log answers --csv answers.csv --preview": "log answers --table answers.csv --preview",
    "log attendance --csv there.csv": "log attendance --table there.csv",
    "log export all.csv --from 2026-09-01 --to 2026-12-10": (
        "log export --to all.csv --from 2026-09-01 --until 2026-12-10"
    ),
    f"log playout Ana {FEN} 1. Qc4 Ke3 --unit queen-box --pdf p.pdf --yes": (
        f"log playout Ana {FEN} queen-box 1. Qc4 Ke3 --to p.pdf --yes"
    ),
    "log playout Ana queen-box-1 stalemate --unit queen-box": "log playout Ana queen-box-1 stalemate",
    "log note Ana helps --unit queen-box --can --yes": "log note Ana queen-box helps --can --yes",
    "log note --unit queen-box --yes -- Ana helps": "log note --yes -- Ana queen-box helps",
    "report family Ana --pdf a.pdf": "report family Ana --to a.pdf",
    "report certificate Ana --level 1 --pdf c.pdf": "report certificate Ana --level 1 --to c.pdf",
    "report term --from 2026-09-01 --to 2026-12-01 --pdf t.pdf": (
        "report term --from 2026-09-01 --until 2026-12-01 --to t.pdf"
    ),
}
ELSEWHERE = ("demo", "report certificate")
"""The one takes long, and for the other there is nothing to certify."""


@pytest.fixture
def planned(club: Club) -> Club:
    done("term", "plan", *shlex.split(TERM.format("--until")))
    Path("answers.csv").write_text("student,item,answer\nAna,1,9\n", encoding="utf-8")
    Path("there.csv").write_text("date,student,present\n2026-09-10,Ana,yes\n", encoding="utf-8")
    return club


def respelled(words: list[str]) -> list[str]:
    group = get_command(app)
    assert isinstance(group, TyperGroup)
    return list(in_todays_words(words, group) or ())


@pytest.mark.parametrize("old", RESPELLED)
def test_an_old_spelling_is_rewritten_and_told(old: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert shlex.join(respelled(shlex.split(old))) == shlex.join(shlex.split(RESPELLED[old]))
    told = capsys.readouterr().err
    assert told.endswith(f": coachbook {RESPELLED[old]}\n")
    assert (told.count("\n"), " is now " in told) == (1, True)


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize("old", [old for old in RESPELLED if not old.startswith(ELSEWHERE)])
def test_an_old_spelling_does_the_same(old: str) -> None:
    yes = ("--yes",) if old.startswith("term plan") else ()
    ran = run(*shlex.split(old), *yes)
    assert (ran.code, len(ran.problems)) == (0, 1), ran


def test_each_spelling_of_the_table_is_tried() -> None:
    for command, changes in OLD.items():
        lines = [shlex.split(old) for old in RESPELLED if old.startswith(f"{command} ")]
        words = {word.partition("=")[0] for line in lines for word in line}
        assert {each.old for each in changes if each.old.startswith("--")} <= words
        assert lines


@pytest.mark.parametrize("now", [*RESPELLED.values(), "log", "--version", "", "group", "term plan"])
def test_what_is_spelled_as_today_is_left_alone(now: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert respelled(shlex.split(now)) == shlex.split(now)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    "line",
    [
        "log note Ana queen-box '--unit is what he asked about'",
        "log note Ana -- queen-box --unit two-majors --pdf",
        "log attendance -- --csv there.csv",
        "student add --group --pdf",
        "group show Owls --to --pdf",
        "log export --to all.csv --student --csv",
        "report term --from 2026-09-01 --until 2026-12-01 --to term-2026.pdf",
    ],
)
def test_names_values_and_notes_are_never_rewritten(line: str) -> None:
    assert respelled(shlex.split(line)) == shlex.split(line)


@given(
    st.sampled_from([name.split() for name in OLD]),
    st.lists(st.sampled_from(["--unit", "--pdf", "--to", "--csv", "2026-09-10", "x", "--yes", "--group"])),
    st.lists(st.sampled_from(["--unit", "--pdf", "x", "--"])),
)
def test_what_stands_after_the_dashes_stays_as_it_is(
    command: list[str], words: list[str], after: list[str]
) -> None:
    now = respelled([*command, *words, "x", "--", *after])
    tail = now[now.index("--") + 1 :]
    moved = len(tail) - len(after)  # a unit, at its place among the arguments
    assert moved in (0, 1)
    assert after in [tail[:place] + tail[place + moved :] for place in range(len(tail) + 1)]


def test_one_line_says_all_that_is_spelled_otherwise(club: Club) -> None:
    assert club.book.exists()
    ran = run("log", "export", "all.csv", "--to", "2026-12-10")
    assert ran.err == (
        "--to is now --until; the file is now --to: coachbook log export --to all.csv --until 2026-12-10\n"
    )
    assert isinstance(OLD["term show"][0], Option)
