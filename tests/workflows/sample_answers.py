"""Writes sample_club/answers.csv anew, when the demo's sheets have changed: run it as a module.

Most answers are right; some students are given more wrong ones than others.
"""

import csv
import shutil
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from coachbook.club.book import open_book
from coachbook.club.sheets import load_worksheet, prepared_for
from coachbook.club.students import list_groups
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Exercise
from coachbook.wording.exercises import accepted_words
from coachbook.workflows.demo import play_first_evening
from coachbook.workflows.standings import load_syllabus

SAMPLE = Path(__file__).parents[2] / "sample_club"
OTHER = {"mate": "stalemate", "stalemate": "neither", "neither": "mate"}
WRONG, OFTEN_WRONG = 0.08, {"Łucja": 0.8, "Siân": 0.6, "Wanjiru": 0.4}


def main() -> None:
    with TemporaryDirectory() as place:
        club, out = Path(place, "club"), Path(place, "out")
        shutil.copytree(SAMPLE, club)
        (club / "answers.csv").write_text("student,item,answer\nAmara,1,mate\n", encoding="utf-8")
        now, options = datetime.now(UTC), PaperOptions()
        evening = play_first_evening(
            club, out, load_syllabus(), now, options, lambda _: None, lambda _: "Close it."
        )
        there = {mark.student for mark in evening.attendance.attendance if mark.present}
        with open_book(out / "club.book").reading() as page:
            sheets = {
                name: load_worksheet(page, kept.sheet)
                for group in list_groups(page)
                for name, kept in prepared_for(page, group.name, evening.on).items()
                if name in there
            }
    chance = Random(7)  # noqa: S311
    with (SAMPLE / "answers.csv").open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(("student", "item", "answer"))
        for name, sheet in sheets.items():
            for number, item in enumerate(sheet.items, start=1):
                is_wrong = chance.random() < OFTEN_WRONG.get(name, WRONG)
                table.writerow((name, number, answer_to(item, is_wrong=is_wrong)))


def answer_to(item: Exercise, *, is_wrong: bool) -> str:
    """The right answer, or one that is likely to be wrong: another word, one square too few, or another
    square of the same file."""
    right = accepted_words(item.answer)
    if not is_wrong:
        return ", ".join(right) or "none"
    if len(right) != 1:
        return ", ".join(right[:-1]) or "e4"
    if right[0] in OTHER:
        return OTHER[right[0]]
    return right[0][:-1] + ("3" if right[0][-1] != "3" else "4")


if __name__ == "__main__":
    main()
