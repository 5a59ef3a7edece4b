"""The texts that may mention a student, as a screen asks about them: mark by mark, each under a code; and the
decision that comes of the answers."""

import hashlib
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from coachbook.club.free_text import ANSWER, CLUB, GROUP, NOTE, Mention, Wording
from coachbook.club.mentions import with_replaced
from coachbook.wording.care_words import WrittenIn, place_in_words

_PLACES = {
    NOTE: WrittenIn.NOTE,
    ANSWER: WrittenIn.ANSWER,
    GROUP: WrittenIn.GROUP,
    CLUB: WrittenIn.CLUB,
}


@dataclass(frozen=True, slots=True)
class ShownPart:
    """A stretch of a text. `mark` is the code of a stretch that may be the name, "" of any other; `is_exact`
    says that it is the name."""

    text: str
    mark: str = ""
    is_exact: bool = False


@dataclass(frozen=True, slots=True)
class ShownMention:
    """A text that may mention a student: its code, where it stands, its parts in order, and whether it is a
    note, which can be deleted as a whole."""

    code: str
    where: str
    parts: tuple[ShownPart, ...]
    is_note: bool

    @property
    def marks(self) -> tuple[ShownPart, ...]:
        return tuple(part for part in self.parts if part.mark)


def place_of(mention: Mention) -> str:
    """Where a text stands, such as "A note on Tom (queen-box, 2026-11-25, entry 12)"."""
    place = _PLACES.get(mention.table, f"In '{mention.table}', '{mention.column}'")
    if (mention.table, mention.column) == (CLUB, "folder"):
        place = WrittenIn.FOLDER
    return place_in_words(
        place, mention.of, mention.unit, mention.evening, mention.entry, in_book=mention.in_book
    )


def shown_mentions(mentions: Iterable[Mention]) -> tuple[ShownMention, ...]:
    """The texts as they are asked about, in the same order."""
    return tuple(_shown(each) for each in mentions)


def decided(mentions: Sequence[Mention], marks: Collection[str], gone: Collection[str], by: str) -> Wording:
    """What is to stand in place of each text that changes: `by` in place of the `marks` with these codes, and
    nothing in place of notes that are `gone`."""
    found: dict[Mention, str | None] = {}
    for mention in mentions:
        code = _code(mention)
        chosen = [span for i, span in enumerate(mention.spans, start=1) if f"{code}.{i}" in marks]
        if mention.table == NOTE and code in gone:
            found[mention] = None
        elif chosen:
            found[mention] = with_replaced(mention.text, chosen, by)
    return found


def _shown(mention: Mention) -> ShownMention:
    code, end, parts = _code(mention), 0, list[ShownPart]()
    for number, span in enumerate(mention.spans, start=1):
        parts.append(ShownPart(mention.text[end : span.start]))
        parts.append(ShownPart(mention.text[span.start : span.end], f"{code}.{number}", span.is_exact))
        end = span.end
    parts.append(ShownPart(mention.text[end:]))
    return ShownMention(
        code, place_of(mention), tuple(part for part in parts if part.text), mention.table == NOTE
    )


def _code(mention: Mention) -> str:
    """The same as long as the text is: an answer about another text never counts for this one."""
    named = f"{mention.table}\n{mention.column}\n{mention.entry}\n{mention.text}"
    return hashlib.sha256(named.encode(errors="surrogatepass")).hexdigest()[:20]
