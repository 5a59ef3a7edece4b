"""Everything that comes out of the printer: worksheets, keys, lesson plans, cards, posters, the wall plan.

In come the model's dataclasses and `PaperOptions`, out goes one PDF file: black on white,
the same input always giving the same bytes. Call `worksheet.write_worksheets`,
`key.write_key`, `lesson.write_lesson`, `term.write_term`,
`cards.write_cards` and `poster.write_poster`. The only part that knows
ReportLab; it knows no rules of chess. Workflows and the cli may import it.
"""
