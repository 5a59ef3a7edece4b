"""The page of a play-out: praise first, one page however long the game."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import chess
import pytest
from pypdf import PdfReader

from coachbook.model.facts import PlayOutEnd
from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
from coachbook.model.position import Arrow, ArrowStyle, Position
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.model.syllabus import Goal
from coachbook.paper.judged_play_out import play_out_blocks, play_out_pdf, result_in_words
from coachbook.paper.page import MM
from tests.paper import printed

LETTERS = PaperOptions(notation=Notation.LETTERS)
START = Position("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1")
LONG_NAME = "Maximiliane Konstantinopoulou-Wojciechowska of the Tuesdays"


def arrow_of(move: str, style: ArrowStyle = ArrowStyle.ANSWER) -> Arrow:
    return Arrow(chess.parse_square(move[:2]), chess.parse_square(move[2:]), style)


def moved(
    number: int, san: str, told: str, better: str = "", arrow: str = "c1c5", played: str = ""
) -> PlayedMove:
    own = arrow_of(played, ArrowStyle.PLAYED) if played else None
    return PlayedMove(number, san, START, told, better, arrow_of(arrow), own)


def line(moves: int) -> str:
    return " ".join(f"{number}. Qd{number % 8 + 1}+ Ke{number % 8 + 1}" for number in range(1, moves + 1))


FULL = JudgedPlayOut(
    start=START,
    goal=Goal.WIN,
    allowance=16,
    optimum=7,
    end=PlayOutEnd.MATE,
    used=14,
    line=line(14),
    moves=("c1c5",) * 27,
    slip="piece lost",
    first_slip=moved(8, "Qd4+", "Black can take the queen.", "Kb2"),
    off_method=tuple(
        moved(number, "Kb1", "the rule “bring the king” says Kb2", "Kb2", "a1b2", "a1b1")
        for number in range(3, 9)
    ),
    praise=moved(9, "Qg5", "Of 21 moves, only this one keeps the win."),
    method_title="The queen's box",
)
BARE = replace(
    FULL,
    used=0,
    line="",
    moves=(),
    end=PlayOutEnd.UNFINISHED,
    slip="",
    first_slip=None,
    off_method=(),
    praise=None,
)


def page(
    path: Path,
    judged: JudgedPlayOut,
    options: PaperOptions = LETTERS,
    student: str = "Ada",
    reached: int = 0,
) -> str:
    """The text of the one page."""
    club, unit = "Lindenhof Chess Club", "The queen's box"
    path.write_bytes(play_out_pdf(judged, student, club, unit, date(2025, 1, 14), options, reached))
    (text,) = printed.texts(path)
    return " ".join(text.split())


def boards(path: Path) -> int:
    return sum(count for name, count in printed.uses_of_forms(path).items() if name.startswith("board-"))


def dashes(path: Path) -> int:
    """How often the page changes to a dashed line."""
    content = PdfReader(path).pages[0].get_contents()
    assert content is not None
    return len(re.findall(rb"\[[0-9. ]+\] 0 d\b", content.get_data()))


def test_a_page_tells_who_what_and_how_and_praises_first(tmp_path: Path) -> None:
    text = page(tmp_path / "p.pdf", FULL)
    told = [
        "Lindenhof Chess Club",
        "Tue 14 Jan 2025",
        "The queen's box",
        "Ada",
        "You played White: mate within 16 moves.",
        "Mate in 14 moves. Goal reached!",
        "14your moves",
        "16allowed",
        "7best possible",
        "Well done",
        "Move 9: you played Qg5",
        "Of 21 moves, only this one keeps the win.",
        "First slip",
        "Move 8: you played Qd4+",
        "Black can take the queen. Better: Kb2.",
        "Move 3: you played Kb1. The rule says Kb2.",
        "The rule “bring the king” says Kb2.",
        "Also not by the rule",
        "Move 4, Kb1. The rule “bring the king” says Kb2.",
        "Move 5, Kb1.",
        "And 2 more moves.",
        "The game",
        "1.Qd2+ Ke2 2.Qd3+",
    ]
    assert [words for words in told if words not in text] == []
    assert text.index("Well done") < text.index("First slip") < text.index("The rule says")
    assert boards(tmp_path / "p.pdf") == 1 + 3


@pytest.mark.parametrize(
    ("missing", "words", "left"),
    [
        ({"praise": None}, "Well done", 3),
        ({"first_slip": None, "slip": ""}, "First slip", 3),
        ({"off_method": ()}, "rule", 3),
        ({"line": ""}, "The game", 4),
        ({"optimum": None}, "best possible", 4),
    ],
)
def test_what_is_missing_is_left_out(
    tmp_path: Path, missing: dict[str, object], words: str, left: int
) -> None:
    judged = replace(FULL, **missing)  # type: ignore[arg-type] # each is of its field's type
    assert words not in page(tmp_path / "p.pdf", judged)
    assert boards(tmp_path / "p.pdf") == left


def test_a_game_of_which_there_is_nothing_to_tell_is_still_a_page(tmp_path: Path) -> None:
    text = page(tmp_path / "p.pdf", BARE)
    assert "Not finished." in text
    assert boards(tmp_path / "p.pdf") == 1


def test_a_slow_move_is_no_slip_and_the_rule_is_not_held_against_a_quick_one(tmp_path: Path) -> None:
    quick = moved(2, "Qc5", "as quick as any move; the rule “bring the king” says Kb2")
    text = page(tmp_path / "p.pdf", replace(FULL, slip="", off_method=(quick,)))
    assert "There was a quicker way" in text
    assert "slip" not in text
    assert "rule" not in text


@pytest.mark.parametrize(
    ("end", "goal", "used", "words"),
    [
        (PlayOutEnd.MATE, Goal.WIN, 1, "Mate in 1 move. Goal reached!"),
        (PlayOutEnd.MATE, Goal.WIN, 16, "Mate in 16 moves. Goal reached!"),
        (PlayOutEnd.MATE, Goal.WIN, 19, "Mate in 19 moves, 3 more than allowed."),
        (PlayOutEnd.MATE, Goal.DRAW, 19, "Mate in 19 moves. Goal reached!"),
        (PlayOutEnd.STALEMATE, Goal.WIN, 9, "Stalemate: a draw."),
        (PlayOutEnd.STALEMATE, Goal.DRAW, 9, "Stalemate: a draw. Goal reached!"),
        (PlayOutEnd.HELD, Goal.DRAW, 9, "The draw is held. Goal reached!"),
        (PlayOutEnd.DRAW, Goal.WIN, 9, "A draw."),
        (PlayOutEnd.LOST, Goal.DRAW, 9, "The coach won."),
        (PlayOutEnd.GAVE_UP, Goal.WIN, 9, "Given up."),
    ],
)
def test_the_result_is_told_in_words(end: PlayOutEnd, goal: Goal, used: int, words: str) -> None:
    assert result_in_words(replace(FULL, end=end, goal=goal, used=used)) == words


def test_who_holds_a_draw_is_told_for_how_long(tmp_path: Path) -> None:
    judged = replace(
        FULL,
        start=Position("8/8/8/8/P4k2/8/8/7K b - - 0 1"),
        goal=Goal.DRAW,
        optimum=None,
        end=PlayOutEnd.HELD,
        line="1...Ke5 2. a5",
    )
    text = page(tmp_path / "p.pdf", judged)
    assert "You played Black: hold the draw for 16 moves." in text
    assert "16moves to hold" in text
    assert "1...Ke5 2.a5" in text


@pytest.mark.parametrize("size", PaperSize)
@pytest.mark.parametrize("notation", Notation)
@pytest.mark.parametrize("moves", [60, 400])
def test_it_is_one_page_within_its_margins_however_long_the_game(
    tmp_path: Path, size: PaperSize, notation: Notation, moves: int
) -> None:
    wordy = tuple(replace(move, comment=f"{move.comment}, and so on and on" * 3) for move in FULL.off_method)
    judged = replace(FULL, line=line(moves), off_method=wordy)
    text = page(tmp_path / "p.pdf", judged, PaperOptions(size, notation), LONG_NAME)
    assert (f"{moves}." in text) == (moves == 60)
    assert ("..." in text) == (moves == 400)
    dpi = 72
    (pixels,) = printed.pixels(tmp_path / "p.pdf", dpi, tmp_path)
    left, top, right, bottom = printed.margins_mm(pixels, dpi)
    assert min(left, right) >= 13.3
    assert min(top, bottom) >= 10.3


@pytest.mark.parametrize("moves", range(0, 420, 35))
@pytest.mark.parametrize("height", [235.0, 250.0])
def test_the_blocks_are_no_higher_than_the_page(moves: int, height: float) -> None:
    blocks = play_out_blocks(replace(FULL, line=line(moves)), "Ada", 182 * MM, height * MM, "KQRBN")
    assert sum(block.height for block in blocks) <= height * MM


def test_moves_are_in_figurines_or_in_the_letters_of_the_club(tmp_path: Path) -> None:
    assert "1.\N{WHITE CHESS QUEEN}d2+" in page(tmp_path / "f.pdf", FULL, PaperOptions())
    swedish = page(tmp_path / "l.pdf", FULL, replace(LETTERS, letters="KDTLS"))
    assert "1.Dd2+" in swedish
    assert "Move 8: you played Dd4+" in swedish


def test_a_name_is_printed_in_its_script_with_all_fonts_in_the_file(tmp_path: Path) -> None:
    assert "Καλλιόπη Łucja" in page(tmp_path / "p.pdf", FULL, student="Καλλιόπη Łucja")
    assert all(printed.fonts(tmp_path / "p.pdf").values())


def test_the_same_game_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        page(tmp_path / name, FULL)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_beside_the_better_move_the_one_that_was_played_is_drawn_and_said_to_be(tmp_path: Path) -> None:
    both = replace(FULL, praise=None, first_slip=None, slip="", off_method=FULL.off_method[:1])
    one = replace(both, off_method=(replace(both.off_method[0], played=None),))
    told = "Two arrows: the black one is the better move, the dashed one is yours."
    assert told in page(tmp_path / "both.pdf", both)
    assert told not in page(tmp_path / "one.pdf", one)
    assert dashes(tmp_path / "both.pdf") == dashes(tmp_path / "one.pdf") + 1


@pytest.mark.parametrize(
    ("used", "optimum", "slip", "reached", "words"),
    [
        (9, 9, "", 1, "Nobody can mate faster from there. This is the first time"),
        (12, 9, "", 10, "You never let the win go. You have reached such goals 10 times now."),
        (
            14,
            9,
            "win thrown away",
            2,
            "There was a slip on the way, and you still won. You have reached such goals twice",
        ),
    ],
)
def test_a_perfect_game_is_praised_otherwise_than_a_middling_one_and_a_first_than_a_tenth(
    used: int, optimum: int, slip: str, reached: int, words: str, tmp_path: Path
) -> None:
    game = replace(FULL, used=used, optimum=optimum, slip=slip)
    assert words in page(tmp_path / "p.pdf", game, reached=reached)
    too_slow = page(tmp_path / "p.pdf", replace(game, used=17), reached=reached)
    assert "such" not in too_slow
