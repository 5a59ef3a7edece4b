"""What was spelled otherwise in 0.1.0 still works, and says how it is spelled now.

For one version. To take it away, delete this file with its test, and its call in `main`.
"""

import re
import shlex
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import typer
from typer.core import TyperCommand, TyperGroup, TyperOption

from coachbook.cli.console import one_line

_DAY = re.compile(r"\d[\d./-]*")
_FEN = re.compile(r".*/.*")


@dataclass(frozen=True, slots=True)
class Option:
    """An option that has another name now, where its value looks like this."""

    old: str
    new: str
    value: re.Pattern[str] = re.compile(r".*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class NowArgument:
    """An option whose value is an argument now: it comes after so many others, and only after one that looks
    like this; else it said nothing, and is left out."""

    old: str
    place: int
    after: re.Pattern[str] = re.compile(r".*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class NowOption:
    """The first argument is the value of an option now."""

    old: str
    new: str


Old = Option | NowArgument | NowOption

_PAGE = Option("--pdf", "--to")
_TABLE = Option("--csv", "--table")
_LAST_DAY = Option("--to", "--until", _DAY)
OLD: dict[str, tuple[Old, ...]] = {
    "demo": (NowOption("the folder", "--to"),),
    "group show": (_PAGE,),
    "term plan": (_LAST_DAY, _PAGE),
    "term show": (_PAGE,),
    "term export": (Option("--ics", "--to"), Option("--csv", "--to"), _PAGE),
    "term replan": (Option("--cancel", "--skip"),),
    "lesson make": (NowArgument("--unit", 0),),
    "sheet make": (NowArgument("--unit", 0),),
    "card make": (NowArgument("--unit", 0),),
    "log answers": (_TABLE,),
    "log attendance": (_TABLE,),
    "log export": (_LAST_DAY, NowOption("the file", "--to")),
    "log playout": (NowArgument("--unit", 2, _FEN), _PAGE),
    "log note": (NowArgument("--unit", 1),),
    "report family": (_PAGE,),
    "report certificate": (_PAGE,),
    "report term": (_LAST_DAY, _PAGE),
}
"""By the words of the command."""


@dataclass(slots=True)
class _Word:
    """A word of the line: an option ("" for an argument) and its value, None for a flag."""

    option: str
    value: str | None

    @property
    def typed(self) -> list[str]:
        return [each for each in (self.option or None, self.value) if each is not None]


def in_todays_words(arguments: Sequence[str] | None, group: TyperGroup) -> Sequence[str] | None:
    """The same arguments (None: those that the program was started with) as they are spelled now; what was
    changed is told on stderr in one line."""
    typed = list(sys.argv[1:] if arguments is None else arguments)
    name, command = _command_of(typed, group)
    if command is None or name not in OLD:
        return arguments
    start = len(name.split())
    words, rest = _read(typed[start:], _options_with_value(command, OLD[name]))
    told = list(dict.fromkeys(_respell(words, rest, OLD[name])))
    if not told:
        return arguments
    now = [*typed[:start], *(part for word in words for part in word.typed), *rest]
    typer.echo(one_line(f"{'; '.join(told)}: coachbook {shlex.join(now)}"), err=True)
    return now


def _command_of(typed: Sequence[str], group: TyperGroup) -> tuple[str, TyperCommand | None]:
    """The words of the command that is called, and the command; None if it is none."""
    found: object = group
    for number, word in enumerate(typed, start=1):
        found = found.commands.get(word) if isinstance(found, TyperGroup) else None
        if isinstance(found, TyperCommand):
            return " ".join(typed[:number]), found
    return "", None


def _options_with_value(command: TyperCommand, old: Sequence[Old]) -> set[str]:
    now = (each for each in command.params if isinstance(each, TyperOption) and not each.is_flag)
    then = (each.old for each in old if isinstance(each, Option | NowArgument))
    return {name for each in now for name in each.opts} | set(then)


def _read(typed: Sequence[str], with_value: set[str]) -> tuple[list[_Word], list[str]]:
    """Options and arguments; and "--" with all that comes after it."""
    words: list[_Word] = []
    left = list(typed)
    while left and left[0] != "--":
        word = left.pop(0)
        option, equals, value = word.partition("=")
        if not word.startswith("--"):
            words.append(_Word("", word))
        elif equals:
            words.append(_Word(option, value))
        else:
            words.append(_Word(word, left.pop(0) if word in with_value and left else None))
    return words, left


def _respell(words: list[_Word], rest: list[str], old: Sequence[Old]) -> Iterator[str]:
    """Changes the words, and gives what to tell of each change."""
    before = [(word, word.option) for word in words]
    for each in old:
        for word, option in before:
            match each:
                case Option(name, new, value) if option == name and value.fullmatch(word.value or ""):
                    word.option = new
                    yield f"{name} is now {new}"
                case NowArgument(name, _, _) if option == name and word.value is not None:
                    words.remove(word)
                    _put_argument(words, rest, word.value, each)
                    yield f"{name} is now an argument"
        if isinstance(each, NowOption) and (first := _first_argument(words, each.new)):
            first.option = each.new
            yield f"{each.old} is now {each.new}"


def _first_argument(words: Sequence[_Word], option: str) -> _Word | None:
    """None, too, if the option is given already."""
    if any(word.option == option for word in words):
        return None
    return next((word for word in words if not word.option), None)


def _put_argument(words: list[_Word], rest: list[str], value: str, now: NowArgument) -> None:
    places = [number for number, word in enumerate(words) if not word.option]
    given = [words[number].value or "" for number in places] + rest[1:]
    if now.place and not (given[now.place - 1 :] and now.after.fullmatch(given[now.place - 1])):
        return
    if now.place > len(places):
        rest.insert(1 + now.place - len(places), value)
    else:
        words.insert(places[now.place - 1] + 1 if now.place else 0, _Word("", value))
