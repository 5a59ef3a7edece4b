"""Whole command lines: for every command that there is, and each value that it takes."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hypothesis import strategies as st
from typer.core import TyperArgument, TyperOption

from coachbook.files.reading import shipped_folder
from tests.cli import garbage, garbage_files
from tests.cli.commands import leaves
from tests.cli.desk import Call, Desk
from tests.cli.garbage import Sort, one_of, sort
from tests.cli.garbage_files import Given, Source, table_of, written_to

Command = tuple[str, ...]
Values = tuple[Source, Source]
"""A value that is right, with the files it needs, and one that mostly is not."""

# Values that say by their metavar what they are.
_SORTS: dict[str | None, Sort] = {
    "NAME": garbage.student,
    "[NAME]...": garbage.student,
    "NAME...": garbage.student,
    "OLD": garbage.student,
    "NEW": garbage.newcomer,
    "GROUP": garbage.group,
    "[GROUP]": garbage.group,
    "UNIT": garbage.unit,
    "METHOD": garbage.method,
    "KIND": garbage.kind,
    "KQRBN": garbage.letters,
    "KQRBN|none": garbage.letters,
    "A4|Letter": garbage.size,
    "DATE": garbage.date,
    "[DATE]": garbage.date,
    "DATE[..DATE]": garbage.dates,
    "DAY": garbage.weekday,
    "TIME": garbage.time,
    "ZONE": garbage.zone,
    "PLACE": garbage.place,
    "N": garbage.number,
    "LEVEL": garbage.level,
    "[ENTRY]": garbage.number,
    "1|2|4|6|9": garbage.boards,
    "CARD|FEN": sort(garbage.card.right | garbage.fen.right, garbage.card.wild, garbage.fen.wild),
    "[UNIT] [HOW IT WENT]...": garbage.told,
    "[UNIT] NOTE...": garbage.note,
    "[UNIT]": garbage.unit,
    "FEN": garbage.fen,
    "MOVES": garbage.defence,
}
_SORTS_OF_ONE: dict[tuple[Command, str] | str, Sort] = {
    (("club", "new"), "name"): garbage.newcomer,
    (("group", "add"), "name"): garbage.newcomer,
    (("group", "rename"), "old"): garbage.group,
    (("student", "add"), "name"): garbage.newcomer,
    (("student", "erase"), "mentions"): sort(one_of("erase", "keep"), one_of("rename", "ERASE")),
    (("student", "rename"), "mentions"): sort(one_of("rename", "keep"), one_of("erase", "RENAME")),
    (("ending", "table"), "name"): garbage.ending,
    (("ending", "build"), "name"): garbage.small_ending,
    (("term", "plan"), "minutes"): garbage.minutes,
    (("report", "certificate"), "level"): garbage.level,
    (("club", "set"), "name"): garbage.newcomer,
    (("club", "set"), "folder"): garbage.folder,
    (("club", "set"), "dates"): garbage.date_style,
    "notation": garbage.notation,
    "starts_on": garbage.first_day,
    "since": garbage.first_day,
    "first": garbage.first_day,
    "ends_on": garbage.last_day,
    "until": garbage.last_day,
}
# There are several groups, so that often one must be named; and the term must not be over.
_OFTEN_GIVEN = {"group", "groups", "first", "on", "day", "at"}
# What is given together with most other options is refused at once.
_SELDOM_GIVEN = {
    "book",
    "syllabus",
    "table",
    "pgn",
    "own",
    "kind",
    "club",
    "every",
    "each",
    "forms",
    "review",
}
_ANSWERS = {
    "student": sort(one_of("Ana", "Bo", "Łucja")),
    "item": garbage.number,
    "answer": sort(one_of("Qe5", "9", "-", "", "Qe5 Qb8"), garbage.moves()),
    "date": garbage.date,
}
_ATTENDANCE = {
    "date": garbage.date,
    "student": garbage.student,
    "present": sort(one_of("yes", "no", "x", "", "1", "0"), one_of("perhaps", "YES", "\uff59\uff45\uff53")),
}
_NEWCOMERS = {"name": garbage.newcomer, "group": garbage.group}
_THEN = (
    ("review", "--date", "2026-12-01"),
    ("review", "--group", "Owls"),
    ("student", "show", "Ana"),
    ("student", "list"),
    ("group", "show", "Owls", "--every-unit"),
    ("log", "list"),
    ("log", "undo"),
    ("log", "export", "--to", "all.csv"),
    ("report", "family", "Ana"),
    ("report", "term", "--from", "2026-09-01", "--until", "2026-12-31"),
    ("sheet", "list"),
    ("term", "show", "--group", "Owls"),
    ("check", "--date", "2026-12-01"),
    ("student", "export", "Bo"),
    ("backup",),
)


@dataclass(frozen=True, slots=True)
class Parameter:
    """What a command takes; `option` is "" for an argument, `metavar` None for a choice of words."""

    name: str
    metavar: str | None
    option: str
    is_flag: bool
    is_required: bool
    is_several: bool


def commands() -> Iterator[tuple[Command, tuple[Parameter, ...]]]:
    """Every command that takes a value, with all that it takes."""
    for words, command in leaves():
        taken = tuple(_parameter(each) for each in command.params)
        if not all(each.is_flag for each in taken):
            yield words, taken


def _parameter(each: object) -> Parameter:
    assert isinstance(each, (TyperOption, TyperArgument))
    several = each.nargs == -1 or each.multiple
    option = each.opts[0] if isinstance(each, TyperOption) else ""
    is_flag = isinstance(each, TyperOption) and each.is_flag
    return Parameter(each.name, each.metavar, option, is_flag, each.required, several)


def values_of(words: Command, parameter: Parameter, desk: Desk) -> Values:
    """What to give for a parameter of a command. Raises LookupError if nobody has said it yet."""
    files = _files_of(words, parameter.name, desk)
    if files is not None:
        return files
    known = (
        _SORTS_OF_ONE.get((words, parameter.name))
        or _SORTS_OF_ONE.get(parameter.name)
        or _SORTS.get(parameter.metavar)
    )
    if parameter.metavar in ("[CODE]", "CODE", "CODE..."):
        known = sort(one_of(*desk.sheets), one_of("QB-00000", "qb", "QB-", "--", "\uff31\uff22"))
    if known is None:
        raise LookupError(f"Say in {__name__} which garbage suits '{parameter.name}' of {' '.join(words)}.")
    return known.right.map(Given), known.wild.map(Given)


def _files_of(words: Command, name: str, desk: Desk) -> Values | None:
    """What to give for a file or a folder: from which a command reads, or to which it writes."""
    makers: dict[tuple[Command, str] | str, Callable[[], Values]] = {
        "syllabus": lambda: garbage_files.syllabus("own"),
        "book": lambda: garbage_files.book("copy.book", desk.book.read_bytes()),
        "to": lambda: written_to("paper", "."),
        "closed": lambda: garbage_files.calendar("closed.ics"),
        "pgn": lambda: garbage_files.game("game.pgn"),
        "own": lambda: garbage_files.positions("own.epd"),
        (("backup",), "to"): lambda: written_to("stick.book"),
        (("club", "new"), "book"): lambda: written_to("new.book", "sub/new.book"),
        (("demo",), "to"): lambda: written_to("demo"),
        (("demo",), "club"): lambda: garbage_files.club_tables("tables", shipped_folder("sample_club")),
        (("exercise", "own"), "source"): lambda: garbage_files.positions("own.epd"),
        (("log", "answers"), "table"): lambda: table_of("answers.csv", _ANSWERS, ("date",)),
        (("log", "attendance"), "table"): lambda: table_of("there.csv", _ATTENDANCE),
        (("log", "export"), "to"): lambda: written_to("out.csv"),
        (("log", "playout"), "to"): lambda: written_to("out.pdf"),
        (("group", "show"), "to"): lambda: written_to("out.pdf"),
        (("report", "certificate"), "to"): lambda: written_to("out.pdf"),
        (("report", "family"), "to"): lambda: written_to("out.pdf"),
        (("report", "term"), "to"): lambda: written_to("out.pdf"),
        (("term", "plan"), "to"): lambda: written_to("out.pdf"),
        (("term", "show"), "to"): lambda: written_to("out.pdf"),
        (("restore",), "backup"): lambda: garbage_files.book("old.book", desk.book.read_bytes()),
        (("student", "import"), "file"): lambda: table_of("new.csv", _NEWCOMERS, ("group",)),
        (("syllabus", "check"), "folder"): lambda: garbage_files.syllabus("checked"),
        (("term", "export"), "to"): lambda: written_to("out.csv"),
    }
    maker = makers.get((words, name)) or makers.get(name)
    return maker() if maker else None


def calls(words: Command, taken: Sequence[Parameter], desk: Desk) -> st.SearchStrategy[Call]:
    """A call of the command: all right, all wild, or one value wild and the others right."""
    return _calls(words, taken, {each: values_of(words, each, desk) for each in taken if not each.is_flag})


@st.composite
def _calls(
    draw: st.DrawFn, words: Command, taken: Sequence[Parameter], values: Mapping[Parameter, Values]
) -> Call:
    how = draw(one_of("right", "right", "one is wild", "one is wild", "wild"))
    chosen = draw(st.sampled_from(list(values)))
    options, arguments, files = list[str](), list[str](), dict[str, bytes]()
    for parameter in taken:
        is_chosen = how == "one is wild" and parameter is chosen
        if not draw(_is_given(parameter)) and not is_chosen:
            continue
        if parameter.is_flag:
            options.append(parameter.option)
            continue
        right_or_wild = values[parameter][is_chosen or how == "wild"]
        for given in draw(st.lists(right_or_wild, min_size=1, max_size=3 if parameter.is_several else 1)):
            files.update(given.files)
            if parameter.option:
                options += [parameter.option, given.word]
            else:
                arguments.append(given.word)
    if how == "wild":
        arguments += draw(st.lists(garbage.texts(), max_size=1))
    end = ["--"] if draw(st.booleans()) else []
    line = (*words, *options, *end, *arguments)
    return Call(line, files, draw(typed_lines()), (draw(st.sampled_from(_THEN)),))


def _is_given(parameter: Parameter) -> st.SearchStrategy[bool]:
    if parameter.is_required:
        return st.integers(0, 19).map(bool)
    if parameter.name in _OFTEN_GIVEN:
        return st.integers(0, 3).map(bool)
    rare = parameter.name in _SELDOM_GIVEN
    return st.integers(0, 7 if rare else 3).map(lambda number: number == 3)


@st.composite
def typed_lines(draw: st.DrawFn) -> bytes:
    """What is typed at questions: answers, marks, names, yes and no; broken off at any place."""
    line = st.one_of(
        one_of("1 mated in 14", "1 Qc5 Kd3", "Ana, queen-box: sees it", "Bo: ", ",:", "9" * 5000 + " mated"),
        one_of("", "", "", "y", "y", "n", "?", "=", "110-1x", "1, 2", *garbage.STUDENTS),
        one_of("1 2 3 4 5 6", "Qe5; 9; -", "3: Qe5; 5: 9"),
        garbage.told.right,
        nearly_lines(),
        garbage.texts(),
    )
    text = "".join(f"{each}\n" for each in draw(st.lists(line, max_size=12)))
    content = text.encode(errors="surrogateescape") + draw(st.sampled_from((b"", b"\n" * 30, b"\n" * 30)))
    return content[: draw(st.integers(0, len(content)))] if draw(st.integers(0, 3)) == 3 else content


def nearly_lines() -> garbage.Words:
    return garbage.nearly(one_of("1 2 3 4 5 6", "Qe5; 9; -; ; a; b", "3: Qe5; 5: 9", "111111", "2, Bo", "12"))
