"""One plain function for each thing a coach does: it composes the parts below.

In: an open book, a syllabus, dates and seeds, paths. Out: dataclasses to show, files on disk.
The clock and chance come in here, as arguments of the command line. Only `cli` imports it.
Whatever reads or writes the book raises CoachbookError if its file cannot be used or what it holds is
damaged; docstrings name what else can be wrong.
"""
