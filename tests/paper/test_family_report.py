import re
from dataclasses import replace
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.print_options import PaperOptions, PaperSize
from coachbook.model.printed import FamilyReport
from coachbook.paper.family_report import family_report_pdf, steps
from tests.paper import printed
from tests.paper.report_samples import AIMS, HOLD, HOME, LONG_NAME, family


def page(path: Path, report: FamilyReport, size: PaperSize = PaperSize.A4) -> str:
    path.write_bytes(family_report_pdf(report, PaperOptions(size)))
    (text,) = printed.texts(path)
    return " ".join(text.split())


def test_the_page_says_what_is_held_refreshed_in_hand_and_next(tmp_path: Path) -> None:
    text = page(tmp_path / "f.pdf", family())
    order = ["Amara can do this now", AIMS[0], AIMS[1], "refreshing", AIMS[2], "working on this", AIMS[4]]
    order += ["comes next", AIMS[6], "Play this together at home"]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_all_of_it_is_in_large_enough_type(tmp_path: Path) -> None:
    page(tmp_path / "f.pdf", family())
    sizes = dict(printed.sized_texts(tmp_path / "f.pdf"))
    assert next(size for text, size in sizes.items() if text.startswith("I can look")) >= 12


def test_nobody_is_guessed_to_be_a_he_or_a_she_and_nothing_is_a_percentage(tmp_path: Path) -> None:
    # The aims call the lone king "he"; none of ours may.
    text = page(tmp_path / "f.pdf", replace(family(), can=(), fading=(), working=(), next_up=()))
    assert not re.search(r"\b(he|she|his|her|him|hers)\b", text, re.IGNORECASE)
    assert "%" not in text


def test_the_foot_says_what_is_kept_and_what_comes_first(tmp_path: Path) -> None:
    text = page(tmp_path / "f.pdf", family())
    assert "names, groups, attendance, answers" in text
    assert "safeguarding rules always come first" in text


@pytest.mark.parametrize("evenings", [(0, ""), (1, "on one evening."), (9, "on 9 evenings.")])
def test_evenings_are_counted_in_words(tmp_path: Path, evenings: tuple[int, str]) -> None:
    count, told = evenings
    text = page(tmp_path / "f.pdf", replace(family(), evenings=count))
    assert told in text
    assert ("was there" in text) is (count > 0)


def test_without_a_position_there_is_still_a_way_to_help(tmp_path: Path) -> None:
    text = page(tmp_path / "f.pdf", family(home=None))
    assert "Ask Amara to show you something from the first list" in text
    assert "Play this together" not in text


def test_a_beginner_has_nothing_to_be_ashamed_of(tmp_path: Path) -> None:
    text = page(tmp_path / "f.pdf", replace(family(aims=0, home=None), fading=(), working=(), evenings=0))
    assert "Nothing is on this list yet." in text
    assert "what we did on the last evening" in text
    assert "refreshing" not in text


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("home", [HOME, HOLD, None])
def test_long_lists_are_cut_to_one_page_and_the_rest_is_counted(
    tmp_path: Path, size: PaperSize, home: PlayOutCard | None
) -> None:
    long = tuple(f"{i}. {AIMS[i % 9]}" for i in range(27))
    report = FamilyReport("Club " * 12, LONG_NAME, family().on, 9, long, long[:9], long[:9], long[:9], None)
    text = page(tmp_path / "f.pdf", replace(report, at_home=home), size)
    shown = [len(re.findall(r"\b\d+\. I can", part)) for part in re.split("refreshing|working on|next", text)]
    left_out = [int(count) for count in re.findall(r"and (\d+) more", text)]
    assert sum(shown) + sum(left_out) == 27 + 9 + 9 + 9
    assert min(shown) >= 1


def test_what_no_cut_makes_fit_is_refused_in_one_line() -> None:
    endless = ("I can talk and talk. " * 300,)
    with pytest.raises(CoachbookError, match="does not fit on a page"):
        family_report_pdf(replace(family(), can=endless), PaperOptions())


def test_a_family_that_reads_no_diagrams_can_set_it_up() -> None:
    assert steps(HOME, "Amara")[0] == "Set it up. White: king a1, queen g4. Black: king d6."
    assert steps(HOLD, "Amara")[0] == "Set it up. White: king d4, pawn e4. Black: king d6."


def test_sides_first_move_and_goal_are_told() -> None:
    _, sides, goal, _ = steps(HOME, "Amara")
    assert sides == "Amara has White, you have Black. White moves first."
    assert "Amara tries to checkmate your king in at most 16 moves" in goal
    assert "checkmate when your king is attacked and no move of yours can save it" in goal
    assert "pawn" not in goal
    _, sides, goal, _ = steps(HOLD, "Amara")
    assert sides == "Amara has Black, you have White. Black moves first."
    assert "Amara tries to hold out for 20 moves" in goal
    assert "becomes a queen" in goal
