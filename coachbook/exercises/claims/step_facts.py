"""The facts of one move of a plan (what it takes, checks, guards, and what comes back), and the fact
`lure`: a tempting wrong move, what comes back, what that does and who wins then. All on boards.
"""

from collections.abc import Callable

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import FactCheck, Scene, just, read_exactly
from coachbook.exercises.claims.move_claims import MOVE_FACTS
from coachbook.model.worksheet import NOTHING, Fact, PlanStep


def _taken(scene: Scene) -> str | None:
    man = scene.board.piece_type_at(scene.move.to_square) if scene.move else None
    return chess.piece_name(man) if man else None


def _becomes(scene: Scene) -> str | None:
    man = scene.move.promotion if scene.move else None
    return chess.piece_name(man) if man else None


def _moves_a(man: chess.PieceType) -> Callable[[Scene], bool]:
    return lambda scene: scene.move is not None and scene.board.piece_type_at(scene.move.from_square) == man


_by_king, _by_pawn = _moves_a(chess.KING), _moves_a(chess.PAWN)


def _stands_in_the_way(scene: Scene) -> bool:
    """Whether the king that moved stands ahead of a pawn of the other side."""
    mover = scene.board.turn
    king = scene.after.king(mover) or 0
    ahead = [
        king - pawn if mover == chess.BLACK else pawn - king
        for pawn in scene.after.pieces(chess.PAWN, not mover)
    ]
    return _by_king(scene) and any(steps > 0 and steps % 8 == 0 for steps in ahead)


def _comes_to_pawn_of(scene: Scene, side: chess.Color) -> bool:
    """Whether the king that moved stands beside a pawn of this side, and did not before."""
    was, now = (board.king(scene.board.turn) or 0 for board in (scene.board, scene.after))
    pawns = scene.after.pieces(chess.PAWN, side)
    near = [
        pawn for pawn in pawns if chess.square_distance(now, pawn) == 1 != chess.square_distance(was, pawn)
    ]
    return _by_king(scene) and bool(near)


def _checkers(scene: Scene) -> tuple[str, ...]:
    men = [scene.after.piece_type_at(square) for square in scene.after.checkers()]
    return tuple(chess.piece_name(man) for man in men if man)


def _guarded(scene: Scene) -> tuple[str, ...]:
    """The squares around the mated king that the mover's king alone guards."""
    after, mover = scene.after.copy(stack=False), scene.board.turn
    lone, king = after.king(not mover) or 0, after.king(mover)
    after.remove_piece_at(lone)
    beside = (square for square in chess.SQUARES if chess.square_distance(square, lone) == 1)
    return tuple(
        chess.square_name(square) for square in beside if {*after.attackers(mover, square)} == {king}
    )


STEP_FACTS: dict[str, FactCheck] = {
    "mate": just(lambda scene: scene.after.is_checkmate()),
    "stalemate": just(lambda scene: scene.after.is_stalemate()),
    "takes": just(_taken),
    "becomes": just(_becomes),
    "gives_check": just(lambda scene: scene.after.is_check()),
    "in_the_way": just(_stands_in_the_way),
    "goes_for_pawn": just(lambda scene: _comes_to_pawn_of(scene, not scene.board.turn)),
    "guards_pawn": just(lambda scene: _comes_to_pawn_of(scene, scene.board.turn)),
    "pawn_goes_on": just(_by_pawn),
    "checkers": just(_checkers),
    "guarded": just(_guarded),
    "reply": just(lambda scene: (scene.step.reply or None) if scene.step else None),
    "replies": just(lambda scene: scene.after.legal_moves.count()),
}

_PARTS = 4
_DONE = {**STEP_FACTS, "faces": MOVE_FACTS["faces"]}
"""What a reply may be said to do, each with its check."""


def _is_lure(scene: Scene, fact: Fact) -> bool:
    """Whether the move spoils the result, tempts as no other that does, and is met as it is said."""
    if not isinstance(fact, tuple) or len(fact) != _PARTS:
        return False
    san, reply, does, winner = fact
    board = scene.board
    move = read_exactly(board, san)
    if move is None or move != _most_tempting(board):
        return False
    after = after_move(board, move)
    if does in ("stalemate", "bare") and not reply:
        ended = after.is_stalemate() if does == "stalemate" else _is_bare(after)
        return ended and winner == "draw"
    answer = read_exactly(after, reply)
    if answer is None or winner not in (_winner(after), _winner(after_move(after, answer))):
        return False
    met = Scene(scene.exercise, scene.claim, after, PlanStep(reply, NOTHING, NOTHING))
    return _winner(after) == _winner(after_move(after, answer)) and (not does or _is_done(met, does))


def _is_done(met: Scene, does: str) -> bool:
    """Whether the reply does what a code says, such as "takes rook" or "gives_check"."""
    name, _, man = does.partition(" ")
    return name in _DONE and _DONE[name](met, man or True)


def _most_tempting(board: chess.Board) -> chess.Move | None:
    """Of the moves that spoil the result: one that takes, else a check, else a pawn's move, else a step of
    the king up the board, else any; the first by name. None of those that nobody would make."""
    before = probe(board).result
    moves = [move for move in board.legal_moves if not _is_thoughtless(board, move)]
    spoiling = [move for move in moves if -probe(after_move(board, move)).result != before]
    for tempts in (_takes, _checks, _pushes, _steps_up, _is_any):
        tempting = [move for move in spoiling if tempts(board, move)]
        if tempting:
            return min(tempting, key=board.san)
    return None


def _is_thoughtless(board: chess.Board, move: chess.Move) -> bool:
    """It makes a rook, bishop or knight, or puts a piece, no pawn, where it can be taken for nothing."""
    pawn = move.from_square in board.pieces(chess.PAWN, board.turn)
    if pawn or _takes(board, move):
        return move.promotion in (chess.ROOK, chess.BISHOP, chess.KNIGHT)
    return move.to_square in [reply.to_square for reply in after_move(board, move).legal_moves]


def _takes(board: chess.Board, move: chess.Move) -> bool:
    return len(after_move(board, move).piece_map()) < len(board.piece_map())


def _checks(board: chess.Board, move: chess.Move) -> bool:
    return after_move(board, move).is_check()


def _pushes(board: chess.Board, move: chess.Move) -> bool:
    return move.from_square in board.pieces(chess.PAWN, board.turn)


def _steps_up(board: chess.Board, move: chess.Move) -> bool:
    before, after = move.from_square // 8, move.to_square // 8
    return move.from_square == board.king(board.turn) and (after > before if board.turn else after < before)


def _is_any(_board: chess.Board, _move: chess.Move) -> bool:
    return True


def _is_bare(board: chess.Board) -> bool:
    """Kings alone, or with one knight, or with bishops on squares of one colour."""
    others = {at: man.piece_type for at, man in board.piece_map().items() if man.piece_type != chess.KING}
    if {*others.values()} <= {chess.BISHOP}:
        return len({sum(divmod(square, 8)) % 2 for square in others}) <= 1
    return [*others.values()] == [chess.KNIGHT]


def _winner(board: chess.Board) -> str:
    result = probe(board).result
    if result is Result.DRAW:
        return "draw"
    return "white" if board.turn == (result is Result.WIN) else "black"


LURE_FACTS: dict[str, FactCheck] = {"lure": _is_lure}
