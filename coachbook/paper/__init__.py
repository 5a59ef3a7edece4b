"""Everything that comes out of the printer: worksheets, answer keys, lesson plans, the wall plan.

In come the model's dataclasses and `PaperOptions`, out goes one PDF file: black on white,
the same input always giving the same bytes. Call `worksheet.write_worksheets`,
`key.write_key`, `lesson.write_lesson` and `term.write_term`. The only part that knows
ReportLab; it knows no rules of chess. Workflows and the cli may import it.
"""
