"""Reads the graded syllabus: TOML files, one a level, become a checked `Syllabus`.

In: a folder that a coach can edit. Out: a `Syllabus`, or every mistake as a `Problem` with
its file and key. Knows the rules of chess (a position must be legal), but no tables, methods
or kinds of exercise: their names come as arguments. Only workflows may import it, from here.
"""

from coachbook.syllabus.read import check_syllabus, read_syllabus, unit_codes

__all__ = ["check_syllabus", "read_syllabus", "unit_codes"]
