"""The club's book: who is in the club and what happened, as facts in one SQLite file.

Dataclasses of `coachbook.model` come in and go out; rows, sessions and SQL stay here.
`book` creates and opens a book and gives its transactions, which the functions of
`students`, `sheets`, `terms`, `log` and `results` take first (`tx`). Only workflows import it.
Whatever reads or writes the book raises CoachbookError if its file cannot be used or what it holds is
damaged; docstrings name what else can be wrong.
"""

__all__ = [
    "backup",
    "board_games",
    "book",
    "book_check",
    "draft",
    "erase",
    "evenings_met",
    "free_text",
    "groups",
    "held",
    "log",
    "mentions",
    "names",
    "names_at_once",
    "restore",
    "results",
    "sheets",
    "soundness",
    "stored",
    "students",
    "taken_back",
    "touches",
]
