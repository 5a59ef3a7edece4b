"""Every page that is printed of a unit, read through: no banned word, no sentence and no rule too long for a
child."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from coachbook.club.sheets import load_worksheet
from coachbook.method.methods import find_method
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Unit
from coachbook.model.worksheet import Worksheet
from coachbook.paper.lesson_plan import lesson_pdf
from coachbook.wording.exercises import option_words
from coachbook.workflows.posters import make_poster
from coachbook.workflows.printed_sheets import make_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.unit_papers import lesson_sheet, make_cards
from tests.paper import printed
from tests.shipped import marked
from tests.workflows.conftest import club_of
from tests.workflows.test_plain_words import MOST_WORDS, SYLLABUS, banned_in
from tests.workflows.test_sheets import DAY

ITEMS, SEEDS = 12, (1, 2)
MOST_OF_A_RULE = 15
OPTIONS = PaperOptions()


def sentences(sheet: Worksheet) -> Iterator[str]:
    """All that a child reads on a sheet."""
    for item in (*sheet.items, *([sheet.example] if sheet.example else ())):
        yield item.task.words
        yield from (option_words(option) for option in item.answer.options)
    texts = (*sheet.words, *(words for card in sheet.cards for _, words in card.rules))
    for text in texts:
        yield from re.split(r"(?<=[.!?]) ", text)


@pytest.mark.parametrize("unit", marked(SYLLABUS.units, pytest.mark.full))
def test_every_page_of_a_unit_is_in_plain_words(unit: Unit, tmp_path: Path) -> None:
    book = club_of(tmp_path, ("Ana",))
    for seed in SEEDS:  # one seed asks what the card says, the other lets it be read
        asked = SheetRequest(unit, ("Ana",), ITEMS, seed, DAY)
        made = make_sheets(book, SYLLABUS, asked, tmp_path, OPTIONS)
        with book.reading() as tx:
            for sheet in (load_worksheet(tx, sheet.code) for sheet, _ in made.handed_out):
                assert [told for told in sentences(sheet) if len(told.split()) > MOST_WORDS] == []
    if unit.play_outs:
        make_cards(book, SYLLABUS, unit, (), tmp_path, OPTIONS)
    (tmp_path / "lesson.pdf").write_bytes(
        lesson_pdf(lesson_sheet(SYLLABUS, unit, "Club", "Group", DAY, ()), OPTIONS)
    )
    if unit.method:
        make_poster(SYLLABUS, unit.method, tmp_path, OPTIONS)
        method = find_method(unit.method)
        assert method is not None
        assert [rule for rule in method.told if len(rule.card_words.split()) > MOST_OF_A_RULE] == []
    papers = sorted(tmp_path.glob("*.pdf"))
    assert len(papers) == 2 * len(SEEDS) + 1 + bool(unit.play_outs) + bool(unit.method)
    for paper in papers:
        told = " ".join(" ".join(printed.texts(paper)).split()).replace(book.club_name, "")
        assert banned_in(told) == [], paper.name
