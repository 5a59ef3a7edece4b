"""What there is to see in king, rook and pawn against king and rook, with the pawn on its seventh rank.

All features take positions of the ending "RPr". Where it matters whose move it is, they say so.
"""

from collections.abc import Callable

import numpy as np

from coachbook.method.his_rook import is_checked, loses_a_man, rook_is_gone
from coachbook.method.moves import Moves, attacker_moves, moves_with_rook, rows_of
from coachbook.method.positions import (
    FILE,
    KING,
    RANK,
    SHADOW,
    Mask,
    Numbers,
    Positions,
    Squares,
    files_plus_ranks,
    free_steps,
    in_check,
    is_taken,
    king_steps,
    on,
)
from coachbook.method.starts import Codes, canonical, is_legal

ENDING = "RPr"
_ROOK, _PAWN = 0, 1
_LAST, SEVENTH, FIFTH, FOURTH = 7, 6, 4, 3
"""Ranks, counted from 0."""


def queening_square(positions: Positions) -> Squares:
    """Where the pawn becomes a queen. Shape (n,)."""
    return (FILE[positions.pawn] + 8 * _LAST).astype(np.int8)


def at_home(positions: Positions) -> Mask:
    """The king stands on the square on which the pawn queens. Shape (n,)."""
    there: Mask = positions.king == queening_square(positions)
    return there


def is_bridge(positions: Positions) -> Mask:
    """Pawn's side to move: the picture from which the method is proven. Shape (n,).

    The pawn is on its seventh rank, not on the edge, its king on the queening square and not in check. One
    file lies between the files of pawn and rook, and his king stands beyond the rook's file: on the last
    rank, or on the rank before that while the rook stands on the fourth rank already.
    """
    to_rook = FILE[positions.piece] - FILE[positions.pawn]
    to_king = FILE[positions.lone] - FILE[positions.pawn]
    shut = (np.abs(to_rook) == 2) & (to_rook * to_king > 0) & (np.abs(to_king) > 2)
    rank = RANK[positions.lone]
    back = (rank == _LAST) | ((rank == SEVENTH) & (RANK[positions.piece] == FOURTH))
    found: Mask = (
        positions.see(is_near_its_end) & shut & back & positions.see(at_home) & ~positions.see(is_checked)
    )
    return found


def is_near_its_end(positions: Positions) -> Mask:
    """The pawn is on its seventh rank and not on the edge. Shape (n,)."""
    near: Mask = (RANK[positions.pawn] == SEVENTH) & (FILE[positions.pawn] % 7 != 0)
    return near


def bridge_starts(_ending: str) -> Codes:
    """Canonical codes of all positions that the picture shows."""
    columns = np.arange(64, dtype=np.int8)
    lone, rook, his = (each.ravel() for each in np.meshgrid(columns, columns, columns, indexing="ij"))
    found = []
    for file in range(1, 7):
        king, pawn = (np.full(len(lone), file + 8 * rank, dtype=np.int8) for rank in (_LAST, SEVENTH))
        positions = Positions(ENDING, [king, lone, rook, pawn, his])
        positions = positions.take(is_bridge(positions))
        found.append(canonical(positions.take(is_legal(positions))))
    return np.unique(np.concatenate(found))


def rook_alone(positions: Positions) -> Mask:
    """His king to move: pawn and his rook are gone, and he can't take the rook. Shape (n,)."""
    gone = rook_is_gone(positions) & is_taken(positions, _PAWN) & ~is_taken(positions, _ROOK)
    return gone & ~on(positions.see(free_steps), positions.piece)


def _of_any(moves: Moves, rows: Mask, positions: Positions) -> Mask:
    """Which positions have one of these rows among their moves. Shape (n,)."""
    found = np.zeros(len(positions), dtype=np.bool_)
    found[moves.of[rows]] = True
    return found


