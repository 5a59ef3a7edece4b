"""Worksheets as a class gets them: forms A and B, own sheets with what is due, reprints, no repeats."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.club.book import Book
from coachbook.club.sheets import load_worksheet, saved_sheet, sheets_of, used_keys
from coachbook.club.stored import opened, worksheet_from, worksheet_text
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import TOLERANCE, SupplyExhaustedError
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import KindUse, Unit
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening_log import keep_answers, mark_sheet
from coachbook.workflows.printed_sheets import PrintedSheets, make_sheets, reprint_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import load_syllabus
from tests.judges.turns import Men, position_class
from tests.workflows.conftest import club_of

SYLLABUS = load_syllabus()
QUEEN = SYLLABUS.unit("mate-in-one")
ROOK = SYLLABUS.unit("rook-mates")
NAMES = ("Ana", "Bo", "Cleo", "Dan", "Eva")
DAY = date(2026, 9, 10)
LATER = DAY + timedelta(days=60)
FEW = replace(ROOK, endings=("KRK",), kinds=(KindUse("stalemate_moves", 1, 100),))
FEW_AND_UNLIKE = replace(ROOK, endings=("KQK",), kinds=(KindUse("final_position", 1, 100),))
A4 = PaperOptions()


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return club_of(tmp_path, NAMES, "Owls")


def request(unit: Unit = QUEEN, students: tuple[str, ...] = NAMES, items: int = 4) -> SheetRequest:
    return SheetRequest(unit, students, items, 1, DAY)


def make(book: Book, asked: SheetRequest, folder: str = "paper", options: PaperOptions = A4) -> PrintedSheets:
    return make_sheets(book, SYLLABUS, asked, book.path.parent / folder, options)


def text_of(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def classes(sheet: Worksheet) -> set[tuple[bool, Men]]:
    return {position_class(item.position.fen) for item in sheet.items}


def answer_all_wrong(book: Book, sheet: Worksheet, student: str) -> None:
    wrong = mark_sheet(sheet, student, dict.fromkeys(range(1, len(sheet.items) + 1), "?"), sheet.made_on)
    keep_answers(book, wrong, datetime(2026, 9, 10, 20, tzinfo=UTC))


def test_neighbours_get_form_a_and_form_b_and_one_key_has_both(book: Book) -> None:
    printed = make(book, replace(request(), forms=True))
    (a, with_a), (b, with_b) = printed.handed_out
    assert (with_a, with_b) == (("Ana", "Cleo", "Eva"), ("Bo", "Dan"))
    assert (a.form, b.form) == ("A", "B")
    assert a.shared_code == b.shared_code
    assert (a.code, b.code) == (f"{a.shared_code}-A", f"{a.shared_code}-B")
    assert [item.kind for item in a.items] == [item.kind for item in b.items]
    pairs = zip(a.items, b.items, strict=True)
    assert all(abs(one.difficulty - other.difficulty) <= TOLERANCE for one, other in pairs)
    assert len(classes(a) | classes(b)) == 8
    assert printed.note == ""
    pages = text_of(printed.sheets_pdf)
    assert [name in page for name, page in zip(NAMES, pages, strict=True)] == [True] * 5
    assert ["Form A" in page for page in pages] == [True, False, True, False, True]
    assert ["Form B" in page for page in pages] == [False, True, False, True, False]
    key = " ".join(text_of(printed.key_pdf))
    assert a.code in key
    assert b.code in key


def test_each_form_is_given_to_its_own_students_in_the_book(book: Book) -> None:
    (a, _), (b, _) = make(book, replace(request(), forms=True)).handed_out
    with book.reading() as page:
        assert load_worksheet(page, a.code) == a
        assert saved_sheet(page, b.code).students == ("Bo", "Dan")
        assert b.example is not None
        assert used_keys(page, "Bo") == {item.key for item in (*b.items, b.example)}


def test_large_print_names_the_form_too(book: Book) -> None:
    printed = make(book, replace(request(), forms=True), options=PaperOptions(large_print=True))
    assert all("Form A" in page or "Form B" in page for page in text_of(printed.sheets_pdf))


def test_forms_that_few_positions_keep_apart_say_so(book: Book) -> None:
    notes = []
    with pytest.raises(SupplyExhaustedError, match=r"^For these 2 students: Only [01] fresh"):
        for items in (20, 20, 20, *[1] * 20):
            printed = make(book, SheetRequest(FEW_AND_UNLIKE, NAMES[:2], items, 1, DAY, forms=True))
            (a, _), (b, _) = printed.handed_out
            pairs = zip(a.items, b.items, strict=True)
            wide = any(abs(one.difficulty - other.difficulty) > TOLERANCE for one, other in pairs)
            notes.append((wide, "Few fresh positions are left" in printed.note))
    assert set(notes) == {(False, False), (True, True)}


def test_a_sheet_that_was_stored_before_there_were_forms_is_read(book: Book) -> None:
    ((sheet, _),) = make(book, request()).handed_out
    stored = opened(worksheet_text(sheet)) or ""
    before = stored.replace(',"form":""', "")
    assert before != stored
    assert worksheet_from(before, sheet.code) == sheet


def test_a_form_and_its_code_belong_together(book: Book) -> None:
    ((sheet, _),) = make(book, request()).handed_out
    with pytest.raises(CoachbookError, match="is not of form A"):
        replace(sheet, form="A")


def test_own_sheets_begin_with_what_their_student_has_to_review(book: Book) -> None:
    ((old, _),) = make(book, request(ROOK, ("Bo",))).handed_out
    answer_all_wrong(book, old, "Bo")
    printed = make(book, replace(request(), personal=True, made_on=LATER))
    units = {names[0]: [item.unit for item in sheet.items] for sheet, names in printed.handed_out}
    assert units["Bo"] == [ROOK.code] * 2 + [QUEEN.code] * 2
    assert [units[name] for name in NAMES if name != "Bo"] == [[QUEEN.code] * 4] * 4
    own = next(sheet for sheet, names in printed.handed_out if names == ("Bo",))
    assert not classes(own) & classes(old)
    assert f"From: {ROOK.title}" in " ".join(text_of(printed.key_pdf))
    results = mark_sheet(own, "Bo", {1: "?", 4: "?"}, LATER)
    assert [result.unit for result in results] == [ROOK.code, QUEEN.code]
    keep_answers(book, results, datetime(2026, 11, 9, 20, tzinfo=UTC))


@pytest.mark.parametrize(("review", "expected"), [(0, 0), (1, 1), (3, 3), (9, 3), (None, 2)])
def test_the_coach_says_how_many_are_for_review_and_one_stays_new(
    book: Book, review: int | None, expected: int
) -> None:
    ((old, _),) = make(book, request(ROOK, ("Bo",))).handed_out
    answer_all_wrong(book, old, "Bo")
    asked = replace(request(students=("Bo",)), made_on=LATER, review=review)
    ((sheet, _),) = make(book, asked).handed_out
    assert [item.unit for item in sheet.items] == [ROOK.code] * expected + [QUEEN.code] * (4 - expected)


def test_the_units_that_are_due_share_the_review(book: Book) -> None:
    due = (ROOK, SYLLABUS.unit("queen-mates"))
    for unit in due:
        ((old, _),) = make(book, request(unit, ("Bo",))).handed_out
        answer_all_wrong(book, old, "Bo")
    ((sheet, _),) = make(book, replace(request(students=("Bo",)), made_on=LATER)).handed_out
    assert {item.unit for item in sheet.items[:2]} == {unit.code for unit in due}


def test_what_the_sheet_is_about_is_no_review_and_a_shared_sheet_has_none(book: Book) -> None:
    for unit in (QUEEN, ROOK):
        ((old, _),) = make(book, request(unit, ("Ana", "Bo"))).handed_out
        answer_all_wrong(book, old, "Bo")
    ((shared, _),) = make(book, replace(request(students=("Ana", "Bo")), made_on=LATER)).handed_out
    assert {item.unit for item in shared.items} == {QUEEN.code}
    ((own, _),) = make(book, replace(request(students=("Bo",)), made_on=LATER)).handed_out
    assert [item.unit for item in own.items] == [ROOK.code] * 2 + [QUEEN.code] * 2


def test_a_reviewed_unit_without_fresh_positions_leaves_its_place_to_new_material(book: Book) -> None:
    none_left = replace(ROOK, kinds=(KindUse("every_mate", 100, 100),))
    levels = tuple(
        replace(level, units=tuple(none_left if unit == ROOK else unit for unit in level.units))
        for level in SYLLABUS.levels
    )
    ((old, _),) = make(book, request(ROOK, ("Bo",))).handed_out
    answer_all_wrong(book, old, "Bo")
    asked = replace(request(students=("Bo",)), made_on=LATER)
    folder = book.path.parent
    ((sheet, _),) = make_sheets(book, replace(SYLLABUS, levels=levels), asked, folder, A4).handed_out
    assert [item.unit for item in sheet.items] == [QUEEN.code] * 4


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"forms": True, "personal": True}, "cannot have sheets of their own"),
        ({"forms": True, "students": ("Ana",)}, "two students or more"),
        ({"review": 1}, "what each student needs"),
        ({"review": 1, "forms": True}, "what each student needs"),
        ({"review": -1, "personal": True}, "-1 items for review"),
        ({"items": 25}, "1 to 24"),
    ],
)
def test_what_cannot_be_had_together_is_told(change: dict[str, object], told: str) -> None:
    with pytest.raises(CoachbookError, match=told):
        replace(request(), **change)  # type: ignore[arg-type] # any field may be changed


@pytest.mark.parametrize("change", [{"forms": True}, {"personal": True}, {}], ids=["forms", "own", "shared"])
def test_all_sheets_of_one_making_are_printed_again_byte_by_byte(book: Book, change: dict[str, bool]) -> None:
    options = PaperOptions(letters="KDTLS", boards_a_page=4, two_sides=True)
    made = make(book, replace(request(), **change), options=options)  # type: ignore[arg-type] # a flag
    codes = [sheet.code for sheet, _ in made.handed_out]
    again = reprint_sheets(book, codes, book.path.parent / "again", options)
    assert again.sheets_pdf.name == made.sheets_pdf.name
    assert again.sheets_pdf.read_bytes() == made.sheets_pdf.read_bytes()
    assert again.key_pdf.read_bytes() == made.key_pdf.read_bytes()


def test_the_key_names_whose_own_sheet_it_is_and_not_a_whole_class(book: Book) -> None:
    own = make(book, replace(request(), personal=True), "own")
    owners = {sheet.code: names for sheet, names in own.handed_out}
    for page in text_of(own.key_pdf):
        (code,) = [code for code in owners if code in page]
        assert [name for name in NAMES if name in page.split()] == list(owners[code])
    shared = " ".join(text_of(make(book, request(), "shared").key_pdf)).split()
    assert [name for name in NAMES if name in shared] == []


def test_one_form_of_two_can_be_printed_alone(book: Book) -> None:
    (_, (b, _)) = make(book, replace(request(), forms=True)).handed_out
    alone = reprint_sheets(book, [b.code.lower()], book.path.parent / "again", A4)
    assert alone.sheets_pdf.name == f"{QUEEN.code}-{b.code}.pdf"
    assert len(text_of(alone.sheets_pdf)) == 2


def test_on_two_sides_every_copy_begins_on_a_new_leaf(book: Book) -> None:
    one_side = make(book, request(items=7), "one").sheets_pdf
    two_sides = make(book, request(items=3), "two", PaperOptions(two_sides=True)).sheets_pdf
    assert ["page 1 of 2" in page for page in text_of(one_side)] == [True, False] * 5
    assert ["page 1 of 1" in page for page in text_of(two_sides)] == [True, False] * 5
    assert text_of(two_sides)[1::2] == [""] * 5


@pytest.mark.parametrize("change", [{"forms": True}, {"personal": True}], ids=["forms", "own"])
def test_nothing_is_kept_of_sheets_that_cannot_be_printed(book: Book, change: dict[str, bool]) -> None:
    (book.path.parent / "paper").write_text("in the way")
    with pytest.raises(CoachbookError, match="cannot be made"):
        make(book, replace(request(), **change))  # type: ignore[arg-type] # a flag
    with book.reading() as page:
        assert all(sheets_of(page, name) == [] for name in NAMES)


def test_a_student_sees_no_position_twice_until_the_supply_ends_and_then_a_line_says_so(book: Book) -> None:
    seen: set[tuple[bool, Men]] = set()
    made = 0
    with pytest.raises(SupplyExhaustedError) as ended:
        while True:
            asked = SheetRequest(FEW, ("Ana",), 6, made, DAY + timedelta(days=made))
            ((sheet, _),) = make(book, asked).handed_out
            made += 1
            assert len(classes(sheet)) == 6
            assert not classes(sheet) & seen
            seen |= classes(sheet)
    left = int(ended.value.message.split()[3])
    assert ended.value.message == (
        f"For Ana: Only {left} fresh positions are left for stalemate_moves in rook-mates, 6 are needed."
    )
    assert "Make a shorter sheet" in str(ended.value)
    assert left < 6
    with book.reading() as page:
        assert len(sheets_of(page, "Ana")) == made
    assert len(list((book.path.parent / "paper").iterdir())) == 2 * made
    if left:
        ((last, _),) = make(book, SheetRequest(FEW, ("Ana",), left, 0, DAY)).handed_out
        assert not classes(last) & seen
    make(book, SheetRequest(FEW, ("Bo",), 6, 0, DAY))  # what Ana has seen is new to Bo


@pytest.mark.long
def test_a_thousand_sheets_of_one_student_have_no_position_twice(book: Book) -> None:
    unit = SYLLABUS.unit("queen-walls")
    seen: set[tuple[bool, Men]] = set()
    for number in range(1000):
        asked = SheetRequest(unit, ("Ana",), 6, number, DAY)
        ((sheet, _),) = make(book, asked).handed_out
        assert len(classes(sheet)) == 6
        assert not classes(sheet) & seen
        seen |= classes(sheet)
    assert len(seen) == 6000
