"""One plain function for each thing a coach does: it composes the parts below.

In: an open book, a syllabus, dates and seeds, paths. Out: dataclasses to show, files on disk.
The clock and chance come in here, as arguments of the command line. Only `cli` imports it.
Whatever reads or writes the book raises CoachbookError if its file cannot be used or what it holds is
damaged; docstrings name what else can be wrong.
"""

__all__ = [
    "answers_conversation",
    "attendance_conversation",
    "care",
    "certificates",
    "checking",
    "closing",
    "closing_conversation",
    "club_settings",
    "demo",
    "difficulty_check",
    "effects",
    "endings",
    "evening_grid",
    "evening_log",
    "evening_to_log",
    "evening_view",
    "group_view",
    "lines_conversation",
    "log_from_tables",
    "members",
    "mentions_decided",
    "own_positions",
    "papers",
    "pasted_names",
    "planning",
    "playing",
    "posters",
    "preparing",
    "printed_sheets",
    "replanning",
    "reports",
    "review_papers",
    "sheet_making",
    "sheet_shown",
    "standings",
    "student_records",
    "student_view",
    "syllabus_truth",
    "term_files",
    "term_proposal",
    "typed_answers",
    "unit_papers",
    "written_plans",
]
