"""Questions before something happens that cannot easily be undone, or is perhaps not meant."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from coachbook.cli.console import can_ask
from coachbook.cli.options import today
from coachbook.errors import CoachbookError, InterruptedEntryError
from coachbook.model.conversation import Alone, Say, ask

if TYPE_CHECKING:
    from coachbook.club.free_text import Mention, Wording
    from coachbook.model.facts import Doubt, LogEntry


YesOption = Annotated[bool, typer.Option("--yes", help="Do not ask.")]
PreviewOption = Annotated[bool, typer.Option("--preview", help="Show what would change, and keep nothing.")]


def check_can_ask(what: str) -> None:
    """Raises CoachbookError, which says `what` would have to be asked, where nobody sits at a terminal."""
    if not can_ask():
        raise CoachbookError(what, "See it first with --preview, then give --yes to keep it.")


def check_can_agree(doing: str) -> None:
    """Raises CoachbookError where nobody sits at a terminal to say yes to what is done, such as "Erasing"."""
    if not can_ask():
        raise CoachbookError(
            f"{doing} needs a yes, and there is no terminal to ask at.", "Give --yes, if you are sure."
        )


def check_preview_of_table(table: Path | None, *, preview: bool) -> None:
    """Raises CoachbookError for a preview of what is typed: that is shown before it is kept, anyway."""
    if preview and table is None:
        raise CoachbookError(
            "--preview works only with a table.", "Give --table, too, or leave --preview out."
        )


def tell_how_to_take_back(entry: "LogEntry | None") -> None:
    """One line, for everything that changes what is in the book; none if nothing was kept."""
    if entry is not None:
        typer.echo(f"To take it back: coachbook log undo {entry.id}")


def tell_kept(entry: "LogEntry | None") -> None:
    """One line on what is in the log now; or that nothing is."""
    from coachbook.wording.people import entry_in_words

    typer.echo(f"Kept: {entry_in_words(entry.what)}." if entry else "Nothing was kept.")


def agrees(asked: Say, otherwise: str, *, enter_is_yes: bool = False, **values: object) -> bool:
    """Whether the coach types yes; Enter alone is no, unless `enter_is_yes`. After no, `otherwise` is told.

    Raises InterruptedEntryError, with `otherwise`, on Ctrl-C, at the end of the input, and for bytes
    that are no text.
    """
    from coachbook.cli.talking import agreed

    if agreed(ask(asked, Alone.YES if enter_is_yes else Alone.NO, **values), otherwise):
        return True
    typer.echo(otherwise)
    return False


SureOption = Annotated[
    bool,
    typer.Option("--yes", help="Do not ask, even if the day is still to come or has no planned evening."),
]

_NOTHING = "Nothing was kept."
_GIVE_THE_DAY = "Give the day with --date."


def settled_day(
    asked: date | None, doubt: "Doubt | None", *, sure: bool, otherwise: str = _GIVE_THE_DAY
) -> date:
    """The day for which something is logged: the one that was asked for, else today; where nothing is
    planned today, perhaps the last evening.

    At a terminal the coach is asked where there is a `doubt`, unless `sure`. Raises CoachbookError where
    nobody can be asked, InterruptedEntryError, with `otherwise`, if the day is not to be.
    """
    from coachbook.wording.counting import shown_day
    from coachbook.wording.people import doubt_in_words

    day = today(asked)
    if doubt is None or sure:
        return day
    last = doubt.last if asked is None else None
    if last and not can_ask():
        raise CoachbookError(
            doubt_in_words(doubt),
            f"Give --date {last}, or --yes to log it for {shown_day(day)} anyway.",
        )
    if last:
        from coachbook.cli.talking import agreed

        if agreed(ask(Say.TAKE_LAST, Alone.YES, day=day, group=doubt.group, last=last)):
            return last
    check_doubt(doubt, sure=sure, otherwise=otherwise)
    return day


def check_doubt(doubt: "Doubt | None", *, sure: bool, otherwise: str = _GIVE_THE_DAY) -> None:
    """Asks whether something is logged all the same where there is a `doubt` about its day, unless `sure`.

    Raises CoachbookError where nobody can be asked, InterruptedEntryError, with `otherwise`, for no.
    """
    from coachbook.wording.people import doubt_in_words

    if doubt is None or sure:
        return
    if not can_ask():
        raise CoachbookError(doubt_in_words(doubt), "Give another --date, or --yes to log it anyway.")
    if not agrees(Say.LOG_ANYWAY, _NOTHING, doubt=doubt):
        raise InterruptedEntryError("Not logged.", otherwise)


class WhenErasing(StrEnum):
    """What becomes of the texts in which the whole name stands."""

    ERASE = "erase"
    KEEP = "keep"


class WhenRenaming(StrEnum):
    """The same, if a student is renamed."""

    RENAME = "rename"
    KEEP = "keep"


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked about each text: the key that puts something else in place of the name, and what
    it does; with `is_to_go` the text must be decided on, and a note can be deleted."""

    key: str
    does: str
    is_to_go: bool


ERASING = Question("t", "write '{by}' instead of the name", is_to_go=True)
RENAMING = Question("r", "write '{by}' instead", is_to_go=False)


