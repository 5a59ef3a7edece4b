"""What helps stands on a sheet once, before the first item, and costs as little paper as can be."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs
from coachbook.model.print_options import BOARDS_A_PAGE, PaperOptions, PaperSize
from coachbook.model.worksheet import RuleCard, Worksheet
from coachbook.paper.page import frame_of
from coachbook.paper.sheet_layout import Area
from coachbook.paper.sheet_pages import laid_out, worksheets_pdf
from tests.model.an_exercise import in_words
from tests.paper import printed, samples

WORDS = (
    "The queen's box: all squares on the lone king's side of the queen's file and rank.",
    "Safe: the lone king can't take your piece with his next move, and he keeps two squares or more.",
)
CARD = RuleCard(
    "The queen's box", tuple((number, f"Rule {number} is as long as most.") for number in (1, 2, 4))
)
LONG_CARD = RuleCard("The ladder", ((1, "Build the fence. " * 25), (2, "Give mate if you can.")))


def sheet_with(
    items: int, *, words: bool = True, cards: tuple[RuleCard, ...] = (), example: bool = False
) -> Worksheet:
    return replace(
        samples.every_form(items),
        words=WORDS if words else (),
        cards=cards,
        example=samples.smaller_box() if example else None,
    )


def shared_out(sheet: Worksheet, options: PaperOptions) -> list[int]:
    """How many cells or frames are filled on each page."""
    return [len(page) for page in laid_out(sheet, frame_of(options.size), options)]


def pages_of(path: Path, sheet: Worksheet, options: PaperOptions | None = None) -> list[str]:
    path.write_bytes(worksheets_pdf([(sheet, "Ida")], options or PaperOptions()))
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_the_words_stand_once_on_the_first_page_before_the_first_item(tmp_path: Path) -> None:
    first, *others = pages_of(tmp_path / "x.pdf", sheet_with(8))
    for words in ("What the words mean", *WORDS):
        assert first.count(words) == 1
        assert not any(words in page for page in others)
    assert first.index(WORDS[1]) < first.index("1 How many squares")


def test_the_rules_have_the_numbers_of_their_card(tmp_path: Path) -> None:
    (page,) = pages_of(tmp_path / "x.pdf", sheet_with(3, words=False, cards=(CARD,)))
    assert "The rules: The queen's box 1 Rule 1 is as long as most." in page
    assert "4 Rule 4 is as long as most." in page
    assert "What the words mean" not in page


def test_an_example_is_called_so_and_shows_its_answer(tmp_path: Path) -> None:
    (page,) = pages_of(tmp_path / "x.pdf", sheet_with(5, words=False, example=True))
    assert page.count("Example") == 1
    assert page.index("Example") < page.index("1 How many squares")
    words = samples.smaller_box().solution.text.words.replace("Qe4", "\u2655e4")
    assert words in page
    assert "of 5" in page


def test_an_example_gives_its_reason_where_there_is_room(tmp_path: Path) -> None:
    item = samples.how_big()
    reason = ReasonIs(Verdict(Because.BEFORE_ROOK_PAWN, white=True), "")
    told = replace(item, claims=(*item.claims, reason))
    (page,) = pages_of(tmp_path / "x.pdf", replace(sheet_with(2, words=False), example=told))
    assert "Why: the pawn is on the edge, and Black's king stands in front of it, on its file." in page


def test_a_sheet_without_help_has_none_of_it(tmp_path: Path) -> None:
    (page,) = pages_of(tmp_path / "x.pdf", sheet_with(6, words=False))
    assert not any(word in page for word in ("Example", "What the words mean", "The rules"))


@pytest.mark.parametrize(
    ("items", "example", "filled"),
    [
        (4, False, [5]),
        (5, False, [6]),
        (5, True, [7]),
        (6, False, [7]),
        (10, False, [6, 5]),
        (10, True, [6, 6]),
    ],
)
def test_words_cost_no_page_where_a_cell_is_free_or_boards_can_shrink_a_little(
    items: int, example: bool, filled: list[int]
) -> None:
    assert shared_out(sheet_with(items, example=example), PaperOptions()) == filled


def test_no_page_has_a_single_item_where_a_row_can_move() -> None:
    for items in range(1, 25):
        for sheet in (sheet_with(items), sheet_with(items, cards=(LONG_CARD,), example=True)):
            filled = shared_out(sheet, PaperOptions())
            assert len(filled) == 1 or filled[-1] > 1


def apart(one: Area, other: Area) -> bool:
    return (
        one.x + one.width <= other.x + 0.1
        or other.x + other.width <= one.x + 0.1
        or one.top <= other.y + 0.1
        or other.top <= one.y + 0.1
    )


@given(
    st.integers(1, 24),
    st.sampled_from(BOARDS_A_PAGE),
    st.sampled_from(PaperSize),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.sampled_from(((), (CARD,), (LONG_CARD,), (CARD, LONG_CARD))),
)
def test_everything_is_on_the_pages_once_and_nothing_overlaps_or_runs_over(
    items: int,
    boards: int,
    size: PaperSize,
    large: bool,
    words: bool,
    example: bool,
    cards: tuple[RuleCard, ...],
) -> None:
    sheet = sheet_with(items, words=words, cards=cards, example=example)
    frame = frame_of(size)
    pages = laid_out(sheet, frame, PaperOptions(size, boards_a_page=boards, large_print=large))
    assert sum(map(len, pages)) == items + example + (words or bool(cards))
    for page in pages:
        places = [Area(area.x, area.top - block.height, area.width, block.height) for area, block in page]
        assert all(apart(one, other) for at, one in enumerate(places) for other in places[:at])
        assert all(frame.bottom < place.y and place.top < frame.top for place in places)
        assert all(frame.left <= place.x <= place.x + place.width <= frame.right + 0.1 for place in places)


@pytest.mark.parametrize("large", [False, True], ids=["ordinary", "large"])
@pytest.mark.parametrize("size", PaperSize)
def test_help_keeps_the_margins(tmp_path: Path, size: PaperSize, large: bool) -> None:
    sheet = sheet_with(6, cards=(CARD, LONG_CARD), example=True)
    file = tmp_path / "x.pdf"
    file.write_bytes(worksheets_pdf([(sheet, "Ida")], PaperOptions(size, large_print=large)))
    printed.check_margins(file, tmp_path)


def test_help_is_black_and_white(tmp_path: Path) -> None:
    file = tmp_path / "x.pdf"
    file.write_bytes(worksheets_pdf([(sheet_with(6, cards=(CARD,), example=True), "")], PaperOptions()))
    printed.check_greys(file, tmp_path)


def test_large_print_has_large_words(tmp_path: Path) -> None:
    file = tmp_path / "x.pdf"
    sheet = sheet_with(3, example=True)
    file.write_bytes(worksheets_pdf([(sheet, "Ida")], PaperOptions(large_print=True)))
    coordinates = set("abcdefgh12345678")
    sizes = {size for text, size in printed.sized_texts(file) if text.strip() not in coordinates}
    assert min(sizes) >= 18


def test_an_example_too_long_for_a_page_is_refused_not_cut() -> None:
    example = replace(samples.how_big(), task=in_words("Count the squares. " * 200))
    with pytest.raises(CoachbookError, match="too long"):
        worksheets_pdf([(replace(samples.worksheet(1), example=example), "")], PaperOptions())


def test_many_rules_in_large_print_are_set_smaller_before_they_are_refused(tmp_path: Path) -> None:
    rules = RuleCard("A long one", tuple((number, "Build the fence. " * 8) for number in range(1, 10)))
    first, *_ = pages_of(tmp_path / "x.pdf", sheet_with(2, cards=(rules,)), PaperOptions(large_print=True))
    assert first.count("Build the fence.") == 72


def test_words_too_long_for_a_page_are_refused_not_cut() -> None:
    with pytest.raises(CoachbookError, match="too long for a page"):
        worksheets_pdf(
            [(replace(samples.worksheet(1), words=("So many words. " * 2000,)), "")], PaperOptions()
        )