def _has_move(positions: Positions, suits: Callable[[Positions, Moves], Mask]) -> Mask:
    """Attacker to move: a move of his suits. Shape (n,)."""
    moves = attacker_moves(positions)
    return _of_any(moves, suits(positions, moves), positions)


def _replies(positions: Positions) -> Mask:
    """He to move: whether he has a reply; one that wins a man, or gives his rook for the pawn so that he then
    takes the other rook, too; and one that takes the rook while he has his, or checks through the king at
    what the pawn has become. Shape (n, 3)."""
    replies = moves_with_rook(positions)
    after = replies.after
    wins = loses_a_man(after)
    takes_pawn = np.flatnonzero(is_taken(after, _PAWN) & ~is_taken(positions, _PAWN)[replies.of])
    wins[takes_pawn] |= ~_has_move(after.take(takes_pawn), _leaves_rook_alone)
    takes_rook = is_taken(after, _ROOK) & ~is_taken(positions, _ROOK)[replies.of] & ~rook_is_gone(after)
    takes_rook |= _checks_through(after)
    some = rows_of(replies, len(positions)) > 0
    others = (_of_any(replies, rows, positions) for rows in (wins, takes_rook))
    return np.stack((some, *others), axis=1)


def _checks_through(positions: Positions) -> Mask:
    """His rook gives check, the queen stands behind the king on that line, and will be lost. Shape (n,)."""
    found: Mask = positions.see(is_checked) & on(SHADOW[positions.others[-1], positions.king], positions.pawn)
    rows = np.flatnonzero(found)
    found[rows] = ~_has_move(positions.take(rows), _keeps_queen)
    return found


def _keeps_queen(before: Positions, moves: Moves) -> Mask:
    """Which moves answer so that no man is won, or bring the king beside the queen while his stands off the
    rook. Shape (m,)."""
    after = moves.after
    beside: Mask = (moves.man == 0) & on(KING[after.king], after.pawn)
    off: Mask = ~on(KING[after.lone], after.piece) & ~is_taken(after, _ROOK)
    kept: Mask = answers(before, moves)
    rows = np.flatnonzero(kept)
    kept[rows] = _is_harmless(after.take(rows))
    return kept | (beside & off)


def _is_harmless(positions: Positions) -> Mask:
    """He to move: he is not stalemated, and wins no man. Shape (n,)."""
    replies = moves_with_rook(positions)
    some = rows_of(replies, len(positions)) > 0
    return (some | positions.see(in_check)) & ~_of_any(replies, loses_a_man(replies.after), positions)


def _leaves_rook_alone(_before: Positions, moves: Moves) -> Mask:
    return moves.after.see(rook_alone)


def is_over(positions: Positions) -> Mask:
    """He to move: he has no move. Shape (n,)."""
    return ~positions.see(_replies)[:, 0]


def loses_something(positions: Positions) -> Mask:
    """He to move: he can win a man, or is stalemated. Shape (n,)."""
    return positions.see(_replies)[:, 1] | (positions.see(is_over) & ~positions.see(in_check))


def reached(positions: Positions) -> Mask:
    """He to move: a queen that is safe, or a rook against a bare king that is, or mate. Shape (n,)."""
    safe = ~positions.see(loses_something) & ~positions.see(_replies)[:, 2]
    mated = positions.see(is_over) & positions.see(in_check)
    found: Mask = (positions.see(promoted) & safe) | positions.see(rook_alone) | mated
    return found


def promoted(positions: Positions) -> Mask:
    """The pawn stands on its last rank. Shape (n,)."""
    there: Mask = (RANK[positions.pawn] == _LAST) & ~is_taken(positions, _PAWN)
    return there


def can_queen(positions: Positions) -> Mask:
    """If the pawn steps to its queening square, whoever is to move, `reached` is true. Shape (n,)."""
    square = queening_square(positions)
    king, lone, rook, _, his = positions.men
    free: Mask = (king != square) & (lone != square) & (rook != square) & (his != square)
    queened = Positions(positions.pieces, [king, lone, rook, square, his])
    return free & ~is_taken(positions, _PAWN) & ~queened.see(is_checked) & queened.see(reached)


