"""Every page of the desk as a browser shows it: axe finds nothing wrong, and nothing is wider than the
window."""

import pytest

from tests.desk.browser.conftest import WIDTHS, Window, violations
from tests.workflows.foxes import START

PAGES = (
    "/",
    f"/evening/{START}/1",
)
"""The addresses of the pages to look at, one a page. The Foxes' desk has them on their first evening."""


@pytest.mark.full
@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_wrong_with_a_page(window: Window, path: str) -> None:
    assert violations(window.open(path)) == []


@pytest.mark.parametrize("path", PAGES)
def test_no_page_is_wider_than_the_window(window: Window, path: str) -> None:
    page = window.open(path)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
