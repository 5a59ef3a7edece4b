"""One plain function for each thing a coach does: it composes the parts below.

In: an open book, a syllabus, dates and seeds, paths. Out: dataclasses to show, files on disk.
The clock and chance come in here, as arguments of the command line. Only `cli` imports it.
"""
