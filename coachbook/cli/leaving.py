"""`coachbook student remove` and `erase`: a student leaves all groups, or the book itself."""

import shlex
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.asking import (
    ERASING,
    WhenErasing,
    YesOption,
    agrees,
    ask_about,
    check_can_agree,
    exact_replaced,
    tell_left,
)
from coachbook.cli.care_commands import (
    NOTHING_ERASED,
    ask_for_name,
    tell_damaged,
    tell_erasing,
    tell_out_of_reach,
)
from coachbook.cli.options import BookOption, NameArgument
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Say

if TYPE_CHECKING:
    from coachbook.club.erase import Rewritten
    from coachbook.club.free_text import Wording
    from coachbook.model.facts import Student


def remove(name: NameArgument, yes: YesOption = False, book: BookOption = None) -> None:
    """Take a student out of all groups. What was done stays in the book; 'student erase' takes that out,
    too."""
    from coachbook.workflows.members import member_named, open_club, take_out_of_all

    opened = open_club(book)
    student = member_named(opened, name)
    erasing = f"coachbook student erase {shlex.quote(student.name)}"
    if not student.groups:
        raise CoachbookError(
            f"{student.name} is in no group.", f"To erase the student from the book: {erasing}"
        )
    if not yes and not _agrees_to_remove(student):
        return
    groups = take_out_of_all(opened, student.name).groups
    typer.echo(f"Removed: {student.name}, from {' and '.join(groups)}. All the work stays in the book.")
    for group in groups:
        again = shlex.join(("group", "put", group, student.name))
        typer.echo(f"To take it back: coachbook {again}")
    typer.echo(f"To erase the student from the book, too: {erasing}")


def _agrees_to_remove(student: "Student") -> bool:
    from coachbook.wording.care_words import to_be_removed

    check_can_agree("Removing")
    goes, stays = to_be_removed(student.name, student.groups)
    typer.echo(goes)
    typer.echo(f"  {stays}")
    return agrees(Say.REMOVE, "Nothing was removed.")


def erase(
    name: NameArgument,
    yes: YesOption = False,
    mentions: Annotated[
        WhenErasing | None,
        typer.Option(
            "--mentions",
            help="Do not ask about notes on others and other texts: take the whole name out, or keep it.",
        ),
    ] = None,
    book: BookOption = None,
) -> None:
    """Erase a student from the book and its own backups. Notes on others and other texts are changed as you
    say.

    With --yes they stay as they are, unless --mentions says what becomes of them.
    """
    from coachbook.club.free_text import ERASED
    from coachbook.wording.care_words import DRAFT_DELETED, TAKEN_BACK_DELETED
    from coachbook.wording.counting import counted
    from coachbook.workflows.care import (
        erase_member,
        has_draft,
        has_taken_back,
        mentions_of,
        not_ours,
        traces_of,
    )
    from coachbook.workflows.members import open_club

    opened = open_club(book)
    student, facts = traces_of(opened, name)
    if facts is None and yes and mentions is not WhenErasing.ERASE:
        raise CoachbookError(
            f"There is no student '{student}', but other texts may mention the name.",
            "Leave out --yes to be asked about it, or give --mentions erase.",
        )
    tell_damaged(not_ours(opened), "coachbook cannot read this file; delete it if it may hold the name")
    if not yes:
        tell_erasing(student, facts)
    found = mentions_of(opened, student)
    wording: Wording = {}
    if mentions is WhenErasing.ERASE:
        wording = exact_replaced(found, ERASED)
    elif found and mentions is None and not yes:
        wording = ask_about(found, student, ERASED, ERASING, NOTHING_ERASED)
    if not yes:
        ask_for_name(student)
    is_draft, is_taken_back = has_draft(opened), has_taken_back(opened)
    done = erase_member(opened, student, wording)
    erased = "no student" if facts is None else f"{student}, with {counted(done.facts, 'fact')}"
    typer.echo(f"Erased: {erased}{told_elsewhere(done)}.")
    if is_draft:
        typer.echo(DRAFT_DELETED)
    if is_taken_back:
        typer.echo(TAKEN_BACK_DELETED)
    _tell_left_after_erasing(done)
    tell_out_of_reach()


def _tell_left_after_erasing(done: "Rewritten") -> None:
    if not done.left:
        return
    tell_left(done.left, done.student)
    again = f"coachbook student erase {shlex.quote(done.student)}"
    typer.echo(f"To be asked about each: {again}")
    if any(mention.exact for mention in done.left):
        typer.echo(f"To take the whole name out wherever it stands: {again} --yes --mentions erase")


def told_elsewhere(done: "Rewritten") -> str:
    """Where else, after a comma; nothing if there was nothing else."""
    from coachbook.wording.care_words import elsewhere_in_words

    return elsewhere_in_words(done.backups, done.reworded)
