"""Methods that a child can follow, proven against every defence.

In: a board (package `chess`) or the name of an ending. Out: the moves a method leaves and the rule
that decided, written plans, proofs. Exercises, workflows and the cli may import it; it imports only
`endgame` and `model`, reads no files and prints nothing.
"""

__all__ = [
    "border",
    "box",
    "bridge",
    "graph",
    "king_and_pawn",
    "loose",
    "methods",
    "moves",
    "pawn_chase",
    "pawn_sights",
    "positions",
    "proof",
    "queen_box",
    "rook_box",
    "rook_sights",
    "rook_verdicts",
    "rules",
    "stages",
    "starts",
    "teaching_order",
    "two_majors",
    "verdicts",
    "written_plan",
]
