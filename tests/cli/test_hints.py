"""Every command that coachbook names in a text of its own, found in its source, is there to be typed; only
this front end names commands and options: below it there are steps, which it words."""

import ast
import re
import shlex
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption
from typer.main import get_command

import coachbook
from coachbook.cli.hints import in_words, problem_in_words
from coachbook.cli.main import app
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.problem import Problem
from tests.cli.conftest import Calendar, Club
from tests.cli.drive import done, run

SOURCES = sorted(Path(coachbook.__file__).parent.rglob("*.py"))
BELOW = [path for path in SOURCES if path.parent.name != "cli" and path.name != "__main__.py"]
FILLED_IN = "X"
"""Stands for what a text is given only when it is shown."""

CALL = re.compile(r"\bcoachbook (?=[a-z])")
ARGUMENT = re.compile(rf"{FILLED_IN}\S*|[A-Z]+(\.\.\.)?")
PLACE = re.compile(r"\{(\w+)\}")
OPTION = re.compile(r"(?<![\w-])--[a-z]")
END = re.compile(r"(?<!\.)[.,;:)'`]+$|(?<=\.\.\.)[,;:)'`]+$")


@cache
def nodes_of(source: str) -> tuple[ast.AST, ...]:
    """All nodes of a source, for which several tests ask."""
    return tuple(ast.walk(ast.parse(source)))


