"""Every command in the documents exists, with the options that they give it."""

import re
import shlex
from pathlib import Path

import pytest
from typer.exceptions import TyperException

from coachbook.errors import CoachbookError
from tests.cli.commands import leaves
from tests.cli.drive import done
from tests.shipped import LARGE_UNITS

ROOT = Path(__file__).parents[2]
COMMANDS = dict(leaves())
FENCED = re.compile(r"^```[a-z]*\n(.*?)^```", re.MULTILINE | re.DOTALL)
SHELL = re.compile(r"^```sh\n(.*?)^```", re.MULTILINE | re.DOTALL)
INDENTED = re.compile(r"(?<=\n\n)((?:    .*\n)+)")
INLINE = re.compile(r"`(coachbook [^`]+)`")


def calls_in(line: str) -> list[list[str]]:
    """What follows the word coachbook in each command of a shell line."""
    told = shlex.split(line, comments=True)
    found: list[list[str]] = []
    is_start = True
    for word in told:
        if word in ("&&", "|", ";"):
            is_start = True
        elif is_start:
            is_start = False
            found.append([word])
        else:
            found[-1].append(word)
    return [words[1:] for words in found if Path(words[0]).name == "coachbook"]


OF_THE_WHOLE = (["--version"], ["--install-completion"])
"""Options without a command."""


def check(words: list[str], *, whole: bool) -> None:
    """Fails unless there is such a command; a `whole` one must be complete, too."""
    known = next((known for known in COMMANDS if tuple(words[: len(known)]) == known), None)
    if known is None:
        assert words[:1] in OF_THE_WHOLE, f"there is no command 'coachbook {' '.join(words)}'"
        return
    try:
        COMMANDS[known].make_context(known[-1], words[len(known) :], resilient_parsing=not whole)
    except CoachbookError as error:
        pytest.fail(str(error))


def lines_of(name: str) -> list[str]:
    text = (ROOT / name).read_text(encoding="utf-8")
    blocks = FENCED.findall(text) + INDENTED.findall(FENCED.sub("", text))
    return [line.strip() for block in blocks for line in block.splitlines() if "coachbook" in line]


def shell_lines(name: str) -> list[str]:
    """The lines of all blocks marked as `sh`, in their order."""
    blocks = SHELL.findall((ROOT / name).read_text(encoding="utf-8"))
    return [line for block in blocks for line in block.splitlines()]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_commands_in_code_blocks_can_be_typed_as_they_stand(name: str) -> None:
    for line in lines_of(name):
        if re.search(r"(^|[\s/])coachbook ", line):
            for words in calls_in(line):
                check(words, whole=True)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_commands_in_the_text_exist(name: str) -> None:
    for call in INLINE.findall((ROOT / name).read_text(encoding="utf-8")):
        check(shlex.split(call)[1:], whole=False)


def test_the_readme_shows_commands() -> None:
    assert sum(bool(calls_in(line)) for line in lines_of("README.md")) >= 10


@pytest.mark.parametrize(
    "call", ["sheet burn", "shet make", "review --loud", "sheet make --group Owls", "log list it"]
)
def test_a_command_that_is_not_there_is_found_out(call: str) -> None:
    with pytest.raises((AssertionError, TyperException)):
        check(call.split(), whole=True)


@pytest.mark.full
def test_the_syllabus_that_comes_with_coachbook_has_no_mistake_and_claims_nothing_untrue(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("COACHBOOK_SYLLABUS", raising=False)
    told, not_checked = done("syllabus", "check").splitlines()
    assert told.endswith("are true by the tables. Other words are not checked.")
    assert not_checked == (
        f"But the positions of {len(LARGE_UNITS)} units were not checked. KRPKR is not solved yet."
        " Build it once: coachbook ending build KRPKR"
    )