def is_guarded(positions: Positions) -> Mask:
    """The king stands next to his rook. Shape (n,)."""
    return on(KING[positions.king], positions.piece)


def is_sheltered(positions: Positions) -> Mask:
    """The king stands between pawn and rook, all three on one file. Shape (n,)."""
    file, rank = FILE[positions.pawn], RANK[positions.king]
    on_file = (FILE[positions.king] == file) & (FILE[positions.piece] == file)
    found: Mask = on_file & (RANK[positions.piece] < rank) & (rank < RANK[positions.pawn])
    return found


def answers(before: Positions, moves: Moves) -> Mask:
    """Which moves take his rook, or meet a check: the king steps between pawn and rook, or the rook comes
    in between, next to the king. Shape (m,)."""
    after = moves.after
    takes = rook_is_gone(after) & ~before.see(rook_is_gone)[moves.of]
    meets = np.where(moves.man == 0, after.see(is_sheltered), after.see(is_guarded) & (moves.man == 1))
    found: Mask = takes | (before.see(is_checked)[moves.of] & meets)
    return found


def _goes_on(before: Positions, moves: Moves) -> Mask:
    """Which moves reach the goal, or answer and lose nothing. Shape (m,)."""
    after = moves.after
    good = answers(before, moves)
    rows = np.flatnonzero(good)
    good[rows] = ~spoils(after.take(rows))
    good |= after.see(reached)
    return good


def spoils(positions: Positions) -> Mask:
    """After a move that no rule but the first may make. Shape (n,)."""
    return positions.see(loses_something) | positions.see(promoted)


def is_ready(positions: Positions) -> Mask:
    """He to move: the pawn could queen now, and whatever he does the pawn's side goes on. Shape (n,)."""
    ready = positions.see(can_queen).copy()
    rows = np.flatnonzero(ready)
    replies = moves_with_rook(positions.take(rows))
    open_ = np.flatnonzero(replies.after.see(is_checked) | ~replies.after.see(can_queen))
    stuck = open_[~_has_move(replies.after.take(open_), _goes_on)]
    ready[rows[replies.of[stuck]]] = False
    return ready


def rook_behind_pawn(positions: Positions) -> Mask:
    """His rook stands on the pawn's file, behind it. Shape (n,)."""
    his = positions.others[-1]
    behind: Mask = (FILE[his] == FILE[positions.pawn]) & (RANK[his] < RANK[positions.pawn])
    return behind & ~rook_is_gone(positions)


def just_below(positions: Positions) -> Mask:
    """The rook stands on the rank below that of its king. Shape (n,)."""
    below: Mask = RANK[positions.piece] == RANK[positions.king] - 1
    return below


def beside_pawn_file(positions: Positions) -> Mask:
    """The king stands on the pawn's file or next to it, but not on the queening square. Shape (n,)."""
    near: Mask = np.abs(FILE[positions.king] - FILE[positions.pawn]) <= 1
    return near & ~positions.see(at_home)


def from_fifth_rank(positions: Positions) -> Numbers:
    """Ranks between the king and the fifth rank. Shape (n,)."""
    ranks: Numbers = np.abs(RANK[positions.king] - np.int8(FIFTH))
    return ranks


def from_queening_square(positions: Positions) -> Numbers:
    """King steps to the queening square. Shape (n,)."""
    return king_steps(positions.king, queening_square(positions))


def from_rook(positions: Positions) -> Numbers:
    """Files plus ranks from the king to its rook. Shape (n,)."""
    return files_plus_ranks(positions.king, positions.piece)


def rook_from_his_king(positions: Positions) -> Numbers:
    """King steps from the rook to his king. Shape (n,)."""
    return king_steps(positions.piece, positions.lone)
