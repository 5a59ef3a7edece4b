"""The sheets of a group's evening: a sheet of their own for each student, in two parallel forms.

Neighbours have different forms, so that nobody copies. Who has the same form and is to work on the same unit
has the same positions, as far as they are new to them: then one key does for all of them.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from coachbook.club.book import Writing
from coachbook.club.students import student_named
from coachbook.exercises.generate import derived_seed
from coachbook.exercises.ladder import as_ladder
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.wording.plans import assessment_title
from coachbook.workflows.evening_needs import Tonight, Wanted
from coachbook.workflows.printed_sheets import SheetStart, example_for, save_sheet
from coachbook.workflows.sheet_making import free_code, fresh_items, used_by

_FORMS = 2


def form_of(sheet: Worksheet) -> int:
    """The form of a sheet that was made for an evening, 0 or 1: its seed is chosen so that it tells."""
    return sheet.seed % _FORMS


def make_evening_sheets(
    tx: Writing,
    club: str,
    syllabus: Syllabus,
    tonight: Tonight,
    kept: Mapping[str, Worksheet],
    students: Collection[str],
    notes: list[str],
) -> dict[str, Worksheet]:
    """Sheets for these students of the group, saved, by name; none for whom there is nothing to put on one.

    `kept` are the sheets that others have already: who joins takes positions of theirs. `notes` gets a line
    for each unit of which too few fresh positions are left.
    """
    made: dict[str, Worksheet] = {}
    had = {name: used_by(tx, (name,)) for name in tonight.wanted} if students else {}
    for number, name in enumerate(tonight.wanted):
        if name in students:
            others = {each: sheet for each in tonight.wanted if (sheet := {**kept, **made}.get(each))}
            evening = _Evening(tx, club, syllabus, tonight, had, others)
            sheet = evening.sheet_for(name, number, notes)
            if sheet is not None:
                made[name] = sheet
    return made


@dataclass(frozen=True, slots=True)
class _Evening:
    """What a sheet is made from: `had` are the keys of what each student had before, `others` the sheets that
    there are for tonight by now, in the order of the list."""

    tx: Writing
    club: str
    syllabus: Syllabus
    tonight: Tonight
    had: Mapping[str, frozenset[str]]
    others: Mapping[str, Worksheet]

    def sheet_for(self, student: str, number: int, notes: list[str]) -> Worksheet | None:
        """A student's sheet, saved; None if there is nothing to put on it."""
        form, wanted, on = self._form_for(student), self.tonight.wanted[student], self.tonight.session.on
        items: list[Exercise] = []
        for code, count in wanted.items:
            unit = self.syllabus.unit(code)
            found = self._items(unit, count, form, student, items)
            if len(found) < count:
                notes.append(f"{student}: only {len(found)} of {count} fresh positions in {unit.title}.")
            items += found
        if not items:
            return None
        main = _main_unit(self.syllabus, wanted)
        # Of what is wanted, too: a sheet with other contents never has the code of one that was printed. And
        # of the student's number, not the name: an erased student's name is in no seed.
        own = derived_seed(0, str(on), str(student_named(self.tx, student).id), wanted.in_short)
        seed = own - own % _FORMS + form
        code = free_code(self.tx, self.syllabus, main.code, seed, on, number)
        start = SheetStart(code, self.club, main, on, seed, on)
        tonight = frozenset(item.key for sheet in self.others.values() for item in sheet.items)
        example = example_for(self.tx, self.syllabus, items, (student,), on, self._seed, but=tonight)
        title = _title(self.syllabus, wanted)
        sheet, _ = save_sheet(
            self.tx,
            self.syllabus,
            start,
            items,
            (student,),
            title=title,
            example=example,
            assessed=wanted.assessed,
        )
        return sheet

    @property
    def _seed(self) -> int:
        """That of the positions: the same for both forms, so that they are of the same kinds."""
        return derived_seed(0, str(self.tonight.session.on))

    def _form_for(self, student: str) -> int:
        """Another than that of the neighbour before, or else of the one after."""
        order = list(self.tonight.wanted)
        at = order.index(student)
        near = (*reversed(order[:at]), *order[at + 1 :])
        nearest = next((self.others[name] for name in near if name in self.others), None)
        return 0 if nearest is None else (form_of(nearest) + 1) % _FORMS

    def _items(
        self, unit: Unit, count: int, form: int, student: str, before: Sequence[Exercise]
    ) -> tuple[Exercise, ...]:
        """What the form has of a unit already, then what is fresh for the whole group, or for the other form
        too, or at least for the student; nothing that is on the sheet `before`."""
        own = self.had[student] | {item.key for item in before}
        found = list(islice(self._shared(unit.code, form, own), count))
        shown = frozenset(_keys(self.others.values()))
        for used in (own.union(shown, *self.had.values()), own | shown, own):
            left = count - len(found)
            found += fresh_items(unit, left, self._seed, used | {item.key for item in found}) if left else ()
        return as_ladder(found)

    def _shared(self, unit: str, form: int, used: Collection[str]) -> Iterator[Exercise]:
        """What is on tonight's sheets of a form from a unit, each position once, but for those used."""
        seen = set(used)
        for sheet in self.others.values():
            for item in sheet.items if form_of(sheet) == form else ():
                if item.unit == unit and item.key not in seen:
                    seen.add(item.key)
                    yield item


def _keys(sheets: Iterable[Worksheet]) -> Iterator[str]:
    """Of all that sheets show."""
    for sheet in sheets:
        yield from (item.key for item in sheet.items)
        yield from [sheet.example.key] if sheet.example is not None else []


def _main_unit(syllabus: Syllabus, wanted: Wanted) -> Unit:
    """The unit that has the most items, of equal ones the last, as review comes first: the sheet is
    called after it. An assessment is of one of those that it asks for."""
    items = [item for item in wanted.items if not wanted.assessed or item[0] in wanted.assessed]
    return syllabus.unit(max(reversed(items), key=lambda item: item[1])[0])


def _title(syllabus: Syllabus, wanted: Wanted) -> str:
    """Of an assessment; "" of another sheet, which is called after its unit."""
    levels = dict.fromkeys(syllabus.level_of(syllabus.unit(unit)).title for unit in wanted.assessed)
    return assessment_title(tuple(levels)) if levels else ""