def exact_replaced(mentions: "Sequence[Mention]", by: str) -> "Wording":
    """The decision to put `by` wherever the whole name stands, and to leave what only comes near it."""
    from coachbook.club.mentions import with_replaced

    return {each: with_replaced(each.text, each.exact, by) for each in mentions if each.exact}


def ask_about(
    mentions: "Sequence[Mention]", name: str, by: str, question: Question, otherwise: str
) -> "Wording":
    """What the coach decides for each text, with `by` in place of the name.

    Raises InterruptedEntryError, with `otherwise`, if the coach stops.
    """
    _explain(mentions, name, by, question)
    decided: dict[Mention, str | None] = {}
    at, for_all = 0, ""
    while at < len(mentions):
        mention = mentions[at]
        said = for_all or _said(mention, f"{at + 1} of {len(mentions)}", question, otherwise)
        if said == "<":
            at = max(0, at - 1)
            continue
        if said in (question.key * 2, "ll"):
            said = for_all = said[0]
        decided[mention] = mention.text if said == "l" else _text_after(mention, said, by)
        at += 1
    return {mention: text for mention, text in decided.items() if text != mention.text}


def _explain(mentions: "Sequence[Mention]", name: str, by: str, question: Question) -> None:
    typer.echo(f"\n{_may(mentions)} {name}. For each of them, type")
    typer.echo(f"  {question.key}  {question.does.format(by=by)}")
    typer.echo("  l  leave it as it is" if question.is_to_go else "  l  leave it as it is (or press Enter)")
    if question.is_to_go:
        typer.echo("  d  delete the whole note, with its --can or --trouble")
    typer.echo(f"  {question.key * 2} or ll  the same for this one and all the rest")
    typer.echo("  <  go back to the one before")


def tell_left(mentions: "Sequence[Mention]", name: str) -> None:
    """List what may mention the student still."""
    typer.echo(f"Left as they are, though {_may(mentions, 'they')} {name}:")
    for mention in mentions:
        typer.echo(f"  {_where(mention)}: {_shown(mention, numbered=False)}")


def _said(mention: "Mention", number: str, question: Question, otherwise: str) -> str:
    """What is to be done: a key ("t", "l", "d"), one twice, "<", or the numbers of marks."""
    most = len(mention.spans)
    typer.echo(f"\n{number}: {_where(mention)}\n  {_shown(mention, numbered=most > 1)}")
    keys = [question.key, "l"] + (["d"] if question.is_to_go and _is_note(mention) else [])
    some = f"; {question.key}1 for mark 1 only" if most > 1 else ""
    while True:
        said = _typed(f"{', '.join(keys[:-1])} or {keys[-1]}{some}: ", otherwise).strip().lower()
        if not said and not question.is_to_go:
            return "l"
        if said in (*keys, question.key * 2, "ll", "<"):
            return said
        numbers = re.split("[ ,]+", said.removeprefix(question.key))
        if most > 1 and set(numbers) <= {str(number) for number in range(1, most + 1)}:
            return " ".join(numbers)
        typer.echo(f"Type {', '.join(keys[:-1])} or {keys[-1]}.")


def _typed(question: str, otherwise: str) -> str:
    try:
        return input(question)
    except (KeyboardInterrupt, EOFError) as error:
        typer.echo()
        raise InterruptedEntryError("Stopped.", otherwise) from error
    except UnicodeDecodeError as error:
        raise InterruptedEntryError("What was typed is not UTF-8 text.", otherwise) from error


def _text_after(mention: "Mention", said: str, by: str) -> str | None:
    """The text with the marks of these numbers replaced, all of them for a key; None if it is to go."""
    from coachbook.club.mentions import with_replaced

    if said == "d":
        return None
    chosen = said.split()
    spans = [
        span
        for number, span in enumerate(mention.spans, start=1)
        if str(number) in chosen or not said[0].isdigit()
    ]
    return with_replaced(mention.text, spans, by)


def _where(mention: "Mention") -> str:
    from coachbook.workflows.mentions_decided import place_of

    return place_of(mention)


def _is_note(mention: "Mention") -> bool:
    from coachbook.club.free_text import NOTE

    return mention.table == NOTE


def _shown(mention: "Mention", *, numbered: bool) -> str:
    """The whole text with the marks, in one line."""
    end, parts = 0, []
    for number, span in enumerate(mention.spans, start=1):
        label = f"{number}: " if numbered else ""
        parts += [mention.text[end : span.start], f"[{label}{mention.text[span.start : span.end]}]"]
        end = span.end
    text = " ".join("".join([*parts, mention.text[end:]]).split())
    return "".join("\N{REPLACEMENT CHARACTER}" if _is_control(sign) else sign for sign in text)


def _is_control(sign: str) -> bool:
    """What a terminal would obey."""
    return unicodedata.category(sign) in ("Cc", "Cs")


def _may(mentions: "Sequence[Mention]", what: str = "") -> str:
    """Such as "2 other texts mention, or may mention,"; "it mentions" if there is no doubt."""
    from coachbook.wording.counting import counted

    is_sure = all(len(each.exact) == len(each.spans) for each in mentions)
    number = counted(len(mentions), "other text")
    ending = "s" if len(mentions) == 1 and not what else ""
    return f"{what or number} {f'mention{ending}' if is_sure else 'may mention'}"
