"""All commands that there are, found by walking the tree that Typer builds."""

from collections.abc import Iterator

from typer.core import TyperCommand, TyperGroup
from typer.main import get_command

from coachbook.cli.main import app


def leaves(
    group: TyperGroup | None = None, words: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], TyperCommand]]:
    """Each command with the words that call it."""
    found = group or get_command(app)
    assert isinstance(found, TyperGroup)
    for name, each in found.commands.items():
        if isinstance(each, TyperCommand):
            yield (*words, name), each
        else:
            assert isinstance(each, TyperGroup)
            yield from leaves(each, (*words, name))
