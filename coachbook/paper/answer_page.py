"""The coach's answers of an evening: a page a group with all answers in short, then each key once.

The students of a group stand one below the other, their items side by side. Each answer has the small number
of its key: of a position that several students have there is one key, with the names and items it is for.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Answer, Exercise, Worksheet
from coachbook.paper.flow import Block, paragraph, stack
from coachbook.paper.key_rows import KeyRow, column_width, draw_columns, in_columns, key_row, number_width
from coachbook.paper.page import MM, Frame, draw_footer, draw_heading, draw_rule, frame_of, pdf_of
from coachbook.paper.sections import Running, Section, sections_pdf
from coachbook.paper.text import draw_text, notated, wrap
from coachbook.wording.counting import day_in_words
from coachbook.wording.exercises import answer_in_short, printed_options

_HEADING, _FOOTER = 18 * MM, 9 * MM
_NAME_WIDTH, _NAME, _CODE = 27 * MM, 10.5, 8.0
_PAD, _SMALL_NUMBER = 2.5, 6.5
_SIZES, _MOST_LINES, _LEADING = (9.0, 8.5, 8.0, 7.5), 3, 1.15
_FEWEST_COLUMNS, _MOST_COLUMNS = 6, 10

Sheets = Mapping[str, Worksheet | None]
"""By student's name, in the order of the group's list; None for a student without a sheet."""


@dataclass(frozen=True, slots=True)
class EveningAnswers:
    """What the pages show: the groups with their students' sheets."""

    club: str
    on: date
    groups: Sequence[tuple[str, Sheets]]

    def items(self) -> Iterator[tuple[str, int, Exercise, str]]:
        """Each item of each student: the name, the number on the sheet, the item, the title of its unit."""
        for _, sheets in self.groups:
            for name, sheet in sheets.items():
                for number, item in enumerate(sheet.items if sheet else (), start=1):
                    yield name, number, item, sheet.title_of(item.unit) if sheet else ""


def _same(item: Exercise) -> tuple[object, ...]:
    """What items have in common that one key is for."""
    return item.kind, item.unit, item.position.fen, item.task.words, item.answer


def answer_pages(answers: EveningAnswers, options: PaperOptions) -> list[tuple[str, bytes]]:
    """For each group its page, and then the keys, each with a title. At least one student has a sheet."""
    numbers: dict[tuple[object, ...], int] = {}
    for _, _, item, _ in answers.items():
        numbers.setdefault(_same(item), len(numbers) + 1)
    tables = [
        (f"Answers {group}", _table_pdf(answers, group, sheets, numbers, options))
        for group, sheets in answers.groups
        if any(sheets.values())
    ]
    return [*tables, ("Keys", _keys_pdf(answers, numbers, options))]


