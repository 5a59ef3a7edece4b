"""A poster for the wall: a method's rules, two boards with the move that they say, and the proof."""

from pathlib import Path

import chess

from coachbook.method.border import fits
from coachbook.method.plan import find_length, written_plan
from coachbook.method.rules import Method
from coachbook.method.sides import Aim
from coachbook.model.marks import Arrow, Marks
from coachbook.model.syllabus import Syllabus
from coachbook.paper.boards import CaptionedBoard
from coachbook.paper.options import PaperOptions
from coachbook.paper.poster import write_poster
from coachbook.workflows.lesson import rules_in_words
from coachbook.workflows.papers import make_folder
from coachbook.workflows.proving import method_named, proof_line, shipped_proofs


def make_poster(syllabus: Syllabus, name: str, folder: Path, options: PaperOptions) -> Path:
    """Print the poster of the method with this name. Raises CoachbookError."""
    method = method_named(name)
    path = folder / f"poster-{method.name}.pdf"
    rules = rules_in_words(method)
    make_folder(folder)
    write_poster(
        method.title,
        method.summary,
        rules,
        poster_boards(syllabus, method),
        proof_line(name),
        path,
        options,
    )
    return path


def poster_boards(syllabus: Syllabus, method: Method) -> tuple[CaptionedBoard, ...]:
    """The demonstration of the first unit that teaches the method, and the hardest position of all.

    Each with the method's move as an arrow. Without a unit or a proof there is no such board, nor
    is one shown from which the method is not proven.
    """
    starts = [(unit.demonstration, "To begin with") for unit in syllabus.units if unit.method == method.name][
        :1
    ]
    starts += [(proof.hardest.fen, "The hardest of all") for proof in shipped_proofs(method.name)][:1]
    boards = [(chess.Board(fen), told) for fen, told in starts]
    return tuple(
        _captioned(board, told, method)
        for board, told in boards
        if fits(board, method) and find_length(board, method) is not None
    )


def _captioned(board: chess.Board, told: str, method: Method) -> CaptionedBoard:
    plan = written_plan(board, method)
    step = plan.steps[0]
    move = board.parse_san(step.move)
    marks = Marks(arrows=(Arrow(move.from_square, move.to_square),))
    moves = "1 move" if len(plan.steps) == 1 else f"{len(plan.steps)} moves"
    outcome = "it is a draw" if method.aim is Aim.DRAW else f"{moves} to the goal"
    return plan.start, marks, f"{told}: {step.move}, {step.rule}. By these rules {outcome}."
