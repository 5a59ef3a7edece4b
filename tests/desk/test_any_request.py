"""Whatever is sent to whichever page, the desk answers in words: never a fault of its own."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.desk import jobs
from coachbook.desk.app import ALL_PAGES
from coachbook.desk.asked import Page
from coachbook.desk.sessions import Role
from coachbook.workflows.evening_grid import evening_rows
from tests.desk.conftest import ADDRESS, Browser, browser_of, desk_of
from tests.workflows.conftest import foxes_in
from tests.workflows.foxes import FIRST, START, week

DESK = Path(__file__).parents[2] / "coachbook" / "desk"
IN_FORMS = r'name="(\w+)"'
IN_HANDLERS = r'(?:text|all|number|day|typed_day|uploads\.get)\("(\w+)"\)'
FIELDS = sorted(
    {name for path in DESK.rglob("*.html") for name in re.findall(IN_FORMS, path.read_text("utf-8"))}
    | {name for path in DESK.rglob("*.py") for name in re.findall(IN_HANDLERS, path.read_text("utf-8"))}
)
SHEET = "MRS-63DWV"
"""The one that Ana is given on the first evening."""
DAYS = (str(START), str(week(1)))
LIKELY = ("1", "2", "3", "0", "-1", *DAYS, FIRST, "Ana", "Foxes", "here", "right", "yes", "", SHEET)
NASTY = ("<b>&'\"", "..", "../..", "9" * 30, "1e9", "\N{CROSS MARK}", "\x00", "x" * 3000, "0001-01-01", "{x}")
TABLES = (
    *(b"", b"student,item,answer\nAna,1,Qe5\n", b"date,student,present\n2026-09-10,Ana,yes\n"),
    *(b"name\n\xff", b"\x00" * 999, b"SQLite format 3\x00x", b"a,b\n"),
)


@dataclass(frozen=True)
class Sent:
    """One request: to which page, with what in its address, its form and its files, and by whom."""

    page: Page
    in_path: Mapping[str, str]
    form: Mapping[str, str]
    files: Mapping[str, bytes]
    role: Role
    is_part: bool

    @property
    def path(self) -> str:
        return re.sub(r"{(\w+)(?::\w+)?}", lambda found: quote(self.in_path[found[1]], ""), self.page.path)


TEXTS = st.one_of(st.sampled_from((*LIKELY, *NASTY)), st.text(max_size=30))
NUMBERS = st.one_of(st.integers(0, 4), st.integers(0, 10**20)).map(str)


@st.composite
def requests(draw: st.DrawFn) -> Sent:
    """Any page, and something in each place where something can be; much of it is nearly right."""
    page = draw(st.sampled_from(ALL_PAGES))
    in_path = {}
    for name, kind in re.findall(r"{(\w+)(?::(\w+))?}", page.path):
        usual = NUMBERS if kind == "int" else st.sampled_from(DAYS) if name == "on" else TEXTS
        in_path[name] = draw(usual) or "x"
    fields = st.dictionaries(st.sampled_from(FIELDS), TEXTS, max_size=8)
    form = {"touch": draw(st.one_of(st.uuids().map(str), st.sampled_from(("", "x")))), **draw(fields)}
    files = draw(st.dictionaries(st.sampled_from(FIELDS), st.sampled_from(TABLES), max_size=1))
    return Sent(page, in_path, form, files, draw(st.sampled_from(Role)), draw(st.booleans()))


def answered(browsers: Mapping[Role, Browser], sent: Sent) -> None:
    """Sends it, and asserts what holds for every answer. A fault of the desk is raised here."""
    headers = {"origin": ADDRESS} | ({"x-part": "yes"} if sent.is_part else {})
    client = browsers[sent.role].client
    if sent.page.method == "GET":
        answer = client.get(sent.path, params=sent.form, headers=headers, follow_redirects=False)
    else:
        form = {name: value.encode("utf-8", "replace") for name, value in sent.form.items()}
        answer = client.post(
            sent.path, data=form, files=sent.files or None, headers=headers, follow_redirects=False
        )
    assert answer.status_code < 500, sent
    assert "Traceback" not in answer.text
    if answer.headers.get("content-type", "").startswith("text/html"):
        assert "<b>&" not in answer.text
    assert "content-security-policy" in answer.headers
    if sent.role is Role.HELPER and not sent.page.for_helpers:
        assert answer.status_code in (400, 403, 404), sent


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """The Foxes' book, which everything is done to."""
    book = foxes_in(tmp_path_factory.mktemp("foxes"))
    assert evening_rows(book, 1, START)[0].sheet == SHEET
    return book


@pytest.fixture(scope="module")
def answers(book: Book, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[Sent], None]]:
    """What sends a request from the coach's browser or from a tablet, and looks at the answer, in a folder
    where nothing is lost. Work that takes long is begun, but not done."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path_factory.mktemp("here"))
        patch.setattr(jobs.Jobs, "_run", lambda *_: None)
        desk = desk_of(book.path)
        browsers = {role: browser_of(desk, role) for role in Role}
        yield lambda sent: answered(browsers, sent)


@pytest.mark.full
@settings(max_examples=300)
@given(sent=requests())
def test_nonsense_is_answered_in_words(answers: Callable[[Sent], None], sent: Sent) -> None:
    answers(sent)


@pytest.mark.long
@settings(max_examples=20_000)
@given(sent=requests())
def test_twenty_thousand_pieces_of_nonsense_are_answered_in_words(
    answers: Callable[[Sent], None], sent: Sent
) -> None:
    answers(sent)