def texts_in(source: str) -> Iterator[str]:
    """All string constants, docstrings too, and f-strings; with X for what is filled in."""
    nodes = nodes_of(source)
    parts = {id(part) for node in nodes if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in nodes:
        if isinstance(node, ast.JoinedStr):
            yield "".join(
                str(part.value) if isinstance(part, ast.Constant) else FILLED_IN for part in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in parts:
            yield PLACE.sub(FILLED_IN, node.value)


def faults_in(text: str) -> list[str]:
    """What is wrong with the commands that a text names; prose about coachbook is left alone."""
    return [fault for call in calls_in(text) if (fault := fault_of(call))]


def calls_in(text: str) -> Iterator[list[str]]:
    """The words after `coachbook` in each command, and any prose behind it up to a sign of punctuation.

    A command stands in quotes, in brackets or behind a colon; elsewhere one is told by its first word.
    """
    for line in text.splitlines():
        for call in CALL.finditer(line):
            before = line[: call.start()]
            words = list(_until_punctuation(line[call.end() :].split()))
            if before.endswith(("'", "`", "(", ": ", "; ")) or words[0] in _commands(_app()):
                yield words


def _until_punctuation(words: list[str]) -> Iterator[str]:
    for word in words:
        bare = END.sub("", word)
        yield bare
        if bare != word:
            return


def fault_of(words: list[str]) -> str:
    """Why these words cannot be typed after `coachbook`; "" if they can.

    A command may be named alone, or with all that it needs.
    """
    found: object = _app()
    told = " ".join(words)
    rest = list(words)
    while isinstance(found, TyperGroup) and rest:
        if rest[0] not in found.commands:
            return f"there is no command '{told}'"
        found = found.commands[rest.pop(0)]
    return _fault_of_arguments(found, rest, told) if isinstance(found, TyperCommand) else ""


def _fault_of_arguments(command: TyperCommand, rest: list[str], told: str) -> str:
    options = {name: each for each in command.params if isinstance(each, TyperOption) for name in each.opts}
    given: set[str | None] = set()
    arguments = 0
    while rest and (rest[0].startswith("-") or ARGUMENT.fullmatch(rest[0])):
        word = rest.pop(0)
        if not word.startswith("-"):
            arguments += 1
        elif word not in options:
            return f"'{told}' has no option {word}"
        else:
            given.add(options[word].name)
            if not options[word].is_flag and not (rest and ARGUMENT.fullmatch(rest.pop(0))):
                return f"'{told}' gives {word} no value"
    if not given and not arguments:
        return ""
    return _fault_of_count(command, given, arguments, told)


def _fault_of_count(command: TyperCommand, given: set[str | None], arguments: int, told: str) -> str:
    places = [each for each in command.params if isinstance(each, TyperArgument)]
    most = 1000 if any(each.nargs < 0 for each in places) else sum(each.nargs for each in places)
    if not sum(each.required for each in places) <= arguments <= most:
        return f"'{told}' has {arguments} arguments"
    needed = {each.name for each in command.params if isinstance(each, TyperOption) and each.required}
    return f"'{told}' lacks {needed - given}" if needed - given else ""


@cache
def _app() -> object:
    return get_command(app)


def _commands(group: object) -> tuple[str, ...]:
    assert isinstance(group, TyperGroup)
    return tuple(group.commands)


def shown_in(source: str) -> list[str]:
    """The texts that somebody may be shown: no docstrings."""
    statements = (node.value for node in nodes_of(source) if isinstance(node, ast.Expr))
    docstrings = {
        PLACE.sub(FILLED_IN, str(each.value)) for each in statements if isinstance(each, ast.Constant)
    }
    return [text for text in texts_in(source) if text not in docstrings]


def is_for_a_terminal(text: str) -> bool:
    """Whether it names a command or an option."""
    pairs = re.findall(r"'([a-z]+) ([a-z]+)", text)
    named = any(fault_of(list(pair)) == "" for pair in pairs if pair[0] in _commands(_app()))
    return bool(named or OPTION.search(text) or any(calls_in(text)))


def advised_in(source: str) -> Iterator[tuple[Step, set[str]]]:
    """Each step that a source names together with its values, and the names of the values."""
    for node in nodes_of(source):
        match node:
            case ast.Call(func=ast.Name("Advice"), args=[ast.Attribute(ast.Name("Step"), name), *rest]):
                values = rest[0].keys if rest and isinstance(rest[0], ast.Dict) else []
                yield Step[name], {str(key.value) for key in values if isinstance(key, ast.Constant)}


def places_of(step: Step) -> set[str]:
    """The values that the words for a step show."""
    seen: set[str] = set()

    class Asked(dict[str, str]):
        def __missing__(self, name: str) -> str:
            seen.add(name)
            return FILLED_IN

    in_words(Advice(step, Asked()))
    return seen


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_every_command_named_in_a_text_can_be_typed(path: Path) -> None:
    texts = texts_in(path.read_text(encoding="utf-8"))
    assert [fault for text in texts for fault in faults_in(text)] == []


def test_the_texts_name_many_commands() -> None:
    texts = [text for path in SOURCES for text in texts_in(path.read_text(encoding="utf-8"))]
    assert sum(len(list(calls_in(text))) for text in texts) > 50


@pytest.mark.parametrize(
    "text",
    [
        "See 'coachbook term burn'.",
        "See 'coachbook trem show'.",
        "Next: coachbook evening prepares tonight",
        "Next: coachbook student add NAME --grop GROUP; coachbook term plan",
        "Add one: coachbook student add NAME OTHER",
        "Each week: coachbook evening prepare, and afterwards coachbook evening shut.",
        "Rename it: coachbook group rename NAME.",
        "Make one: coachbook sheet make --group GROUP",
        "Then coachbook review --book",
    ],
)
def test_a_command_that_cannot_be_typed_is_found_out(text: str) -> None:
    assert len(faults_in(text)) == 1


@pytest.mark.parametrize(
    "text",
    [
        "This is all that coachbook holds.",
        "Choose the file that coachbook made.",
        "Install coachbook again.",
        "Look at the list (coachbook log list).",
        "Or log with 'coachbook log' what happened.",
        "Type 'coachbook student rename OLD NEW', or leave it.",
        "Then: coachbook group put X NAME..., then coachbook group remove X",
    ],
)
def test_prose_and_commands_that_are_there_are_left_alone(text: str) -> None:
    assert faults_in(text) == []


def test_a_text_is_read_with_what_is_filled_in() -> None:
    source = 'def show(path, day):\n    say(f"Next: coachbook " f"restore {path}." + "It")'
    assert list(texts_in(source)) == ["Next: coachbook restore X.", "It"]


@pytest.mark.parametrize("path", BELOW, ids=lambda path: path.stem)
def test_below_this_front_end_no_text_names_a_command_or_an_option(path: Path) -> None:
    assert [text for text in shown_in(path.read_text(encoding="utf-8")) if is_for_a_terminal(text)] == []


@pytest.mark.parametrize("path", BELOW, ids=lambda path: path.stem)
def test_below_this_front_end_nothing_asks_or_reads_standard_input(path: Path) -> None:
    nodes = nodes_of(path.read_text(encoding="utf-8"))
    assert "input" not in {node.id for node in nodes if isinstance(node, ast.Name)}
    assert "stdin" not in {node.attr for node in nodes if isinstance(node, ast.Attribute)}


@pytest.mark.parametrize(
    "text",
    ["See 'coachbook log list'.", "Give --yes.", "Ask for more --items.", "Say which after 'group show': X."],
)
def test_a_text_for_a_terminal_is_found_out(text: str) -> None:
    assert is_for_a_terminal(text)


def test_docstrings_may_name_commands_and_values_may_not() -> None:
    source = 'def show():\n    """As --yes."""\n    return "Give --yes."\nA = 1\n"""As --no."""'
    assert shown_in(source) == ["Give --yes."]


def test_every_step_is_advised_somewhere_below_and_worded_with_the_values_that_it_has() -> None:
    sources = [path.read_text(encoding="utf-8") for path in BELOW]
    named = {name for source in sources for name in re.findall(r"\bStep\.([A-Z_]+)", source)}
    assert named == {step.name for step in Step}
    advised = [each for source in sources for each in advised_in(source)]
    assert len({step for step, _ in advised}) > len(Step) * 0.9
    assert [step for step, values in advised if values != places_of(step)] == []


def test_a_mistake_goes_on_with_what_to_do_or_ends_before_it() -> None:
    fragment = Problem("club.book", "sheet A-1", "is damaged", Advice(Step.RESTORE_A_BACKUP))
    assert problem_in_words(fragment) == (
        "club.book: sheet A-1: is damaged; bring back a backup with 'coachbook restore NAME'"
    )
    sentence = Problem("a.csv", "line 2", "It is to come.", Advice(Step.LOG_ALL_THE_SAME))
    assert problem_in_words(sentence) == ("a.csv: line 2: It is to come. To log it anyway, give --yes.")
    assert problem_in_words(Problem("a.csv", "line 2", "is empty")) == "a.csv: line 2: is empty"


def test_an_error_is_told_with_a_sentence_or_with_the_words_of_a_step() -> None:
    advised = CoachbookError("There is no group {x}.", Advice(Step.UNPIN, {"unit": "{box}"}))
    assert advised.told(in_words) == (
        "There is no group {x}. Take the pin away with 'coachbook term unpin {box}'."
    )
    assert str(advised) == "There is no group {x}."
    assert CoachbookError("It is full.", "Make room.").told(in_words) == "It is full. Make room."


SUNDAY, EVENING = date(2027, 1, 10), date(2027, 1, 12)


def next_of(told: str) -> str:
    """The command that comes next: the last line, and the only one of its sort."""
    assert told.count("Next: ") == 1, told
    found = re.fullmatch(r"Next: coachbook (.+)", told.splitlines()[-1])
    assert found, told
    return found[1]


@pytest.fixture
def sunday(new_coach: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A coach at home in an empty folder."""
    monkeypatch.setattr(Calendar, "now", SUNDAY)
    return new_coach


def test_each_line_leads_to_the_next_from_a_new_club_to_the_second_evening(
    sunday: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = next_of(done("club", "new", "Riverside"))
    assert line == "group add GROUP"
    line = next_of(done(*shlex.split(line.replace("GROUP", "Tuesday"))))
    assert line == "student add NAME --group Tuesday"
    line = next_of(done(*shlex.split(line)))
    assert line == (
        "term plan --group Tuesday --from 2027-01-12 --until 2027-04-06 --weekday tuesday --minutes 60"
    )
    line = next_of(done(*shlex.split(line)))
    assert line == "evening prepare 2027-01-12"
    assert next_of(done("student", "add", "Tom", "--group", "Tuesday")) == line
    line = next_of(done(*shlex.split(line)))
    assert line == "evening close 2027-01-12"
    monkeypatch.setattr(Calendar, "now", EVENING)
    line = next_of(done(*shlex.split(line), typed="\n" * 60))
    assert line == "evening prepare 2027-01-19"
    assert next_of(done(*shlex.split(line))) == "evening close 2027-01-19"
    assert (sunday / "club.book").exists()


@pytest.mark.usefixtures("sunday")
def test_the_lines_can_be_typed_as_they_stand() -> None:
    line = next_of(done("club", "new", "Riverside"))
    for _ in range(2):
        line = next_of(done(*shlex.split(line)))
    assert next_of(done(*shlex.split(line))) == "evening prepare 2027-01-10"


def test_after_a_sheet_its_answers_are_typed(club: Club) -> None:
    told = done("sheet", "make", "queen-box", "--group", "Owls", "--items", "1", "--date", "2026-12-10")
    line = next_of(told)
    assert line.startswith("log answers QB-")
    assert line.split()[-1] in told.splitlines()[1]
    assert "Kept: 3 answers" in done(*shlex.split(line), "--yes", typed="1\n1\n1\n\n")
    assert club.book.exists()


def test_sheets_for_each_are_typed_together(club: Club) -> None:
    made = ("sheet", "make", "queen-box", "--group", "Owls", "--each", "--items", "1", "--date", "2026-12-10")
    line = next_of(done(*made))
    assert line == "log answers --group Owls"
    assert done(*shlex.split(line), "--yes", typed="1\n1\n1\n\n").count("Sheet QB-") == 3
    assert club.book.exists()


@pytest.mark.usefixtures("sunday")
def test_the_line_is_for_the_same_book() -> None:
    line = next_of(done("club", "new", "Riverside", "--book", "my club.book"))
    assert line == "group add GROUP --book 'my club.book'"
    assert next_of(done(*shlex.split(line))) == "student add NAME --group GROUP --book 'my club.book'"


@pytest.mark.usefixtures("club")
def test_a_table_of_students_leads_to_a_term() -> None:
    Path("new.csv").write_text("name,group\nEve,Bears\n", encoding="utf-8")
    assert next_of(done("student", "import", "new.csv")).startswith("term plan --all --from 2026-12-10 ")


@pytest.mark.usefixtures("club")
def test_a_student_who_is_removed_leaves_all_groups_and_all_that_was_done_stays() -> None:
    day = ("--date", "2026-09-10", "--yes")
    done("group", "put", "Foxes", "Ana")
    done("log", "note", "Ana", "queen-box", "helps", *day)
    told = done("student", "remove", "ana", "--yes").splitlines()
    assert told == [
        "Removed: Ana, from Foxes and Owls. All the work stays in the book.",
        "To take it back: coachbook group put Foxes Ana",
        "To take it back: coachbook group put Owls Ana",
        "To erase the student from the book, too: coachbook student erase Ana",
    ]
    assert "seen: helps" in done("student", "show", "Ana")
    assert "Ana" not in done("student", "list", "--group", "Owls")
    assert run("student", "remove", "Ana").problems == [
        "coachbook: Ana is in no group. To erase the student from the book: coachbook student erase Ana"
    ]
    for line in told[1:3]:
        done(*shlex.split(line.removeprefix("To take it back: coachbook ")))
    assert "Ana      Foxes, Owls" in done("student", "list")


@pytest.mark.usefixtures("club")
def test_removing_a_student_asks(at_a_terminal: Callable[[], None]) -> None:
    assert "Removing needs a yes" in run("student", "remove", "Ana").err
    at_a_terminal()
    assert done("student", "remove", "Ana", typed="n\n").endswith("Nothing was removed.\n")
    assert "Ana" in done("student", "list", "--group", "Owls")
    assert "Removed: Ana, from Owls." in done("student", "remove", "Ana", typed="y\n")
    assert "There is no student 'Anna'" in run("student", "remove", "Anna").err
