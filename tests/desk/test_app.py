"""The desk sends little: a tablet's first visit is over soon, also in a poor network."""

import re

import pytest

from tests.desk.conftest import Browser

_LOADED = re.compile(r'(?:href|src)="(/static/[^"#]+)|url\("(/static/[^"]+)"\)')
_MOST = 150_000


def test_a_first_visit_loads_little(coach: Browser) -> None:
    page, style = coach.client.get("/"), coach.client.get("/static/desk.css")
    loaded = {"".join(found) for found in _LOADED.findall(page.text + style.text)}
    assert {"/static/desk.css", "/static/fonts/text.ttf", "/static/fonts/bold.ttf"} <= loaded
    answers = [page, *(coach.client.get(path) for path in loaded)]
    assert {each.status_code for each in answers} == {200}
    assert sum(each.num_bytes_downloaded for each in answers) < _MOST


@pytest.mark.parametrize("path", ["/", "/static/pieces.svg", "/static/fonts/men.ttf"])
def test_what_is_packed_is_the_same(coach: Browser, path: str) -> None:
    packed, plain = coach.client.get(path), coach.client.get(path, headers={"accept-encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert len(packed.content) == len(plain.content)


@pytest.mark.parametrize("path", ["/term/wall", "/settings/care/copy"])
def test_a_file_is_sent_as_it_is(coach: Browser, path: str) -> None:
    answer = coach.client.get(path)
    assert answer.status_code == 200
    assert "content-encoding" not in answer.headers
