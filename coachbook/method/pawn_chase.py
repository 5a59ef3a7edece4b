"""King and pawn against king as a chase: which pawns are caught by force, and which get through by force.

Played out backwards for all positions of both kings at once, whatever the pawn's own king does for it. Not
the same as drawn and won: a pawn that nobody can catch may still be only a draw.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.probe import after_move

_Kings = NDArray[np.bool_]
"""Shape (64, 64): by the squares of the pawn's king and of the lone king."""
_LAST = 7


@dataclass(frozen=True, slots=True, eq=False)
class Chase:
    """By the squares of a white pawn, its king and the lone king, who is to move. Shapes (64, 64, 64).

    `caught`: he can force the capture of the pawn, or of what it becomes at once, whatever White does.
    `through`: White can force it to the last rank, so that what it becomes is not taken at once.
    """

    caught: NDArray[np.bool_]
    through: NDArray[np.bool_]


@cache
def chase() -> Chase:
    """All of them."""
    caught, through = (np.zeros((64, 64, 64), dtype=np.bool_) for _ in range(2))
    for pawn in reversed(chess.SQUARES[chess.A2 :]):
        ground = _ground(pawn)
        caught[pawn] = _takes(pawn) if ground.is_home else _settle(caught, ground, _can_catch)
        through[pawn] = ground.apart & ~_takes(pawn) if ground.is_home else _settle(through, ground, _gets_by)
    return Chase(caught, through)


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """Where the kings may stand with a pawn on its square, he to move (`apart`) or White (`quiet`)."""

    pawn: int
    apart: _Kings
    quiet: _Kings

    @property
    def is_home(self) -> bool:
        return self.pawn // 8 == _LAST

    @property
    def pushes(self) -> list[tuple[int, _Kings]]:
        """Where the pawn can go, and with which kings."""
        one = self.pawn + 8
        free = _off(one)
        pushes = [(one, free)]
        if self.pawn // 8 == 1:
            pushes.append((one + 8, free & _off(one + 8)))
        return pushes


_BESIDE = np.array([[chess.square_distance(a, b) == 1 for b in chess.SQUARES] for a in chess.SQUARES])
_STEPS = _BESIDE.astype(np.float32)
"""Not whole numbers: only matrices of others are multiplied by a fast library."""


def _off(square: int) -> _Kings:
    """Neither king stands there."""
    other = np.arange(64) != square
    off: _Kings = other[:, None] & other[None, :]
    return off


def _ground(pawn: int) -> _Ground:
    apart = ~_BESIDE & ~np.eye(64, dtype=np.bool_) & _off(pawn)
    attacked = np.array([square in chess.SquareSet(_attacks(pawn)) for square in chess.SQUARES])
    return _Ground(pawn, apart, apart & ~attacked[None, :])


def _attacks(pawn: int) -> int:
    return chess.BB_PAWN_ATTACKS[chess.WHITE][pawn]


def _takes(pawn: int) -> _Kings:
    """He stands beside what is on this square, and nobody guards it."""
    takes: _Kings = _BESIDE[None, pawn] & ~_BESIDE[:, pawn, None] & _ground(pawn).apart
    return takes


def _after_white_step(kings: _Kings) -> _Kings:
    """From where a step of White's king leads to one of these."""
    found: _Kings = _STEPS @ kings.astype(np.float32) > 0
    return found


def _after_his_step(kings: _Kings) -> _Kings:
    found: _Kings = kings.astype(np.float32) @ _STEPS > 0
    return found


_Widen = Callable[[NDArray[np.bool_], _Ground, _Kings], _Kings]
"""Positions of a pawn on its square, from those on squares ahead and those already found."""


def _settle(known: NDArray[np.bool_], ground: _Ground, widen: _Widen) -> _Kings:
    """Widen from nothing till no position is added; `known` are those of the squares ahead."""
    now = np.zeros((64, 64), dtype=np.bool_)
    while (more := widen(known, ground, now)).sum() > now.sum():
        now = more
    return now


def _can_catch(known: NDArray[np.bool_], ground: _Ground, now: _Kings) -> _Kings:
    """He takes it at once, or steps to where each move of White's leaves him a catch."""
    escapes = _after_white_step(ground.apart & ~now)
    can_move = _after_white_step(ground.apart)
    for to, free in ground.pushes:
        escapes |= free & ~known[to]
        can_move |= free
    caught: _Kings = _takes(ground.pawn) | (
        ground.apart & _after_his_step(ground.quiet & can_move & ~escapes)
    )
    return caught


def _gets_by(known: NDArray[np.bool_], ground: _Ground, now: _Kings) -> _Kings:
    """He can't take it, and after each of his steps, of which he has one, White goes on."""
    goes_on = _after_white_step(ground.apart & now)
    for to, free in ground.pushes:
        goes_on |= free & known[to]
    can_move, stops = _after_his_step(ground.quiet), _after_his_step(ground.quiet & ~goes_on)
    by: _Kings = ground.apart & ~_takes(ground.pawn) & can_move & ~stops
    return by


def catching_moves(board: chess.Board) -> tuple[chess.Move, ...]:
    """The moves of Black's lone king that force the capture of White's pawn, in order of their names."""
    moves = sorted(board.legal_moves, key=board.san)
    return tuple(move for move in moves if board.is_capture(move) or _is_caught_after(board, move))


def _is_caught_after(board: chess.Board, move: chess.Move) -> bool:
    after = after_move(board, move)
    return any(after.legal_moves) and all(_is_caught(after, reply) for reply in after.legal_moves)


def _is_caught(board: chess.Board, reply: chess.Move) -> bool:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    king, lone = board.king(chess.WHITE), board.king(chess.BLACK)
    if reply.from_square == pawn:
        pawn = reply.to_square
    else:
        king = reply.to_square
    return bool(chase().caught[pawn, king, lone])
