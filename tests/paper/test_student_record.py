from dataclasses import replace
from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import StudentRecord
from coachbook.paper.student_record import evidence, play_out_in_words, student_record_pdf
from tests.paper import printed
from tests.paper.report_samples import LONG_NAME, empty_record, record


def pages(path: Path, value: StudentRecord) -> list[str]:
    path.write_bytes(student_record_pdf(value, PaperOptions()))
    return [" ".join(text.split()) for text in printed.texts(path)]


def test_the_first_lines_say_what_it_is_of_when_and_what_is_not_in_it(tmp_path: Path) -> None:
    text = pages(tmp_path / "r.pdf", record())[0]
    assert "This is what coachbook holds under the name Мирослава on Thu 10 Dec 2026, with notes" in text
    assert "exported files and copies elsewhere are not in it" in text


def test_every_fact_of_the_student_is_on_it(tmp_path: Path) -> None:
    value = record(answers=40)
    text = " ".join(pages(tmp_path / "r.pdf", value))
    for words in (
        "There on 12 evenings. 2026: Thu 10 Sept, Thu 17 Sept, Thu 24 Sept, Thu 8 Oct",
        "Not there on 2 evenings. 2026: Thu 1 Oct, Thu 12 Nov.",
        "Two big pieces secure 3 evenings, 12 of 18 answers right; recall 86 in 100 Sat 19 Dec 2026",
        "New: Make the box smaller,",
        "Thu 10 Sept 2026 MOS-77AG0 4 Is the game over? stalemate wrong: missed mate",
        "Thu 10 Sept 2026 MOS-77AG0 3 Is the game over? (blank) wrong: not tried",
        "Mate in 12 moves (16 allowed).",
        "Can do it. Explained the box at the board.",
        "Played fast.",
    ):
        assert words in text
    assert all(sheet.code in text for sheet in value.sheets)


def test_other_students_of_a_sheet_are_not_named(tmp_path: Path) -> None:
    value = record()
    assert "Somebody Else" in value.sheets[0].students
    assert "Somebody Else" not in " ".join(pages(tmp_path / "r.pdf", value))


def test_hundreds_of_answers_each_have_a_row_and_each_page_its_heads(tmp_path: Path) -> None:
    found = pages(tmp_path / "r.pdf", record(LONG_NAME, 600))
    assert sum(text.count("MOS-77AG") for text in found) == 600 + 5
    continued = [text for text in found if "Answers, continued" in text]
    assert len(continued) > 5
    assert all("Date Sheet Item Unit Written Marked" in text for text in continued)
    assert f"page {len(found)} of {len(found)}" in found[-1]


def test_of_what_there_is_none_it_says_so(tmp_path: Path) -> None:
    (text,) = pages(tmp_path / "r.pdf", empty_record())
    assert text.count("None.") == 10


def test_days_of_two_years_are_told_apart(tmp_path: Path) -> None:
    value = record()
    later = replace(value.attendance[0], on=value.on.replace(year=2027, month=1, day=7))
    text = pages(tmp_path / "r.pdf", replace(value, attendance=(*value.attendance, later)))[0]
    assert "Thu 10 Dec. 2027: Thu 7 Jan." in text


def test_evidence_is_in_words() -> None:
    told = {unit.unit: evidence(unit) for unit in record().progress if unit.evenings}
    assert told["mate-in-one"] == "2 evenings, 8 of 12 answers right; recall 86 in 100"
    assert told["queen-walls"] == (
        "1 evening, 4 of 6 answers right; recall 50 in 100 (little to go by); still missing:"
        " one more good evening (1 of 2; 5 items or more, 80% right)"
    )


def test_a_play_out_tells_its_end_its_slip_and_its_moves() -> None:
    won, stalemate = record().play_outs
    assert play_out_in_words(won).startswith("Mate in 12 moves (16 allowed). Card PLAY-QUEEN-BOX-2. To win")
    assert "Moves: g4e4 d6c5" in play_out_in_words(won)
    assert play_out_in_words(stalemate).startswith("Stalemate. First slip: stalemated once.")
