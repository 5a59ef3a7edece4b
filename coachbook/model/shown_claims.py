"""What a sentence of a demonstration may claim in braces, such as "{box 16 to 9}": the forms that are known.

What each means is checked in `exercises.show_claims`, and said in words by `wording.show_sentences`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

_PARTS = {
    "N": r"(\d{1,2})",
    "MOVE": r"([KQRBNa-h][A-Za-z0-9=+#]*)",
    "MAN": r"(queen|rook|bishop|knight|pawn|king)",
    "SQUARES": r"([a-h][1-8](?: [a-h][1-8])*)",
}
_BRACES = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class ClaimForm:
    """A form of claim: how it is written, and what it means to a coach who writes one."""

    written: str
    means: str


CLAIM_FORMS = (
    ClaimForm("box N to N", "the lone king's box has so many squares before the move, and so many after it"),
    ClaimForm("box N", "the lone king's box has so many squares"),
    ClaimForm("squares N", "the king of the side that is to move next has so many squares to go to"),
    ClaimForm("mate", "it is mate"),
    ClaimForm("stalemate", "it is stalemate"),
    ClaimForm("draw", "it is a draw with best play"),
    ClaimForm("too few men", "it is a draw because neither side has men enough to mate"),
    ClaimForm("mate in N", "the student mates in so many more moves at most"),
    ClaimForm("new queen", "the student has a new queen, that can't be taken, and wins"),
    ClaimForm("man won", "the other side has only its king left, and loses"),
    ClaimForm("corner", "the king of the side that is to move next stands in a corner"),
    ClaimForm(
        "opposition", "the kings face each other with one square between, and the other side is to move"
    ),
    ClaimForm("key square", "the king stands on a key square of its pawn"),
    ClaimForm("inside the square", "the king that is without a pawn stands inside the square of the pawn"),
    ClaimForm("outside the square", "that king stands outside the square of the pawn"),
    ClaimForm("only move", "no other move keeps the win, or the draw"),
    ClaimForm("mate if MOVE", "this move would be mate instead"),
    ClaimForm("stalemate if MOVE", "this move would be stalemate instead"),
    ClaimForm("draw if MOVE", "after this move instead it is a draw with best play"),
    ClaimForm("loss if MOVE", "after this move instead its side loses"),
    ClaimForm("MAN lost if MOVE", "after this move instead the king can take this man for nothing"),
    ClaimForm("MAN guards SQUARES", "this man of the side that has just moved guards these squares"),
    ClaimForm("MAN attacks MAN", "the first man, of the side that has just moved, attacks the second"),
)
"""In the order in which the list for coaches is printed."""


@dataclass(frozen=True, slots=True)
class ShownClaim:
    """A claim as it was read: the form in which it is written, and what stands in its places."""

    form: str
    given: tuple[str, ...] = ()


def _pattern(written: str) -> re.Pattern[str]:
    return re.compile(" ".join(_PARTS.get(word, re.escape(word)) for word in written.split()))


_PATTERNS = tuple((form.written, _pattern(form.written)) for form in CLAIM_FORMS)


def read_claim(text: str) -> ShownClaim | None:
    """The claim that a text is; None if it has no form that is known."""
    for written, pattern in _PATTERNS:
        if found := pattern.fullmatch(text):
            return ShownClaim(written, tuple(part for part in found.groups() if part is not None))
    return None


def claims_in(words: str) -> Iterator[str]:
    """The texts that stand in braces in a sentence."""
    yield from _BRACES.findall(words)


def parts_of(words: str) -> Iterator[tuple[str, bool]]:
    """A sentence cut at its braces: each part, and whether it is a claim."""
    for number, part in enumerate(_BRACES.split(words)):
        if part:
            yield part, number % 2 == 1
