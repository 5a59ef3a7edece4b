"""`coachbook sheet show`: what stands on a stored sheet, for eyes and for scripts."""

import json
from dataclasses import replace
from datetime import date

import chess
import pytest

from coachbook.club.book import open_book
from coachbook.club.sheets import save_worksheet
from coachbook.model.claims import ReasonIs
from coachbook.model.worksheet import Worksheet
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run, sheet_in
from tests.exercises.samples import USES, sample

KEYS = ["number", "unit", "kind", "fen", "task", "answer", "all_needed", "difficulty", "reason"]


def as_json(code: str) -> list[dict[str, object]]:
    told = json.loads(done("sheet", "show", code, "--json"))
    assert all(list(item) == KEYS for item in told)
    return list(told)


def saved(club: Club, kind: str, man: str = "") -> str:
    """The code of a sheet of this kind, from the first unit that asks for it with this man."""
    use = next(use for use in USES if use.use.kind == kind and man in "".join(use.unit.endings))
    sheet = Worksheet("X-1", "", use.unit.code, "", 1, "", date(2026, 9, 10), 1, sample(use, 4))
    with open_book(club.book).writing() as page:
        save_worksheet(page, sheet, ("Ana",))
    return sheet.code


def test_each_item_is_told_as_it_is_stored(club: Club) -> None:
    sheet = sheet_in(club.book, club.sheet)
    told = as_json(club.sheet)
    assert [item["number"] for item in told] == list(range(1, len(sheet.items) + 1))
    for item, stored in zip(told, sheet.items, strict=True):
        assert (item["unit"], item["kind"], item["fen"]) == (stored.unit, stored.kind, stored.position.fen)
        assert (item["task"], item["difficulty"]) == (stored.task.words, stored.difficulty)
        assert item["answer"] == list(stored.answer.accepted)
        assert str(item["reason"]).startswith(stored.solution.text.words)


def test_on_the_screen_there_is_all_of_it_with_the_board(club: Club) -> None:
    blocks = done("sheet", "show", club.sheet).split("\n\n")
    for block, item in zip(blocks, as_json(club.sheet), strict=True):
        lines = block.splitlines()
        assert lines[0] == f"{item['number']}. {item['task']}"
        squares = [row.split()[1:] for row in lines[1:9]]
        assert squares == [row.split() for row in str(chess.Board(str(item["fen"]))).splitlines()]
        assert lines[9:11] == ["     a b c d e f g h", f"  {item['fen']}"]
        assert lines[11].startswith("  Right: ")
        assert lines[11].endswith(str(item["reason"]))
        assert lines[12:] == [f"  From {item['unit']}: {item['kind']}, difficulty {item['difficulty']}"]


def test_moves_have_the_letters_of_the_club_on_the_screen_and_english_ones_in_json(club: Club) -> None:
    code = saved(club, "every_mate", "Q")
    english = as_json(code)
    moves = [str(move) for item in english for move in item["answer"]]  # type: ignore[attr-defined]
    assert any(move.startswith("Q") for move in moves)
    done("club", "set", "--letters", "KDTLS")
    assert as_json(code) == english
    shown = done("sheet", "show", code)
    assert all(move.replace("Q", "D").replace("R", "T") in shown for move in moves)
    assert not any(move in shown for move in moves if move[0] in "QR")


def test_several_right_answers_say_whether_all_are_asked_for(club: Club) -> None:
    item = sheet_in(club.book, saved(club, "every_mate")).items[-1]
    several = replace(item, answer=replace(item.answer, accepted=("Qb8#", "Qg7#")))
    one_of_them = replace(several, answer=replace(several.answer, all_needed=False))
    none = replace(several, answer=replace(several.answer, accepted=()))
    sheet = Worksheet("X-2", "", "mate-in-one", "", 1, "", date(2026, 9, 10), 1, (several, one_of_them, none))
    with open_book(club.book).writing() as page:
        save_worksheet(page, sheet, ())
    right = [line.split(".")[0] for line in done("sheet", "show", "X-2").splitlines() if "Right:" in line]
    assert right == ["  Right: Qb8#, Qg7#", "  Right: Qb8# or Qg7#", "  Right: none"]
    assert [item["all_needed"] for item in as_json("X-2")] == [True, False, True]


def test_the_reason_of_a_verdict_is_told_where_there_is_one(club: Club) -> None:
    code = saved(club, "win_or_draw", "P")
    told = ["Why: " in str(item["reason"]) for item in as_json(code)]
    items = sheet_in(club.book, code).items
    assert told == [any(isinstance(claim, ReasonIs) for claim in item.claims) for item in items]
    assert any(told)


@pytest.mark.parametrize("options", [(), ("--json",)])
def test_an_unknown_code_is_one_line_and_exit_code_2(club: Club, options: tuple[str, ...]) -> None:
    before = everything_in(club.folder)
    ran = run("sheet", "show", "QB-00000", *options)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("coachbook: There is no sheet 'QB-00000'.")
    assert len(ran.problems) == 1
    assert everything_in(club.folder) == before


def test_a_code_is_read_as_tolerantly_as_elsewhere(club: Club) -> None:
    assert done("sheet", "show", club.sheet.lower().replace("-", " ")) == done("sheet", "show", club.sheet)
