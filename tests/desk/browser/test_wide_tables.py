"""A table that is wider than the window says at its edges where it goes on, without a script."""

import pytest
from playwright.sync_api import Page

from tests.desk.browser.conftest import Opener, Theme

pytestmark = pytest.mark.full

_EDGE = 8
"""Pixels at an edge that are looked at."""


def marked(page: Page) -> tuple[bool, bool]:
    """Whether the first wide table of a page has a mark at its left and at its right edge: whether they look
    otherwise than without a background."""
    seen = _edges(page)
    page.evaluate("document.querySelector('.scroll').style.background = 'var(--paper)'")
    plain = _edges(page)
    page.evaluate("document.querySelector('.scroll').style.background = ''")
    left, right = (one != other for one, other in zip(seen, plain, strict=True))
    return left, right


def _edges(page: Page) -> tuple[bytes, bytes]:
    box = page.locator(".scroll").first.bounding_box()
    assert box is not None
    left, right = (
        page.screenshot(clip={"x": x, "y": box["y"], "width": _EDGE, "height": box["height"]})
        for x in (box["x"], box["x"] + box["width"] - _EDGE)
    )
    return left, right


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_table_is_marked_at_the_edges_beyond_which_it_goes_on(opened: Opener, theme: Theme) -> None:
    page = opened(360, theme).open("/log")
    scrolled = "place => { document.querySelector('.scroll').scrollLeft = place; }"
    for place, marks in ((0, (False, True)), (40, (True, True)), (9999, (True, False))):
        page.evaluate(scrolled, place)
        assert marked(page) == marks


def test_a_table_that_the_window_has_room_for_is_not_marked(opened: Opener) -> None:
    assert marked(opened(1440).open("/log")) == (False, False)