def _table_pdf(
    answers: EveningAnswers,
    group: str,
    sheets: Sheets,
    numbers: Mapping[tuple[object, ...], int],
    options: PaperOptions,
) -> bytes:
    width = frame_of(options.size).width
    most = max(len(sheet.items) for sheet in sheets.values() if sheet)
    lines = -(-most // _MOST_COLUMNS)
    columns = max(-(-most // lines), _FEWEST_COLUMNS)
    table = _Table(width, columns, (width - _NAME_WIDTH) / columns, options.men)
    rows = [table.row(name, sheet, numbers) for name, sheet in sheets.items()]
    running = Running(answers.club, day_in_words(answers.on), f"Answers: {group}", group)
    told = "Small numbers: the keys behind these pages, where each answer stands whole, with its reasons."
    section = Section("", [*rows, paragraph(told, width, _CODE)], table.head(most))
    return sections_pdf(options, running, [section])


@dataclass(frozen=True, slots=True)
class _Table:
    """A column for the names, and narrow ones for the items; of a longer sheet the rest stands below."""

    width: float
    columns: int
    cell: float
    men: str

    def head(self, items: int) -> Block:
        """The numbers of the items over a strong rule."""
        numbers = [range(at + 1, items + 1, self.columns) for at in range(min(items, self.columns))]

        def draw(canvas: Canvas, x: float, top: float) -> None:
            draw_text(canvas, x, top - 9, "Student", 8.5)
            for at, below in enumerate(numbers):
                told = ", ".join(map(str, below))
                draw_text(canvas, self._left(x, at) + _PAD, top - 9, told, 8.5, bold=True)
            draw_rule(canvas, x, x + self.width, top - 13, 1.2)

        return Block(13, draw)

    def row(self, name: str, sheet: Worksheet | None, numbers: Mapping[tuple[object, ...], int]) -> Block:
        """A student with the code of the sheet, and its title where it is an assessment; and the answers."""
        told = [sheet.code if sheet else "no sheet"]
        told += [sheet.unit_title] if sheet and sheet.assessed else []
        who = stack(
            [
                paragraph(name, _NAME_WIDTH - _PAD, _NAME, bold=True),
                *(paragraph(each, _NAME_WIDTH - _PAD, _CODE) for each in told),
            ]
        )
        items = sheet.items if sheet else ()
        cells = [self._cell(item.answer, numbers[_same(item)]) for item in items]
        lines = [cells[at : at + self.columns] for at in range(0, len(cells), self.columns)]
        heights = [max(cell.height for cell in line) + _PAD for line in lines]
        height = max(who.height + _PAD, sum(heights)) + _PAD

        def draw(canvas: Canvas, x: float, top: float) -> None:
            who.draw(canvas, x, top - _PAD)
            canvas.setLineWidth(0.3)
            for at in range(min(len(cells), self.columns)):
                canvas.line(self._left(x, at), top, self._left(x, at), top - height)
            y = top - _PAD
            for line, high in zip(lines, heights, strict=True):
                for at, cell in enumerate(line):
                    cell.draw(canvas, self._left(x, at) + _PAD, y)
                y -= high
            draw_rule(canvas, x, x + self.width, top - height, 0.4)

        return Block(height, draw)

    def _left(self, x: float, at: int) -> float:
        return x + _NAME_WIDTH + at * self.cell

    def _cell(self, answer: Answer, key: int) -> Block:
        """The number of the key, and below it the answer."""
        lines, size = shortened(notated(_told(answer), self.men), self.cell - 2 * _PAD)
        pitch, first = _LEADING * size, _SMALL_NUMBER + 1

        def draw(canvas: Canvas, x: float, top: float) -> None:
            draw_text(canvas, x, top - _SMALL_NUMBER, str(key), _SMALL_NUMBER)
            for at, line in enumerate(lines):
                draw_text(canvas, x, top - first - size - at * pitch, line, size, bold=True)

        return Block(first + len(lines) * pitch + 1, draw)


def _told(answer: Answer) -> str:
    """The answer in short; of a choice as it stands on the worksheet."""
    if not answer.options:
        return answer_in_short(answer)
    return dict(zip(answer.options, printed_options(answer), strict=True))[answer.accepted[0]]


def shortened(text: str, width: float) -> tuple[tuple[str, ...], float]:
    """The text in at most three lines with its type size, no word cut; with an ellipsis where it is too long
    for that."""
    for size in _SIZES:
        lines = wrap(text, size, width, bold=True)
        if len(lines) <= _MOST_LINES and " ".join(lines) == text:
            return lines, size
    words = text.split()
    while words:
        words.pop()
        kept = " ".join(words).rstrip(",")
        lines = wrap(f"{kept} \N{HORIZONTAL ELLIPSIS}".strip(), _SIZES[-1], width, bold=True)
        if len(lines) <= _MOST_LINES:
            break
    return lines, _SIZES[-1]


def _keys_pdf(
    answers: EveningAnswers, numbers: Mapping[tuple[object, ...], int], options: PaperOptions
) -> bytes:
    frame = frame_of(options.size)
    rows = _rows(answers, numbers, frame, options.men)
    pages = in_columns(rows, frame.top - _HEADING - frame.bottom - _FOOTER)
    groups = ", ".join(group for group, _ in answers.groups)

    def draw(canvas: Canvas) -> None:
        for number, columns in enumerate(pages, start=1):
            on_page = [row.number for column in columns for row in column]
            title = f"Keys {on_page[0]} to {on_page[-1]}"
            draw_heading(canvas, frame, answers.club, day_in_words(answers.on), title)
            draw_columns(canvas, frame, columns, frame.top - _HEADING)
            draw_footer(canvas, frame, answers.club, f"page {number} of {len(pages)}", groups)
            canvas.showPage()

    return pdf_of(options.size, f"Keys of {day_in_words(answers.on)}", draw)


def _rows(
    answers: EveningAnswers, numbers: Mapping[tuple[object, ...], int], frame: Frame, men: str
) -> list[KeyRow]:
    """Each key once, in the order of the numbers."""
    width, indent = column_width(frame), number_width([str(number) for number in numbers.values()])
    users: dict[int, list[str]] = {}
    for name, at, item, _ in answers.items():
        users.setdefault(numbers[_same(item)], []).append(f"{name} {at}")
    keys = {numbers[_same(item)]: (item, title) for _, _, item, title in answers.items()}
    return [
        key_row(str(number), item, width, men, indent, unit=title, whose=", ".join(users[number]))
        for number, (item, title) in sorted(keys.items())
    ]
