"""What is said of a position, as values: a code of a sentence, and everything in it that could be false."""

from dataclasses import dataclass

Fact = bool | int | str | tuple[str, ...]
"""A number, squares or moves by name, or one of a few codes such as "white", "queen" or "draw"."""


@dataclass(frozen=True, slots=True)
class Saying:
    """A sentence, or a part of one.

    `code` names it among those of `wording`, `facts` are all that it states, by name, in alphabetical
    order; `words` is how it was put when it was made. They are kept to be printed again and nothing else:
    nobody reads them to decide anything. Sentences that were made before there were codes have none ("").
    """

    code: str
    facts: tuple[tuple[str, Fact], ...] = ()
    words: str = ""

    def fact(self, name: str) -> Fact | None:
        """What it states by this name; None if it states nothing of the kind."""
        return dict(self.facts).get(name)


NOTHING = Saying("")
"""Where nothing is said."""
