"""The student's record: what coachbook holds under one student's name, to read or to hand over.

A sheet that several students were given is listed without the names of the others.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby

from coachbook.model.facts import Attendance, ItemResult, PlayOutResult
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import KeptRow, OtherText, PreparedPapers, StudentRecord
from coachbook.model.progress import Standing, UnitProgress
from coachbook.paper.flow import Block, paragraph, space, stack
from coachbook.paper.page import MM, frame_of
from coachbook.paper.sections import Running, Section, columns, sections_pdf
from coachbook.wording.counting import capitalised, counted, day_in_words, short_day
from coachbook.wording.people import missing_in_words, play_out_result, slip_and_count, slip_in_words

_TEXT, _ROW = 10.0, 9.0
_DATE = 28 * MM
_UNIT = 44 * MM
_WHAT = (
    "This is what coachbook holds under the name {name} on {day}, with notes on others that may mention it:"
    " the name, the groups, and what is listed below. It holds no birth date, no address and no photo."
    " Printed pages, exported files and copies elsewhere are not in it; coachbook's own backups hold earlier"
    " versions of it. Names of other students are left out. Standing and recall are not stored; they are"
    " worked out from the rest as of this day."
)


def student_record_pdf(record: StudentRecord, options: PaperOptions) -> bytes:
    """The whole record as a PDF, over as many pages as it takes."""
    frame = frame_of(options.size)
    running = Running(record.club, day_in_words(record.on), f"Record of {record.student}", record.student)
    return sections_pdf(options, running, record_sections(record, frame.width))


def record_sections(record: StudentRecord, width: float) -> list[Section]:
    """What this is, then each sort of fact; of a sort that there is none of, it says so."""
    titles = dict(record.unit_titles)
    what = _WHAT.format(name=record.student, day=day_in_words(record.on))
    groups = ", ".join(record.groups) or "None."
    return [
        Section("", [paragraph(what, width, _TEXT)]),
        Section("Groups", [paragraph(groups, width, _TEXT)]),
        Section("Attendance", _attendance(record.attendance, width)),
        _standing(record.progress, titles, width),
        *_why_due(record.why_due, width),
        _sheets(record, titles, width),
        _answers(record.answers, titles, width),
        _play_outs(record.play_outs, titles, width),
        _observations(record, titles, width),
        _prepared(record.prepared, width),
        _put_right(record.rows, width),
        _on_others(record.on_others, titles, width),
    ]


def _table(title: str, rows: Sequence[Block], head: Block, width: float) -> Section:
    if rows:
        return Section(title, rows, head)
    return Section(title, [paragraph("None.", width, _TEXT)])


def _attendance(attendance: Sequence[Attendance], width: float) -> list[Block]:
    """The evenings by year, those there and those missed."""
    lines = []
    for present, words in ((True, "There"), (False, "Not there")):
        days = sorted(mark.on for mark in attendance if mark.present is present)
        if days:
            lines.append(
                paragraph(f"{words} on {counted(len(days), 'evening')}. {_days(days)}", width, _TEXT)
            )
    return lines or [paragraph("None.", width, _TEXT)]


def _days(days: Iterable[date]) -> str:
    """Such as "2026: Thu 10 Sept, Thu 17 Sept. 2027: Thu 7 Jan."."""
    return " ".join(
        f"{year}: {', '.join(short_day(day) for day in same_year)}."
        for year, same_year in groupby(days, lambda day: day.year)
    )


def _standing(progress: Sequence[UnitProgress], titles: dict[str, str], width: float) -> Section:
    """A row for each unit that was begun, then the others in one line."""
    table = columns(width, ("Unit", _UNIT), ("Standing", 18 * MM), ("From what", 0), ("Review due", _DATE))
    rows = [
        table.row(
            (
                titles.get(unit.unit, unit.unit),
                str(unit.standing),
                evidence(unit),
                day_in_words(unit.due_on) if unit.due_on else "",
            ),
            _ROW,
        )
        for unit in progress
        if unit.evenings
    ]
    begun = _table("Standing in the units", rows, table.head(), width)
    others = [titles.get(unit.unit, unit.unit) for unit in progress if not unit.evenings]
    if not others:
        return begun
    line = paragraph(f"New: {', '.join(others)}.", width, _ROW)
    return Section(begun.title, [*(begun.blocks if rows else ()), stack([space(4), line])], begun.head)


def _why_due(paragraphs: Sequence[str], width: float) -> list[Section]:
    """Nothing where nothing is due."""
    told = [stack([paragraph(words, width, _TEXT), space(6)]) for words in paragraphs]
    return [Section("Why review is due", told)] if told else []


def evidence(unit: UnitProgress) -> str:
    """Such as "3 evenings, 14 of 18 answers right, 1 play-out; recall 86 in 100; still missing: ..."."""
    right, tried = sum(e.right for e in unit.evenings), sum(e.tried for e in unit.evenings)
    play_outs = sum(len(evening.play_outs) for evening in unit.evenings)
    notes = sum(len(evening.observations) for evening in unit.evenings)
    parts = [counted(len(unit.evenings), "evening")]
    parts += [f"{right} of {tried} answers right"] if tried else []
    parts += [counted(play_outs, "play-out")] if play_outs else []
    parts += [counted(notes, "observation")] if notes else []
    line = ", ".join(parts)
    if unit.recall is not None:
        line += f"; recall {round(100 * unit.recall)} in 100{'' if unit.is_sure else ' (little to go by)'}"
    if unit.missing and unit.standing is Standing.WORKING:
        line += f"; still missing: {', '.join(map(missing_in_words, unit.missing))}"
    return line


def _sheets(record: StudentRecord, titles: dict[str, str], width: float) -> Section:
    table = columns(width, ("Made on", _DATE), ("Sheet", 34 * MM), ("Unit", 0), ("Items", 12 * MM))
    rows = [
        table.row(
            (day_in_words(sheet.made_on), sheet.code, titles.get(sheet.unit, sheet.unit), str(sheet.items)),
            _ROW,
        )
        for sheet in record.sheets
    ]
    return _table("Sheets given", rows, table.head(), width)


def _answers(answers: Sequence[ItemResult], titles: dict[str, str], width: float) -> Section:
    table = columns(
        width,
        ("Date", _DATE),
        ("Sheet", 26 * MM),
        ("Item", 8 * MM),
        ("Unit", 0),
        ("Written", 28 * MM),
        ("Marked", 37 * MM),
    )
    rows = [
        table.row(
            (
                day_in_words(answer.on),
                answer.sheet,
                str(answer.item),
                titles.get(answer.unit, answer.unit),
                answer.written or "(blank)",
                _marked(answer),
            ),
            _ROW,
        )
        for answer in answers
    ]
    return _table("Answers", rows, table.head(), width)


def _marked(answer: ItemResult) -> str:
    if answer.right:
        return "right"
    return f"wrong: {slip_in_words(answer.slip)}" if answer.slip else "wrong"


def _play_outs(play_outs: Sequence[PlayOutResult], titles: dict[str, str], width: float) -> Section:
    table = columns(width, ("Date", _DATE), ("Unit", _UNIT), ("How it went", 0))
    rows = [
        table.row(
            (day_in_words(played.on), titles.get(played.unit, played.unit), play_out_in_words(played)), _ROW
        )
        for played in play_outs
    ]
    return _table("Games played out", rows, table.head(), width)


def play_out_in_words(played: PlayOutResult) -> str:
    """How it ended, the first slip, and from where: card, position and moves as they are stored."""
    sentences = [f"{capitalised(play_out_result(played))}."]
    sentences += [f"First slip: {slip_and_count(played.slip, 1)}."] if played.slip else []
    sentences += [f"Card {played.card}."] if played.card else []
    sentences += [f"To {played.goal} from {played.fen}."]
    sentences += [f"Moves: {' '.join(played.moves)}."] if played.moves else []
    return " ".join(sentences)


def _observations(record: StudentRecord, titles: dict[str, str], width: float) -> Section:
    table = columns(width, ("Date", _DATE), ("Unit", _UNIT), ("The coach saw", 0))
    rows = [
        table.row(
            (
                day_in_words(seen.on),
                titles.get(seen.unit, seen.unit) or "the evening",
                f"{seen.impression.capitalize()}. {seen.note}" if seen.impression else seen.note,
            ),
            _ROW,
        )
        for seen in record.observations
    ]
    return _table("What the coach noted", rows, table.head(), width)


def _prepared(prepared: Sequence[PreparedPapers], width: float) -> Section:
    table = columns(width, ("Evening", _DATE), ("Group", 34 * MM), ("Sheet", 34 * MM), ("What was made", 0))
    rows = [
        table.row(
            (
                day_in_words(papers.on),
                papers.group,
                papers.sheet or "none",
                "; ".join(filter(None, (papers.wanted, ", ".join(papers.cards)))),
            ),
            _ROW,
        )
        for papers in prepared
    ]
    return _table("Made ready for an evening", rows, table.head(), width)


def _put_right(kept: Sequence[KeptRow], width: float) -> Section:
    """What a later entry says otherwise: it is still kept, but does not count."""
    table = columns(width, ("Date", _DATE), ("What", 44 * MM), ("As first logged", 0))
    rows = [
        table.row((day_in_words(date.fromisoformat(str(row["evening"]))), what, first), _ROW)
        for row, what, first in _overruled(kept)
    ]
    return _table("Put right later", rows, table.head(), width)


def _overruled(kept: Sequence[KeptRow]) -> Iterator[tuple[dict[str, object], str, str]]:
    newest: dict[tuple[object, ...], int] = {}
    found = [(row.table, dict(row.values)) for row in kept if row.table in ("attendance", "answer")]
    for table, row in found:
        about = _about(table, row)
        newest[about] = max(newest.get(about, 0), int(str(row["entry"])))
    for table, row in found:
        if newest[_about(table, row)] == row["entry"]:
            continue
        if table == "attendance":
            yield row, "Attendance", "there" if row["present"] else "not there"
        else:
            marked = "right" if row["is_right"] else f"wrong: {row['slip']}".removesuffix(": ")
            yield row, f"{row['sheet']}, item {row['item']}", f"{row['written'] or '(blank)'} ({marked})"


def _about(table: str, row: dict[str, object]) -> tuple[object, ...]:
    """The same for two rows if the later one holds."""
    return (table, row["evening"]) if table == "attendance" else (table, row["sheet"], row["item"])


def _on_others(texts: Sequence[OtherText], titles: dict[str, str], width: float) -> Section:
    table = columns(width, ("Date", _DATE), ("Where", _UNIT), ("What was written", 0), ("Named", 16 * MM))
    rows = [
        table.row(
            (
                day_in_words(text.on) if text.on else "",
                f"{text.what}, {titles.get(text.unit, text.unit)}" if text.unit else text.what,
                text.text,
                "yes" if text.is_sure else "perhaps",
            ),
            _ROW,
        )
        for text in texts
    ]
    return _table("Texts about others that may mention this name", rows, table.head(), width)
