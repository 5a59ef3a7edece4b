"""How a sentence is made of what it states, and the sides and men by name."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from inspect import Parameter, signature
from string import Formatter

from coachbook.model.sayings import Fact
from coachbook.wording.counting import listed


@dataclass(frozen=True, slots=True)
class Sentence:
    """How a sentence is made of facts: those that it `needs`, those that it `may` have besides, and those
    that it `implies`, which hold whenever it is said."""

    words: Callable[..., str]
    needs: frozenset[str]
    may: frozenset[str]
    implies: Mapping[str, Fact]


SIDES = {"white": "White", "black": "Black"}
MEN = {man: man for man in ("queen", "rook", "bishop", "knight", "pawn", "king")}
_NAMES = {**SIDES, **MEN}


def in_words(fact: Fact) -> str:
    """A side or a man by name, a list, or else the number or name that it is."""
    return listed(fact) if isinstance(fact, tuple) else _NAMES.get(str(fact), str(fact))


def text(template: str, **implies: Fact) -> Sentence:
    """A sentence in which each fact stands under its name."""
    needs = frozenset(name for _, name, _, _ in Formatter().parse(template) if name)

    def words(**facts: Fact) -> str:
        if facts.keys() != needs:
            raise TypeError(f"'{template}' is made of {sorted(needs)}, not of {sorted(facts)}")
        return template.format(**{name: in_words(fact) for name, fact in facts.items()})

    return Sentence(words, needs, frozenset(), implies)


def made(words: Callable[..., str], **implies: Fact) -> Sentence:
    """A sentence that a function makes: what it must be given are the facts that it needs."""
    given = signature(words).parameters.values()
    needs = frozenset(each.name for each in given if each.default is Parameter.empty)
    return Sentence(words, needs, frozenset(each.name for each in given) - needs, implies)
