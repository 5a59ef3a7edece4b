"""One grammar for the whole tree of commands, as DEVELOPERS.md says it."""

import ast
import inspect
import json
import re
import textwrap
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import typer
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption
from typer.main import get_command

from coachbook.cli.main import app
from tests.cli.commands import leaves
from tests.cli.desk import Desk
from tests.cli.drive import done, run

LEAVES = {" ".join(words): command for words, command in leaves()}

READ = {"--table", "--pgn", "--own", "--closed", "--book", "--syllabus", "--club"}
"""Files and folders that are read (of the book, and written)."""

ORDER = {
    "": "demo desk play club group student syllabus term evening log review report lesson sheet card poster"
    " ending exercise backup restore check",
    "club": "new show set letters",
    "student": "add list show why import rename export remove erase",
    "group": "add show list put take rename remove",
    "syllabus": "list show check themes claims",
    "term": "plan show replan pin unpin lock unlock export",
    "evening": "prepare close",
    "log": "answers attendance playout note list undo redo export",
    "report": "family certificate term",
    "lesson": "make",
    "sheet": "make print list show",
    "card": "make",
    "poster": "make",
    "ending": "show plan prove table build",
    "exercise": "list count own difficulty",
}

PREVIEWED = {
    *("term plan", "term replan", "term pin", "term unpin", "term lock", "term unlock"),
    *("student import", "log answers", "log attendance", "restore"),
}
"""What plans, replaces or imports."""

NOT_LOOKING = {
    *("demo", "desk", "play", "backup", "restore", "club new", "club letters"),
    *("evening prepare", "evening close"),
    *("student add", "student import", "student rename", "student export", "student remove", "student erase"),
    *("group add", "group put", "group take", "group rename", "group remove"),
    *("term plan", "term replan", "term pin", "term unpin", "term lock", "term unlock", "term export"),
    *("lesson make", "sheet make", "sheet print", "card make", "poster make", "report certificate"),
    *("log answers", "log attendance", "log playout", "log note", "log undo", "log redo", "log export"),
    "ending build",
}
"""They change something or make files; all others list something or look at it."""

OF_TWO_SORTS = {
    "--to": "FILE where there is one, FOLDER where there are several; its help says what is written",
    "--from": "replanning begins on a day, and today if it is not told; it is no stretch",
    "--date": "an evening is an argument, and --date another way to say it",
    "--yes": "where an evening is logged only its day is settled by it, and all else still asked",
    "--minutes": "those of an evening, and those that a sheet is to fill",
    "--mentions": "to erase and to rename are two decisions on a text",
    "--group": "where several groups can be named, its help says so",
    **dict.fromkeys(("--paper", "--notation", "--letters"), "where the club's own are set, its help says so"),
}
"""Options of one name whose value or help is not the same everywhere, and why."""

ASKING = {"agrees", "settled_day", "check_doubt", "check_can_ask", "ask_for_name"}
"""The functions that ask yes or no before something is done."""

JSON_OF = {
    "review": ("--date", "2026-12-01"),
    "student show": ("Ana",),
    "student why": ("Ana", "two-majors"),
    "group show": ("Owls",),
    "syllabus show": ("queen-box",),
    "syllabus check": ("broken",),
    "term show": ("--group", "Owls"),
    "sheet show": ("SHEET",),
    "report family": ("Ana",),
    "report term": ("--from", "2026-09-01", "--until", "2026-12-10"),
    "exercise count": ("queen-box",),
    "exercise own": ("7k/8/5K2/8/8/8/8/1B4Q1 w - - 0 1",),
    "ending show": ("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1",),
    "ending table": ("KQK",),
    "ending plan": ("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1",),
    "ending prove": ("queen-box",),
}
"""What the commands with --json need to be told."""

GUIDE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| `([a-z ]+)` \| [^|]+ \| (.+) \|$", re.MULTILINE)
SHAPES = {command: keys.split(", ") for command, keys in ROW.findall(GUIDE)}


def options_of(command: TyperCommand) -> list[TyperOption]:
    return [each for each in command.params if isinstance(each, TyperOption)]


def all_options() -> Iterator[tuple[str, TyperOption]]:
    for name, command in LEAVES.items():
        for option in options_of(command):
            yield name, option


def commands_with(option: str) -> set[str]:
    return {name for name, each in all_options() if option in each.opts}


def asks(function: Callable[..., object], seen: set[str] | None = None) -> bool:
    """Whether a command, or a function of this front end that it calls, asks yes or no."""
    found = inspect.unwrap(function)
    known = seen if seen is not None else set()
    known.add(found.__name__)
    tree = ast.parse(textwrap.dedent(inspect.getsource(found)))
    called = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    if called & ASKING:
        return True
    own = (found.__globals__.get(name) for name in called - known)
    return any(
        asks(each, known)
        for each in own
        if inspect.isfunction(each) and each.__module__.startswith("coachbook.cli")
    )


def test_files_go_where_to_says_and_nothing_else_does() -> None:
    files = {option.opts[0] for _, option in all_options() if option.metavar in ("FILE", "FOLDER")}
    assert files == READ | {"--to"}
    assert {option.metavar for _, option in all_options() if "--to" in option.opts} == {"FILE", "FOLDER"}


def test_a_unit_a_sheet_and_a_method_that_a_command_is_about_are_arguments() -> None:
    names = {option.opts[0] for _, option in all_options()}
    assert not names & {"--unit", "--sheet", "--card", "--code"}
    about = {
        name
        for name, command in LEAVES.items()
        if any(isinstance(each, TyperArgument) and each.metavar == "UNIT" for each in command.params)
    }
    papers = {"lesson make", "sheet make", "card make"}
    assert about == papers | {"play", "syllabus show", "student why", "term pin", "term unpin"}


