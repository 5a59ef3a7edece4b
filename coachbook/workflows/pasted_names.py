"""Students and groups out of a list that was pasted: a line a student, and a line that ends in ":" a group.

All of a list is added, or nothing if anything is wrong with it.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import count

from coachbook.club.book import Book, Reading, Writing
from coachbook.club.names import clean_name, find_near, name_key
from coachbook.club.students import add_group, add_student, group_numbered, list_groups, list_students
from coachbook.errors import CoachbookError
from coachbook.model.facts import Group
from coachbook.model.problem import Problem
from coachbook.wording.counting import capitalised
from coachbook.workflows.spreadsheet import in_line_order

_LIST = "list"
_LIST_MARK = re.compile(r"^\s*([-*\u2022]|[0-9]{1,3}[.)])\s+")
"""In front of a name that was copied from a list with marks, or with numbers."""
_NO_NAME = "Group"
MOST_LINES = 1000
"""More students than a club has."""


@dataclass(frozen=True, slots=True)
class PastedLine:
    """A name, and the line of the list (from 1) on which it stands."""

    line: int
    name: str


@dataclass(frozen=True, slots=True)
class PastedGroup:
    """A group of the list with its students, in order. `is_named` says that its name stands there; one
    without has a number for a name."""

    name: str
    line: int
    students: tuple[PastedLine, ...] = ()
    is_named: bool = True


@dataclass(frozen=True, slots=True)
class PastedList:
    """What a list says, and every mistake in it."""

    groups: tuple[PastedGroup, ...]
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class ToBeMade:
    """A group that a list fills: who is added to it, whether it `is_new`, and a group that was there before
    and has much the same name, or "". `is_named` as of the list."""

    name: str
    students: tuple[str, ...]
    is_new: bool
    is_named: bool
    like: str = ""


@dataclass(frozen=True, slots=True)
class PastedPreview:
    """What a list would add to the book; or its mistakes, and then nothing is to be added."""

    groups: tuple[ToBeMade, ...]
    problems: tuple[Problem, ...] = ()

    @property
    def students(self) -> int:
        return sum(len(group.students) for group in self.groups)


@dataclass
class _Begun:
    """A group while its lines are read; without a name as long as none was read."""

    line: int
    name: str = ""
    students: list[PastedLine] = field(default_factory=list)


def read_pasted(text: str, taken: Iterable[str] = ()) -> PastedList:
    """The groups of a list. A line that ends in ":" names the group that begins there; a blank line ends a
    group, and the students below it, if no name stands above them, are a group with a number for a name, one
    that is not `taken`.

    Mistakes are names that are none, and names that stand there twice.
    """
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        return PastedList(
            (), (Problem.in_line(_LIST, MOST_LINES, f"there are more than {MOST_LINES} lines"),)
        )
    begun = [group for group in _blocks(lines) if group.name or group.students]
    if not begun:
        return PastedList((), (Problem.in_line(_LIST, 1, "there is no name in the list"),))
    found = (*_named_wrongly(begun), *_twice(begun))
    return PastedList(tuple(_with_names(begun, taken)), in_line_order(found))


def preview_pasted(book: Book, text: str) -> PastedPreview:
    """What a list would add to a book; nothing is kept."""
    with book.reading() as tx:
        return _preview(tx, _pasted(tx, text))


def add_pasted(book: Book, text: str) -> PastedPreview:
    """Add the students of a list, and the groups that are not there yet: all of them, or none if there is a
    mistake. What was added, or the mistakes."""
    with book.writing() as tx:
        seen = _preview(tx, _pasted(tx, text))
        if not seen.problems:
            for group in seen.groups:
                _add(tx, group.name, group.students)
        return seen


def add_to_group(book: Book, group: int, text: str) -> tuple[str, ...]:
    """Add the students of a list, a line each, to a group (by its id): their names, as they are kept.

    Raises CoachbookError, naming all that is wrong, for a list with a mistake or without a name, and for an
    unknown group; then nobody is added.
    """
    pasted = read_pasted(text)
    if any(each.is_named for each in pasted.groups):
        raise CoachbookError("This list names a group.", "Leave out the lines that end in a colon.")
    lines = tuple(line for each in pasted.groups for line in each.students)
    with book.writing() as tx:
        name = group_numbered(tx, group).name
        seen = _preview(tx, replace(pasted, groups=(PastedGroup(name, 1, lines),)))
        if seen.problems:
            told = "; ".join(f"{each.where}: {each.message}" for each in seen.problems)
            raise CoachbookError(f"Nobody was added. {capitalised(told)}.", "Put the list right.")
        _add(tx, name, seen.groups[0].students)
        return seen.groups[0].students


def _blocks(lines: Iterable[str]) -> Iterator[_Begun]:
    group = _Begun(1)
    for number, line in enumerate(lines, start=1):
        said = " ".join(_LIST_MARK.sub("", line).split())
        if said.endswith(":"):
            yield group
            group = _Begun(number, said.rstrip(": ") or said)
        elif said:
            group.students.append(PastedLine(number, said))
        elif group.students:
            yield group
            group = _Begun(number + 1)
    yield group


def _with_names(groups: Iterable[_Begun], taken: Iterable[str]) -> Iterator[PastedGroup]:
    known = list(groups)
    keys = {name_key(name) for name in (*taken, *(group.name for group in known))}
    free = (name for number in count(1) if name_key(name := f"{_NO_NAME} {number}") not in keys)
    for group in known:
        yield PastedGroup(group.name or next(free), group.line, tuple(group.students), bool(group.name))


def _named_wrongly(groups: Sequence[_Begun]) -> Iterator[Problem]:
    for group in groups:
        if group.name:
            yield from _name_wrong(group.line, group.name, "group")
        for each in group.students:
            yield from _name_wrong(each.line, each.name, "student")


def _name_wrong(line: int, name: str, what: str) -> Iterator[Problem]:
    try:
        clean_name(name, what)
    except CoachbookError as error:
        yield Problem.in_line(_LIST, line, str(error).rstrip("."))


def _twice(groups: Sequence[_Begun]) -> Iterator[Problem]:
    named, students = dict[str, int](), dict[str, int]()
    for group in groups:
        if group.name and (first := named.setdefault(name_key(group.name), group.line)) != group.line:
            yield Problem.in_line(
                _LIST, group.line, f"the group {group.name} was named on line {first} already"
            )
        for each in group.students:
            if (first := students.setdefault(name_key(each.name), each.line)) != each.line:
                told = f"{each.name} stands on line {first}, too; two children need two names"
                yield Problem.in_line(_LIST, each.line, f"{told}, such as {each.name} B.")


def _pasted(tx: Reading, text: str) -> PastedList:
    return read_pasted(text, (group.name for group in list_groups(tx)))


def _preview(tx: Reading, pasted: PastedList) -> PastedPreview:
    groups = list_groups(tx)
    known = {name_key(student.name): student.name for student in list_students(tx)}
    problems = [
        Problem.in_line(_LIST, each.line, f"{known[name_key(each.name)]} is in the book already")
        for group in pasted.groups
        for each in group.students
        if name_key(each.name) in known
    ]
    found = in_line_order((*pasted.problems, *problems))
    return PastedPreview(tuple(_to_be_made(group, groups) for group in pasted.groups), found)


def _to_be_made(group: PastedGroup, groups: Sequence[Group]) -> ToBeMade:
    there = {name_key(each.name): each.name for each in groups}
    name = there.get(name_key(group.name), group.name)
    is_new = name_key(group.name) not in there
    like = find_near(group.name, there.values()) if is_new and group.is_named else None
    students = tuple(each.name for each in group.students)
    return ToBeMade(name, students, is_new, group.is_named, like or "")


def _add(tx: Writing, group: str, students: Sequence[str]) -> None:
    if name_key(group) not in {name_key(each.name) for each in list_groups(tx)}:
        add_group(tx, group)
    for student in students:
        add_student(tx, student, [group])
