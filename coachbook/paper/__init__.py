"""Everything that comes out of the printer: worksheets, keys, lesson plans, cards, posters, the wall plan.

In come the model's dataclasses and `PaperOptions`, out goes a PDF as bytes: black on white,
the same input always giving the same bytes. Each document is a function that is called after it,
such as `worksheet.worksheets_pdf` and `key.key_pdf`; whoever calls it puts the bytes in place. The only
part that knows ReportLab; it knows no rules of chess and writes no file. Workflows may import it, and
the cli its `options`.
"""
