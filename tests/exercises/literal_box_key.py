"""What a key says about the box, sentence by sentence, held against the board with the printed definitions.

A sentence that no judge here knows is an error: a new one needs its judge.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

import chess

from tests.exercises.literal_box import can_shrink, size, steps_to_lone_king
from tests.judges import box, moves


@dataclass(frozen=True, slots=True)
class Key:
    """A position, the man whose box it is, all that is right, and what is read in a sentence; in a plan the
    board `after` its move."""

    board: chess.Board
    man: str
    right: set[str]
    read: tuple[str, ...]
    after: chess.Board

    @property
    def number(self) -> int:
        return int(self.read[0])

    @property
    def by_moves(self) -> list[chess.Board]:
        """The boards after all right moves."""
        return [moves.after(self.board, chess.Move.from_uci(move)) for move in self.right]


def is_key_true(board: chess.Board, man: str, right: set[str], words: str) -> bool:
    """Whether each sentence of a key is true."""
    sentences = [sentence.strip() for sentence in re.findall(r"[^.]+\.", words)]
    return all(_is_true(_KEYS, sentence, board, man, right, board) for sentence in sentences)


def is_step_true(board: chess.Board, man: str, san: str, words: str) -> bool:
    """Whether what is said of a plan's move is true."""
    return _is_true(_STEPS, words, board, man, set(), moves.after(board, board.parse_san(san)))


_Judges = dict[str, Callable[[Key], bool]]


def _is_true(
    judges: _Judges, words: str, board: chess.Board, man: str, right: set[str], after: chess.Board
) -> bool:
    for pattern, is_true in judges.items():
        if read := re.fullmatch(pattern, words):
            return is_true(Key(board, man, right, tuple(part or "" for part in read.groups()), after))
    raise AssertionError(f"no judge knows '{words}'")


def _is_rectangle(key: Key) -> bool:
    inside = box.walls(key.board)
    sides = [len({square[place] for square in inside}) for place in (0, 1)]
    return [*map(int, key.read)] == [*sides, len(inside)]


def _stalemates(key: Key) -> set[str]:
    ends = {move[2:] for move in moves.stalemates(key.board.fen())}
    return ends & key.right


def _others_are_taken(key: Key) -> bool:
    """On all the squares but those of a stalemate he can take: so many that "other" or "others" fits."""
    others = key.right - _stalemates(key)
    taken = {
        chess.square_name(each.peek().to_square)
        for each in moves.after_each(key.board)
        if moves.can_take(each)
    }
    return others <= taken and (len(others) > 1) == (key.read[0] != "the other") and bool(others)


def _box_changes(key: Key) -> bool:
    was, now, two_left, check = key.read
    left = len(box.region(key.after))
    return (
        (not was or int(was) == size(key.board, key.man))
        and int(now) == size(key.after, key.man)
        and (not two_left or left == 2)
        and (not check or key.after.is_check())
    )


def _is_so_far_from_meeting(key: Key) -> bool:
    lone, queen = (next(iter(key.board.pieces(*man))) for man in ((chess.KING, False), (chess.QUEEN, True)))
    file, rank = (2 if of(lone) < of(queen) else 5 for of in (chess.square_file, chess.square_rank))
    king = key.after.king(chess.WHITE) or 0
    return chess.square_distance(king, chess.square(file, rank)) == int(key.read[0] or 0)


_KEYS: _Judges = {
    r"(\d) by (\d): (\d+) squares?\.": _is_rectangle,
    r"The lone king could walk to (\d+) squares, his own counted\.": lambda key: (
        key.number == len(box.region(key.board))
    ),
    r"The smallest safe box has (\d+) squares\.": lambda key: (
        {key.number} == {size(after, key.man) for after in key.by_moves}
    ),
    r"(\d) moves (?:make it|are right)\.": lambda key: key.number == len(key.right) > 1,
    r"The box can shrink\.": lambda key: can_shrink(key.board, key.man),
    r"The box can't shrink: the king steps nearer\.": lambda key: not can_shrink(key.board, key.man),
    r"It is the first rule of the list that has a move\.": lambda key: len(key.right) == 1,
    r"On (each of them|the others?) the lone king can take it\.": _others_are_taken,
    r"On ([a-h1-8, and]+) it is stalemate\.": lambda key: (
        set(re.findall("[a-h][1-8]", key.read[0])) == _stalemates(key)
    ),
}
_STEPS: _Judges = {
    r"box (?:(\d+) → )?(\d+)(, two squares left)?(, check)?": _box_changes,
    r"box stays (\d+)(?:, check)?": lambda key: (
        size(key.board, key.man) == size(key.after, key.man) == key.number
    ),
    r"king (\d) from the meeting square": _is_so_far_from_meeting,
    r"king at the meeting square()": _is_so_far_from_meeting,
    r"kings (\d) steps apart": lambda key: key.number == steps_to_lone_king(key.after),
    r"kings face to face": lambda key: steps_to_lone_king(key.after) == 2,
    r"it is mate": lambda key: key.after.is_checkmate(),
}
