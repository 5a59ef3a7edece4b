"""Every page of the desk in a browser: axe finds nothing wrong, and none is wider than the window."""

import pytest

from tests.desk.browser.conftest import Window, violations
from tests.workflows.foxes import START

pytestmark = pytest.mark.full

PAGES = (
    "/",
    f"/evening/{START}/1",
    f"/evening/{START}/1/item/1/1",
    f"/evening/{START}/1/play-out/1/PLAY-QUEEN-BOX-1",
    f"/evening/{START}/1/guest",
    f"/evening/{START}/1/close",
    f"/evening/{START}/prepare",
    "/groups",
    "/groups/1",
    "/groups/1/term",
    "/groups/import",
    "/student/1",
    "/student/1/unit/mate-or-stalemate",
    "/term",
    f"/term/{START}",
    "/term/new",
    "/term/reviews",
    "/papers",
    "/syllabus",
    "/syllabus/queen-box",
    "/syllabus/queen-box/rules",
    "/syllabus/queen-box/show/1/1",
    "/syllabus/queen-box/ask/1/0",
    "/syllabus/queen-box/ask/1/0?uci=d4c5",
    "/play/queen-box/1?seed=1",
    "/play/queen-box/1?seed=1&stop=yes",
    "/board",
    "/board?fen=8/8/8/4k3/8/8/2Q5/K7+w+-+-+0+1",
    "/board?fen=8/8/8/4k3/8/8/2Q5/K7+w+-+-+0+1&step=1",
    "/log",
    "/settings",
    "/settings/care",
    "/settings/tables",
)
"""The addresses of the pages to look at, one a page. The Foxes' desk has them on their first evening."""


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_wrong_with_a_page_and_none_is_wider_than_the_window(
    window: Window, path: str
) -> None:
    assert violations(window.open(path)) == []
