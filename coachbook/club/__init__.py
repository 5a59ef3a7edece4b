"""The club's book: who is in the club and what happened, as facts in one SQLite file.

Dataclasses of `coachbook.model` come in and go out; rows, sessions and SQL stay here.
`book` creates and opens a book and gives its transactions, which the functions of
`students`, `sheets`, `terms`, `log` and `results` take first. Only workflows import it.
"""
