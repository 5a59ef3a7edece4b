"""How hard an exercise is: one scale from 1 to 100, on which the exercises of all kinds are compared.

A sheet of several kinds rises by it, a unit chooses by it, and parallel forms are equal by it. So a number
must mean the same whatever is asked: it counts what has to be looked at, compared and foreseen, and not
how rare a position is, nor how far the mate is away. What makes an item harder is always one of these:

- more to look at: more squares, moves or men to which the same question is put;
- more to find: each further move or square of an answer that has several;
- a lure: something else that looks like the answer, such as a check that is no mate;
- looking ahead: each move of the other side that has to be answered.

A kind computes the difficulty of a draft and says in its docstring how. Here stands, a line a kind, how
easy and how hard its items can be; a test holds it against samples. `ANCHORS` are coachbook's own choice,
no source; what students answer can be held against them (`progress/scale_check.py`).
"""

from dataclasses import dataclass

ANCHORS = {
    10: "seen at a glance: one fact",
    30: "one question, asked of a few moves or squares",
    50: "several moves compared",
    70: "two moves looked ahead",
    90: "a whole plan, or an exact count",
}


@dataclass(frozen=True, slots=True)
class Reach:
    """How hard the items of a kind can be, 1 to 100, both included, and what makes one `harder`."""

    easiest: int
    hardest: int
    harder: str


REACHES = {
    "box_size": Reach(7, 87, "a bigger box, White's king beside it"),
    "box_walls": Reach(8, 44, "a longer wall, White's king beside it"),
    "build_position": Reach(
        15, 65, "fewer right squares, a stalemate, another man, squares that end the game in the other way"
    ),
    "catch_pawn": Reach(15, 45, "the king steps in or just fails to, a pawn on its first square"),
    "draw_square": Reach(13, 35, "more steps to go, a pawn on its first square"),
    "enough_to_mate": Reach(20, 37, "a second man, a man that the lone king can take"),
    "every_mate": Reach(20, 66, "more mates, checks that are no mate, stalemates"),
    "final_position": Reach(10, 36, "more squares around the king, stalemate, a move that is left"),
    "find_mistake": Reach(40, 92, "a mistake later in the line, a king's step, more than one better move"),
    "finish_rule": Reach(15, 63, "a rule further down, moves that spoil the win"),
    "fork_square": Reach(25, 70, "more checks, another double attack that fails, two squares to find"),
    "key_squares": Reach(15, 45, "a pawn from rank 5 on, a rook's pawn"),
    "mate_in_two": Reach(60, 90, "more replies, a quiet move, a king's move, checks, stalemates"),
    "mating_corners": Reach(6, 44, "a bishop further from its corners, a wrong corner that is nearer"),
    "next_moves": Reach(40, 90, "rules that change, moves that spoil the win; a mate at the end is easier"),
    "next_rule": Reach(5, 75, "a rule further down, moves that spoil the win"),
    "no_go_squares": Reach(20, 58, "more squares, a stalemate"),
    "only_move": Reach(7, 55, "more moves, a king's move, a step back; a check is easier"),
    "opposition": Reach(30, 50, "a step sideways or back, pawn moves that spoil the win"),
    "promotion": Reach(12, 32, "another man on the board, a rook is stalemate, too, one square left"),
    "race_count": Reach(
        35, 74, "a longer run, a pawn on its first square, equal counts, queens that come one after the other"
    ),
    "right_corner": Reach(11, 43, "a bishop further from the corner, a pawn with more steps to go"),
    "rook_place": Reach(16, 54, "more rook moves, a rank or file that is kept, a check that spoils it"),
    "shrink_or_king": Reach(25, 70, "a king's move, moves that stalemate or lose the piece"),
    "smallest_box": Reach(20, 94, "moves that stalemate or lose the piece, a box that hardly shrinks"),
    "stalemate_moves": Reach(30, 68, "more stalemates, moves that leave one square, a mate"),
    "stop_pawn": Reach(14, 48, "more moves of the piece, a knight, a square further down the pawn's way"),
    "waiting_move": Reach(25, 65, "fewer right moves, squares where the rook is lost or it is stalemate"),
    "win_or_draw": Reach(30, 65, "a draw to be seen by the attacker, a mate far away, an only move"),
}
"""By the name of the kind."""
