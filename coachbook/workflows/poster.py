"""A poster for the wall: a method's rules, two boards with the move that they say, and the proof."""

from pathlib import Path

import chess

from coachbook.method.border import choose, fits
from coachbook.method.plan import find_length
from coachbook.method.rules import Method
from coachbook.method.sides import Aim
from coachbook.model.marks import Arrow, Marks
from coachbook.model.position import Position
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
    """The demonstration of the first unit that teaches the method, and the position with the longest way
    of all that are proven; of a method that holds a draw, where there is no such length, one more.

    Each with a move of the method as an arrow, and the most moves that the method takes from there.
    Without a unit or a proof there is no such board, nor is one shown from which the method is not proven.
    """
    unit = next((unit for unit in syllabus.units if unit.method == method.name), None)
    first = _captioned("To begin with", chess.Board(unit.demonstration), None, method) if unit else None
    return tuple(board for board in (first, _hardest(method)) if board is not None)


def _hardest(method: Method) -> CaptionedBoard | None:
    """Where the longest line of the proofs begins, with its first move."""
    proofs = shipped_proofs(method.name)
    if not proofs:
        return None
    proof = max(proofs, key=lambda each: each.longest)
    told = "The hardest of all" if all(each.is_complete for each in proofs) else "The hardest that is proven"
    told = "Another one" if method.aim is Aim.DRAW else told
    move = chess.Move.from_uci(proof.hardest.moves[0])
    return _captioned(told, chess.Board(proof.hardest.fen), move, method)


def _captioned(
    told: str, board: chess.Board, move: chess.Move | None, method: Method
) -> CaptionedBoard | None:
    """The board with a move of the method (the first by name, if none is given) and what it comes to.

    None where the method is not proven from there.
    """
    most = find_length(board, method) if fits(board, method) else None
    if most is None:
        return None
    chosen = choose(board, method)
    shown = move or chosen.moves[0]
    rule = chosen.rule.name if chosen.rule else ""
    moves = "1 move" if most == 1 else f"{most} moves"
    outcome = "it is a draw" if method.aim is Aim.DRAW else f"{method.aim} in at most {moves}"
    marks = Marks(arrows=(Arrow(shown.from_square, shown.to_square),))
    return Position(board.fen()), marks, f"{told}: {board.san(shown)}, {rule}. By these rules {outcome}."
