from hypothesis import given
from hypothesis import strategies as st

from coachbook.paper.flow import Block, headed, paginate, paragraph, space
from coachbook.paper.text import LEADING

blocks = st.lists(st.builds(space, st.integers(1, 60).map(float), keep_next=st.booleans()), max_size=40)


def height(page: list[Block]) -> float:
    return sum(block.height for block in page)


@given(blocks)
def test_pages_hold_all_blocks_in_order_and_none_is_too_full(given_blocks: list[Block]) -> None:
    pages = paginate(given_blocks, 100)
    assert [block for page in pages for block in page] == given_blocks
    assert all(height(page) <= 100 for page in pages)


def test_a_heading_moves_with_what_it_heads() -> None:
    heading = space(15, keep_next=True)
    assert [len(page) for page in paginate([space(80), heading, space(20)], 100)] == [1, 2]
    assert [len(page) for page in paginate([space(60), heading, space(20)], 100)] == [3]


def test_what_is_kept_together_but_higher_than_a_page_is_let_go() -> None:
    assert [len(page) for page in paginate([space(60, keep_next=True)] * 3, 100)] == [1, 1, 1]


def test_a_page_is_begun_only_when_the_one_before_is_full() -> None:
    assert [len(page) for page in paginate([space(50)] * 5, 100)] == [2, 2, 1]


def test_a_paragraph_is_as_high_as_its_lines() -> None:
    one, three = paragraph("a", 100, 10), paragraph("word " * 12, 100, 10)
    assert three.height == 3 * one.height


@given(st.text("ab ", max_size=300), st.integers(120, 400))
def test_a_bold_head_pushes_the_words_on_as_far_as_it_is_long(text: str, width: int) -> None:
    plain = paragraph(text, width, 12)
    assert headed("", text, width, 12).height == plain.height
    with_head = headed("Make the box:", text, width, 12)
    assert plain.height <= with_head.height <= plain.height + 12 * LEADING