def test_a_stretch_of_days_is_from_and_until_and_one_day_is_date() -> None:
    days = {option.opts[0] for _, option in all_options() if option.metavar == "DATE"}
    assert days == {"--from", "--until", "--date"}
    assert commands_with("--until") == {"term plan", "log export", "report term"}
    assert commands_with("--until") < commands_with("--from")


def test_an_option_has_one_name() -> None:
    assert [(name, option.opts) for name, option in all_options() if len(option.opts) > 1] == []


def test_one_option_has_one_word_for_its_value_and_one_help_unless_there_is_a_reason() -> None:
    sorts: dict[str, set[tuple[str | None, str | None, bool]]] = defaultdict(set)
    for _, option in all_options():
        sorts[option.opts[0]].add((option.metavar, option.help, option.multiple))
    assert {name for name, found in sorts.items() if len(found) > 1} == set(OF_TWO_SORTS)
    assert len([told for metavar, told, _ in sorts["--to"] if metavar == "FOLDER"]) == 1
    assert len({multiple for *_, multiple in sorts["--group"]}) == len(sorts["--group"])


def test_one_argument_has_one_help_unless_it_is_about_something_else() -> None:
    helps: dict[str | None, set[str | None]] = defaultdict(set)
    for command in LEAVES.values():
        for each in command.params:
            if isinstance(each, TyperArgument):
                helps[each.metavar].add(each.help)
    told_by_place = {"NAME", "NEW", "OLD", "[DATE]", "FILE", "DATE"}
    assert {metavar for metavar, found in helps.items() if len(found) > 1} <= told_by_place


def test_the_everyday_command_comes_first() -> None:
    root = get_command(app)
    assert isinstance(root, TyperGroup)
    nouns = {name: each for name, each in root.commands.items() if isinstance(each, TyperGroup)}
    context = typer.Context(root)
    listed = {name: " ".join(each.list_commands(context)) for name, each in {"": root, **nouns}.items()}
    assert listed == ORDER


def test_whatever_plans_replaces_or_imports_can_be_looked_at_first() -> None:
    assert commands_with("--preview") == PREVIEWED


def test_whatever_lists_or_looks_can_be_read_by_other_programs() -> None:
    assert commands_with("--json") == set(LEAVES) - NOT_LOOKING == set(SHAPES)


def test_whatever_asks_yes_or_no_can_be_told_not_to() -> None:
    callbacks = {name: command.callback for name, command in LEAVES.items()}
    asking = {name for name, each in callbacks.items() if each is not None and asks(each)}
    assert asking == commands_with("--yes")
    assert len(commands_with("--yes")) > 8


@pytest.mark.parametrize("command", SHAPES)
def test_the_guide_says_what_json_is_given(desk: Desk, command: str) -> None:
    Path("broken").mkdir()
    Path("broken/level-1.toml").write_text("level = 1\n", encoding="utf-8")
    told = [desk.sheets[0] if each == "SHEET" else each for each in JSON_OF.get(command, ())]
    ran = run(*command.split(), *told, "--json")
    given = json.loads(ran.out)
    first = given[0] if isinstance(given, list) else given
    assert list(first) == SHAPES[command]
    assert (ran.code == 0) == (command != "syllabus check")


def test_a_backup_can_be_looked_at_before_it_is_brought_back(desk: Desk) -> None:
    done("student", "add", "Newt")
    before = desk.book.read_bytes()
    told = done("restore", "copy.book", "--preview").splitlines()
    assert told[0].startswith("The backup holds 8 students, ")
    assert told[1].startswith("The book holds 9 students, ")
    assert told[2:] == ["No longer in the book: Newt.", "Nothing was kept."]
    assert desk.book.read_bytes() == before
    assert not list(desk.folder.glob(".*"))
    new = done("restore", "copy.book", "--preview", "--book", "new.book")
    assert "There is no book new.book yet: it would be made.\nNothing was kept.\n" in new
    assert not Path("new.book").exists()


@pytest.mark.usefixtures("desk")
def test_a_lock_can_be_looked_at_first() -> None:
    lock = ("term", "lock", "2026-10-08", "--group", "Owls")
    assert done(*lock, "--preview") == "Owls: 2026-10-08 stays as it is.\nNothing was kept.\n"
    assert "(locked)" not in done("term", "show", "--group", "Owls")
    assert "To take it back: coachbook log undo" in done(*lock)


@pytest.mark.usefixtures("desk")
def test_attendance_in_a_table_can_be_looked_at_first() -> None:
    Path("there.csv").write_text("date,student,present\n2026-09-10,ana,no\n", encoding="utf-8")
    entries = done("log", "list")
    told = done("log", "attendance", "--table", "there.csv", "--preview", "--yes").splitlines()
    assert told[1].split() == ["2026-09-10", "Ana", "no"]
    assert told[-1] == "Nothing was kept."
    assert done("log", "list") == entries
    for what in ("answers", "attendance"):
        assert run("log", what, "--preview").problems == [
            "coachbook: --preview works only with a table. Give --table, too, or leave --preview out."
        ]


@pytest.mark.usefixtures("desk")
def test_a_word_after_the_name_is_the_unit_only_if_it_is_its_code_and_more_follows() -> None:
    day = ("--date", "2026-09-17", "--yes")
    assert " in queen-box on " in done("log", "note", "Ana", "queen-box", "queen-box", "is", "hers", *day)
    assert "seen: queen-box is hers" in done("student", "show", "Ana")
    for words in (("queen-box",), ("Queen-Box", "is hers"), ("is", "hers", "queen-box")):
        assert done("log", "note", "Ana", *words, *day) == "Kept: a note on Ana on 2026-09-17.\n"
