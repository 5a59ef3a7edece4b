"""Exercises: found in the tables, worded, verified, and marked when they come back.

In: what a unit asks for, a seed, the positions already used. Out: verified `Exercise`s, and
marks for what a student wrote. A kind of exercise is one file in `kinds`; the verifier, which
knows no kind, checks what it claims. May be imported by `syllabus`, `workflows` and above.
"""

__all__ = [
    "answers_read",
    "board_facts",
    "class_moves",
    "difficulty",
    "drawn_positions",
    "games",
    "generate",
    "judging",
    "kind",
    "kinds",
    "ladder",
    "marking",
    "minutes",
    "notation",
    "opponent",
    "show_claims",
    "solution_lines",
    "turns",
    "verify",
]
