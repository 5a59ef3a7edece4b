"""The poster of a method: its rules in large type, and for each a marked board."""

from functools import cache
from pathlib import Path

import chess
import numpy as np

from coachbook.method.border import choose, fits, move_of, to_board
from coachbook.method.graph import explore
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.moves import Aim, Side
from coachbook.method.pawn_sights import PICTURES as PAWN_PICTURES
from coachbook.method.positions import Positions
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import canonical, decode, is_set_up
from coachbook.method.teaching_order import method_names
from coachbook.method.written_plan import find_length
from coachbook.model.position import Arrow, Marks, Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Syllabus
from coachbook.paper.flow import CaptionedBoard
from coachbook.paper.poster import Picture, poster_pdf
from coachbook.wording.counting import capitalised
from coachbook.wording.definitions import PICTURE_LETTERS, PICTURES
from coachbook.workflows.endings import method_named, poster_line, shipped_proofs
from coachbook.workflows.method_marks import lesson_marks
from coachbook.workflows.papers import put_in_folder
from coachbook.workflows.unit_papers import rules_in_words

_LOOKED_AT = 20_000
"""Positions, evenly spread, among which one is looked for in which a rule decides."""
_FOLLOWED = 4
"""Of these, as many are followed to where other rules decide."""


def posters_known() -> tuple[tuple[str, str], ...]:
    """The methods that have a poster, by name and title, in the order in which they are taught."""
    return tuple((name, method_named(name).title) for name in method_names())


def make_poster(syllabus: Syllabus, name: str, folder: Path, options: PaperOptions) -> Path:
    """Print the poster of the method with this name. Raises CoachbookError if there is none, its rules do not
    fit on a page, or the file cannot be written."""
    method = method_named(name)
    path = folder / f"poster-{method.name}.pdf"
    boards, pictures = poster_boards(syllabus, method), (*rule_pictures(method), *aim_pictures(method))
    put_in_folder(
        path,
        poster_pdf(method.title, rules_in_words(method), boards, pictures, poster_line(name), options),
    )
    return path


def rule_pictures(method: Method) -> tuple[Picture, ...]:
    """Each rule with a board on which it decides, one of its moves, and what it is about marked. A rule that
    decides too seldom to be met has none."""
    positions = _some_positions(method)
    deciding = choose_all(method, positions).rule
    found = []
    for told in rules_in_words(method):
        rule = method.told[told.number - 1]
        rows = np.flatnonzero(deciding == method.rules.index(rule)) if rule in method.rules else ()
        if len(rows):
            board = _picture(method, positions, int(rows[len(rows) // 2]))
            found.append(Picture(f"{told.number}", told.head, told.words, board))
    return tuple(found)


def aim_pictures(method: Method) -> tuple[Picture, ...]:
    """What a pawn's rules call pictures, each on a board, the lone king to move; none of another method."""
    if method is not KING_AND_PAWN:
        return ()
    moves = choose_all(method, _some_starts(method)).moves
    found = []
    for code, picture in PAWN_PICTURES:
        rows = np.flatnonzero(moves.after.see(picture))
        after = moves.after.take(rows[len(rows) // 2, None])
        board = Position(to_board(after, 0, attacker_moves=False).fen())
        captioned = (board, lesson_marks(method, after), "He is to move. The pawn gets through.")
        found.append(Picture(PICTURE_LETTERS[code], "", capitalised(PICTURES[code]), captioned))
    return tuple(found)


@cache
def _some_positions(method: Method) -> Positions:
    """The same as `_some_starts`; where a rule decides in none of them, what comes up from a few."""
    starts = _some_starts(method)
    if set(range(len(method.rules))) <= set(choose_all(method, starts).rule.tolist()):
        return starts
    some = canonical(starts)[:: -(-len(starts) // _FOLLOWED)]
    reached = decode(starts.pieces, explore(method, starts.pieces, some).codes)
    return reached.take(is_set_up(reached))


def _some_starts(method: Method) -> Positions:
    """Positions of the method's first ending, evenly spread."""
    codes = method.starts(method.endings[0])
    return decode(method.endings[0], codes[:: -(-len(codes) // _LOOKED_AT)])


def _picture(method: Method, positions: Positions, row: int) -> CaptionedBoard:
    before = positions.take(np.array([row]))
    moves = choose_all(method, before).moves.take(np.array([0]))
    board = to_board(before, 0, attacker_moves=method.plays is Side.ATTACKER)
    move = move_of(moves, before, 0, chess.WHITE)
    told = "" if moves.after.see(method.goal)[0] else method.tell(before, moves.after).words
    caption = f"{board.san(move)}: {told}." if told else f"{board.san(move)}."
    marks = lesson_marks(method, moves.after)
    arrows = (Arrow(move.from_square, move.to_square),)
    return Position(board.fen()), Marks(marks.shaded, marks.outlined, arrows), caption


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
    caption = (
        "The hardest of all" if all(each.is_complete for each in proofs) else "The hardest that is proven"
    )
    caption = "Another one" if method.aim is Aim.DRAW else caption
    move = chess.Move.from_uci(proof.hardest.moves[0])
    return _captioned(caption, chess.Board(proof.hardest.fen), move, method)


def _captioned(
    caption: str, board: chess.Board, move: chess.Move | None, method: Method
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
    return Position(board.fen()), marks, f"{caption}: {board.san(shown)}, {rule}. By these rules {outcome}."
