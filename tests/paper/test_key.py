from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.worksheet import Exercise, Saying, Worksheet
from coachbook.paper.answer_key import key_pdf
from coachbook.wording.exercises import say
from coachbook.wording.reasons import why_after_move
from tests.model.an_exercise import in_words
from tests.paper import printed, samples

LETTERS = PaperOptions(notation=Notation.LETTERS)


def key(path: Path, *items: Exercise) -> list[str]:
    """The text of the pages of a key with these items, lines joined."""
    path.write_bytes(key_pdf([replace(samples.worksheet(1), items=items)], LETTERS))
    return [" ".join(text.split()) for text in printed.texts(path)]


def with_plan(steps: int) -> Exercise:
    """An item whose plan has so many steps, told apart by their words."""
    item = samples.all_mates()
    plan = samples.plan(item.position.fen, steps)
    told = tuple(
        replace(step, achieved=in_words(f"this is step {i}.")) for i, step in enumerate(plan.steps, start=1)
    )
    return replace(item, solution=replace(item.solution, plan=replace(plan, steps=told)))


def boards_on_pages(path: Path) -> int:
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("board-"))


def test_the_key_tells_answer_plan_and_what_to_watch_for(tmp_path: Path) -> None:
    (page,) = key(tmp_path / "key.pdf", samples.smaller_box())
    assert "Answers: The queen's box" in page
    assert "Qe4 makes the box 16; before it was 24." in page
    assert "1 Qd4 Ke6 make the box smaller: box 12 \N{RIGHTWARDS ARROW} 9" in page
    assert "Source: queen's box, proven from every position." in page
    assert "Watch for Takes Qd4+, a check that lets the king out." in page


@pytest.mark.parametrize(
    ("item", "answer"),
    [
        (samples.how_big(), "16 16 squares"),
        (samples.all_mates(), "Qb8# and Qg7#"),
        (samples.black_to_move(), "none"),
    ],
)
def test_the_answer_stands_in_short(tmp_path: Path, item: Exercise, answer: str) -> None:
    assert answer in key(tmp_path / "key.pdf", item)[0]


def test_the_key_shows_all_options_with_the_right_one_ticked(tmp_path: Path) -> None:
    item = samples.which_rule("Give Qd4+", "Draw", "Neither")
    ticked = {}
    for right in item.answer.options:
        chosen = replace(item, answer=replace(item.answer, accepted=(right,)))
        assert "Give Qd4+ Draw Neither" in key(tmp_path / "key.pdf", chosen)[0]
        uses = printed.uses_of_forms(tmp_path / "key.pdf")
        assert (uses["tick-900-True"], uses["tick-900-False"]) == (1, 2)
        bold = [text.strip() for text, font in printed.texts_in_fonts(tmp_path / "key.pdf") if "Bold" in font]
        ticked[right] = right in bold
        assert not [other for other in item.answer.options if other != right and other in bold]
    assert all(ticked.values())


def test_the_key_names_the_squares_to_mark(tmp_path: Path) -> None:
    item = samples.mark_squares()
    assert "e6, e7, f7 and g6" in key(tmp_path / "key.pdf", item)[0]
    nothing = replace(item, answer=replace(item.answer, accepted=()))
    assert "none (nothing marked)" in key(tmp_path / "key.pdf", nothing)[0]


def test_moves_are_printed_in_the_letters_of_another_language(tmp_path: Path) -> None:
    swedish = PaperOptions(notation=Notation.LETTERS, letters="KDTLS")
    sheet = replace(samples.worksheet(1), items=(samples.smaller_box(),))
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], swedish))
    text = " ".join(printed.texts(tmp_path / "key.pdf")[0].split())
    assert "De4 De4 makes the box 16" in text
    assert "1 Dd4 Ke6" in text
    assert "Takes Dd4+" in text


def test_any_one_of_several_moves_is_told_with_or(tmp_path: Path) -> None:
    item = samples.smaller_box()
    either = replace(item, answer=replace(item.answer, accepted=("Qe4", "Qd4", "Qc4")))
    assert "Qe4, Qd4 or Qc4" in key(tmp_path / "key.pdf", either)[0]


@pytest.mark.parametrize("steps", [1, 16, 40, 120])
def test_a_plan_of_any_length_is_printed_in_full_and_in_order(tmp_path: Path, steps: int) -> None:
    text = " ".join(key(tmp_path / "key.pdf", with_plan(steps)))
    places = [text.index(f"this is step {i}.") for i in range(1, steps + 1)]
    assert places == sorted(places)


def test_a_row_cut_in_two_has_its_board_on_both_pages(tmp_path: Path) -> None:
    pages = key(tmp_path / "key.pdf", *[with_plan(40)] * 4)
    continued = sum(page.count("continued") for page in pages)
    assert continued > 0
    assert boards_on_pages(tmp_path / "key.pdf") == 4 + continued
    for page in pages:
        assert page.count("Why") == page.count("continued") + page.count("Write every move")


def test_a_cut_leaves_several_steps_on_either_side(tmp_path: Path) -> None:
    for first in range(1, 16):
        for page in key(tmp_path / "key.pdf", with_plan(first), with_plan(16), with_plan(16)):
            for row in page.split("Why")[1:]:
                assert row.count("this is step") >= min(first, 2)


def test_short_answers_stand_side_by_side_and_twelve_fill_no_more_than_a_page(tmp_path: Path) -> None:
    assert len(key(tmp_path / "key.pdf", *[samples.how_big()] * 12)) == 1


