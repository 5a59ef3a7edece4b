"""Everything that comes out of the printer: worksheets, keys, lesson plans, cards, posters, the wall plan.

In come the model's dataclasses and `PaperOptions`, out goes a PDF as bytes: black on white,
the same input always giving the same bytes. Each document is a function that is called after it,
such as `sheet_page.worksheets_pdf` and `answer_key.key_pdf`; whoever calls it puts the bytes in place.
The only part that knows ReportLab; it knows no rules of chess and writes no file. Workflows may import
it, and the cli its `print_options`.
"""

__all__ = [
    "answer_key",
    "answer_page",
    "board_svg",
    "bundle",
    "certificate",
    "evening_pack",
    "family_report",
    "flow",
    "judged_play_out",
    "leaves",
    "lesson_plan",
    "overview",
    "play_out_cards",
    "poster",
    "sheet_pages",
    "student_record",
    "term_summary",
    "text",
    "wall_plan",
]
