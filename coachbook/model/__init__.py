"""Frozen dataclasses that two parts of coachbook exchange.

Standard library only; every part may import them, they import nothing but `errors`.
All of them survive a round trip through JSON (strings, numbers, tuples, dataclasses, dates).
"""

__all__ = [
    "because",
    "claims",
    "conversation",
    "dates",
    "facts",
    "known_themes",
    "play_outs",
    "position",
    "print_options",
    "printed",
    "problem",
    "progress",
    "scale",
    "settings",
    "shown_claims",
    "syllabus",
    "term_change",
    "term_plan",
    "worksheet",
]
