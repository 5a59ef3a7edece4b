from hypothesis import given
from hypothesis import strategies as st

from coachbook.paper.flow import Block, space
from coachbook.paper.sections import Section, columns, paginate_sections

HEIGHT = 200.0
HEADS = columns(300, ("One", 50), ("Two", 0), ("Three", 0))


def sections(sizes: list[list[float]]) -> list[Section]:
    return [
        Section(f"Section {i}", [space(size) for size in blocks], HEADS.head())
        for i, blocks in enumerate(sizes)
    ]


def total(blocks: list[Block]) -> float:
    return sum(block.height for block in blocks)


@given(st.lists(st.lists(st.floats(5, 100), min_size=1, max_size=20), min_size=1, max_size=5))
def test_no_page_is_too_full_and_no_block_is_lost_or_moved(sizes: list[list[float]]) -> None:
    parts = sections(sizes)
    pages = paginate_sections(parts, HEIGHT)
    assert all(0 < total(page) <= HEIGHT for page in pages)
    wanted = [id(block) for part in parts for block in part.blocks]
    assert [id(block) for page in pages for block in page if id(block) in set(wanted)] == wanted


@given(st.lists(st.floats(5, 100), min_size=1, max_size=20))
def test_every_page_begins_with_a_title_and_heads(sizes: list[float]) -> None:
    (part,) = parts = sections([sizes])
    pages = paginate_sections(parts, HEIGHT)
    assert all(page[0] not in part.blocks and page[0].height > HEADS.head().height for page in pages)


def test_columns_without_a_width_share_what_is_left() -> None:
    assert HEADS.widths[0] == 50
    assert HEADS.widths[1] == HEADS.widths[2] > 100
    assert abs(HEADS.width - 300) < 1e-9