def test_what_a_step_achieved_follows_its_rule_as_words_do(tmp_path: Path) -> None:
    item = samples.smaller_box()
    plan = samples.plan(item.position.fen, 3)
    told = ("A check.", "box 9", "")
    steps = tuple(
        replace(step, achieved=in_words(words)) for step, words in zip(plan.steps, told, strict=True)
    )
    shown = replace(item, solution=replace(item.solution, plan=replace(plan, steps=steps)))
    (page,) = key(tmp_path / "key.pdf", shown)
    assert "make the box smaller. A check." in page
    assert "towards the meeting square: box 9" in page
    assert "give mate if you can Source" in page


def test_each_worksheet_starts_a_page_of_its_own(tmp_path: Path) -> None:
    codes = ("A-1", "B-2", "C-3")
    sheets = [replace(samples.worksheet(1), code=code) for code in codes]
    (tmp_path / "key.pdf").write_bytes(key_pdf(sheets, LETTERS))
    texts = printed.texts(tmp_path / "key.pdf")
    assert len(texts) == 3
    assert all(code in text and "page 1 of 1" in text for code, text in zip(codes, texts, strict=True))


def test_figurines_are_the_default_and_every_font_is_embedded(tmp_path: Path) -> None:
    sheet: Worksheet = samples.worksheet(8)
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], PaperOptions()))
    assert any("\u2655" in text for text in printed.texts(tmp_path / "key.pdf"))
    fonts = printed.fonts(tmp_path / "key.pdf")
    assert any("Figurines" in name for name in fonts)
    assert all(fonts.values())


def test_the_same_key_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        (tmp_path / name).write_bytes(key_pdf([samples.worksheet(8)], PaperOptions()))
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_the_names_of_a_sheet_for_few_stand_by_its_code(tmp_path: Path) -> None:
    sheets = [replace(samples.worksheet(1), code=code) for code in ("A-1", "B-2", "C-3")]
    names = {"A-1": ["Łucja"], "B-2": ["Ada", "Ben"], "D-4": ["Zoë"]}
    (tmp_path / "key.pdf").write_bytes(key_pdf(sheets, LETTERS, names))
    one, two, nobody = printed.texts(tmp_path / "key.pdf")
    assert "Łucja" in one and "Ada" not in one
    assert "Ada, Ben" in two and "Łucja" not in two
    assert not [name for name in ("Łucja", "Ada", "Zoë") if name in nobody]


def test_a_sheet_for_many_has_no_names_on_its_key(tmp_path: Path) -> None:
    sheet = samples.worksheet(1)
    (tmp_path / "many.pdf").write_bytes(
        key_pdf([sheet], LETTERS, {sheet.code: [f"Ada {i}" for i in range(8)]})
    )
    (tmp_path / "none.pdf").write_bytes(key_pdf([sheet], LETTERS))
    assert (tmp_path / "many.pdf").read_bytes() == (tmp_path / "none.pdf").read_bytes()


@pytest.mark.parametrize("size", PaperSize)
def test_long_names_stay_in_their_half_of_the_line(tmp_path: Path, size: PaperSize) -> None:
    sheet = samples.worksheet(1)
    long = "Maximiliane Konstantinopoulou-Wojciechowska of the Tuesdays"
    (tmp_path / "key.pdf").write_bytes(
        key_pdf([sheet], PaperOptions(size), {sheet.code: [f"{long} {i}" for i in range(4)]})
    )
    (pixels,) = printed.pixels(tmp_path / "key.pdf", 72, tmp_path)
    left, _, right, _ = printed.margins_mm(pixels, 72)
    assert min(left, right) >= 13.3


@pytest.mark.parametrize("rule", [say("rule", rule="mate"), say("stage", number=3, stage="mate")])
def test_a_mate_by_the_rule_mate_is_told_once(tmp_path: Path, rule: Saying) -> None:
    item = samples.all_mates()
    plan = samples.plan(item.position.fen, 2)
    mate = replace(plan.steps[-1], rule=rule, achieved=say("mate"), reply="")
    item = replace(item, solution=replace(item.solution, plan=replace(plan, steps=(plan.steps[0], mate))))
    (page,) = key(tmp_path / "key.pdf", item)
    assert f"2 {mate.move} {rule.words} Source" in page
    assert "mate: mate" not in page


def test_the_key_says_why_where_a_reason_is_claimed(tmp_path: Path) -> None:
    item = samples.how_big()
    reason = Verdict(Because.BEFORE_ROOK_PAWN, white=True)
    for after, words in (("", "Why: "), ("e8d8", "After the right move: ")):
        (page,) = key(tmp_path / "key.pdf", replace(item, claims=(*item.claims, ReasonIs(reason, after))))
        assert f"{words}the pawn is on the edge, and Black's king stands in front of it, on its file." in page
    assert "Why: " not in key(tmp_path / "key.pdf", item)[0]


def test_the_longest_reasons_are_printed_whole_and_inside_the_margins(tmp_path: Path) -> None:
    item = samples.how_big()
    items = [replace(item, claims=(ReasonIs(Verdict(because, white=True), "e8d8"),)) for because in Because]
    sheet = replace(samples.worksheet(1), items=tuple(items))
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], LETTERS))
    text = " ".join(" ".join(page.split()) for page in printed.texts(tmp_path / "key.pdf"))
    assert [because for because in Because if why_after_move(Verdict(because, white=True)) not in text] == []
    for pixels in printed.pixels(tmp_path / "key.pdf", 72, tmp_path):
        assert min(printed.margins_mm(pixels, 72)) >= 9
