from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.paper.bundle import bundle_pdf, pages_of
from coachbook.paper.play_out_cards import cards_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from tests.paper import printed, samples

CARDS = cards_pdf([samples.card(number) for number in range(1, 6)], PaperOptions())
SHEETS = worksheets_pdf([(samples.worksheet(2), name) for name in ("Ada", "Bo")], PaperOptions())


def test_documents_stand_one_after_the_other_with_all_their_pages(tmp_path: Path) -> None:
    (tmp_path / "all.pdf").write_bytes(bundle_pdf([("Cards", CARDS), ("Sheets", SHEETS)], "Evening"))
    one = [tmp_path / "cards.pdf", tmp_path / "sheets.pdf"]
    for path, document in zip(one, (CARDS, SHEETS), strict=True):
        path.write_bytes(document)
    assert printed.texts(tmp_path / "all.pdf") == [text for path in one for text in printed.texts(path)]


def test_pages_are_counted() -> None:
    assert [pages_of(CARDS), pages_of(SHEETS)] == [2, 2]
    assert pages_of(bundle_pdf([("Cards", CARDS), ("Sheets", SHEETS)], "Evening")) == 4


def test_the_same_documents_give_the_same_bytes() -> None:
    one, two = (bundle_pdf([("Cards", CARDS), ("Sheets", SHEETS)], "Evening") for _ in range(2))
    assert one == two
