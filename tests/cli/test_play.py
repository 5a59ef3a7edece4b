"""`coachbook play` opens the desk on one board, and says in a line where there is none to open."""

from datetime import date
from pathlib import Path

import pytest

from coachbook.desk.sessions import Sessions
from tests.cli.drive import done, run


@pytest.fixture
def pages(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """The pages that links were made for; there is no club."""
    found: list[str] = []
    make = Sessions.new_link

    def new_link(self: Sessions, role: object, now: object, on: date | None = None, page: str = "/") -> str:
        found.append(page)
        return make(self, role, now, on, page)  # type: ignore[arg-type] # as they were given

    monkeypatch.setattr(Sessions, "new_link", new_link)
    monkeypatch.setenv("COACHBOOK_BOOK", str(tmp_path / "club.book"))
    return found


def test_the_link_leads_to_the_units_first_position_or_the_one_that_is_asked_for(pages: list[str]) -> None:
    told = done("play", "queen-box")
    assert told.startswith("The desk is open in your browser; if not, open this link (it works once): http")
    done("play", "Queen-Box", "--number", "2")
    done("desk")
    assert pages == ["/play/queen-box/1", "/play/queen-box/2", "/"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("queen-box", "--number", "3"), "coachbook: The unit queen-box has no play-out 3. It has 2."),
        (("mate-in-one",), "coachbook: The unit mate-in-one has no play-out 1. It has none."),
        (("queen-bax",), "coachbook: There is no unit 'queen-bax'. Did you mean queen-box?"),
    ],
)
def test_without_such_a_position_the_desk_stays_closed(
    pages: list[str], words: tuple[str, ...], told: str
) -> None:
    ran = run("play", *words)
    assert (ran.code, ran.problems, pages) == (2, [told], [])
