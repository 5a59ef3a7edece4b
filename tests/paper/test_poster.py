from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.printed import RuleInWords
from coachbook.paper.flow import CaptionedBoard
from coachbook.paper.poster import Picture, poster_pdf
from tests.paper import printed, samples

LESSON = samples.lesson()
BOARDS = samples.boards()[:2]
PICTURES = [
    Picture(f"{rule.number}", rule.head, rule.words, board)
    for rule, board in zip(LESSON.rules, samples.boards(), strict=True)
]


def poster(
    path: Path,
    rules: Sequence[RuleInWords] = LESSON.rules,
    boards: Sequence[CaptionedBoard] = BOARDS,
    pictures: Sequence[Picture] = (),
    proof_line: str = LESSON.proof_line,
    size: PaperSize = PaperSize.A4,
) -> str:
    options = PaperOptions(size, Notation.LETTERS)
    path.write_bytes(poster_pdf("The queen's box", rules, boards, pictures, proof_line, options))
    return " ".join(" ".join(printed.texts(path)).split())


def boards_on(path: Path) -> int:
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("board-"))


@pytest.mark.parametrize("size", PaperSize)
def test_a_poster_is_one_page_that_tells_the_method_in_order(tmp_path: Path, size: PaperSize) -> None:
    text = poster(tmp_path / "p.pdf", size=size)
    told = [
        "The queen's box",
        *(f"{rule.head} {rule.words}".strip() for rule in LESSON.rules),
        LESSON.proof_line,
    ]
    places = [text.index(words) for words in told]
    assert places == sorted(places)
    assert all(caption in text for _, _, caption in BOARDS)
    assert boards_on(tmp_path / "p.pdf") == 2


@pytest.mark.parametrize("size", PaperSize)
def test_short_rules_are_read_from_two_metres(tmp_path: Path, size: PaperSize) -> None:
    poster(tmp_path / "p.pdf", size=size)
    sizes = [size for text, size in printed.sized_texts(tmp_path / "p.pdf") if "Give mate" in text]
    assert sizes and min(sizes) >= 24


def test_long_rules_are_set_smaller_but_still_in_full(tmp_path: Path) -> None:
    rules = tuple(
        RuleInWords(i + 1, f"Rule {i}: {'think of the box before you move ' * 3}.") for i in range(8)
    )
    text = poster(tmp_path / "p.pdf", rules)
    assert all(" ".join(rule.words.split()) in text for rule in rules)
    assert min(size for words, size in printed.sized_texts(tmp_path / "p.pdf") if "Rule" in words) >= 14


def test_more_than_a_page_holds_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="do not fit on a page"):
        poster(tmp_path / "p.pdf", (RuleInWords(1, "Think of the box before you move. " * 8),) * 10)
    with pytest.raises(CoachbookError, match="room for two boards"):
        poster(tmp_path / "p.pdf", boards=samples.boards())
    assert not list(tmp_path.iterdir())


def test_what_is_empty_is_left_out(tmp_path: Path) -> None:
    text = poster(tmp_path / "p.pdf", boards=(), proof_line="")
    assert "Followed" not in text
    assert boards_on(tmp_path / "p.pdf") == 0


def test_the_same_poster_gives_the_same_bytes_with_all_fonts_in_it(tmp_path: Path) -> None:
    poster(tmp_path / "one.pdf")
    poster(tmp_path / "two.pdf")
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()
    assert all(printed.fonts(tmp_path / "one.pdf").values())


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("repeated", [1, 12])
def test_each_rule_has_a_board_of_eighty_millimetres_two_on_a_page(
    tmp_path: Path, size: PaperSize, repeated: int
) -> None:
    pictures = [replace(picture, words=" ".join([picture.words] * repeated)) for picture in PICTURES]
    text = poster(tmp_path / "p.pdf", pictures=pictures, size=size)
    assert len(printed.texts(tmp_path / "p.pdf")) == 1 + 2
    assert all(" ".join(picture.words.split()) in text for picture in pictures)
    assert boards_on(tmp_path / "p.pdf") == 2 + len(pictures)
