"""What can be seen of one move of a plan: what it takes, checks, guards, and what comes back."""

from collections.abc import Callable

import chess

from coachbook.exercises.claims.claim_check import FactCheck, Scene, just


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
