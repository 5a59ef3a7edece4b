"""A page in HTML: the templates, what all of them are given, and boards to look at."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final
from uuid import uuid4

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse, Response

from coachbook.desk.advice import in_words
from coachbook.desk.asked import Asked
from coachbook.errors import CoachbookError
from coachbook.model.position import Marks, Position, square_name
from coachbook.paper.board_svg import board_svg, marks_svg, sprite_of
from coachbook.wording.counting import counted, day_in_words, listed, plural, shown_day
from coachbook.wording.paper_words import lacking_in_words
from coachbook.workflows.papers import letters_lacking

SPRITES = "/static/pieces.svg"

_TYPED = (
    "written",
    "told",
    "moves",
    "note",
    "name",
    "names",
    "club",
    "letters",
    "folder",
    "positions",
    "off",
    "fen",
)
"""The fields in which a coach writes: what stands in them is shown again when it is refused."""

_NAMES: Final = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight", "P": "pawn"}


def shown(asked: Asked, template: str, /, status: int = 200, **values: object) -> Response:
    """A page from its template. Each is given `asked`, and the names of `_environment`."""
    return HTMLResponse(drawn(template, asked=asked, **values), status)


def drawn(template: str, /, **values: object) -> str:
    """A template with its values, as text: a page, or a part of one."""
    return _environment().get_template(template).render(**values)


def part(template: str, macro: str, /, *values: object) -> str:
    """What a macro of a template makes: one part of a page, as in the page itself."""
    module = _environment().get_template(template).module
    return str(getattr(module, macro)(*values))


def refused(asked: Asked, error: CoachbookError, status: int = 422) -> Response:
    """The page that says what is wrong, and how to mend it."""
    told = error.told(in_words)
    if asked.is_part:
        return Response(told, status, media_type="text/plain")
    typed = [text for name in _TYPED for text in asked.all(name) if text.strip()]
    return shown(asked, "refused.html", status=status, told=told, typed=typed)


def board(position: Position, marks: Marks | None = None) -> Markup:
    """A board to look at; a screen reader says where each man stands."""
    return Markup(board_svg(position, marks or Marks(), SPRITES, position_told(position)))  # noqa: S704 - escaped


def marks_over(marks: Marks | None, position: Position) -> Markup:
    """Marks to lay over the squares of a board on which men are moved."""
    return Markup(marks_svg(marks or Marks(), position.pieces))  # noqa: S704 - escaped


@dataclass(frozen=True, slots=True)
class ShownSquare:
    """A square as it is told ("e4, white king"), and the sprite of the man on it, "" if there is none."""

    name: str
    told: str
    sprite: str
    is_dark: bool


def board_rows(position: Position, orientation: str) -> list[tuple[int, list[ShownSquare]]]:
    """The ranks of a board with their numbers, from the top; `orientation` is the side that is below, "white"
    or "black"."""
    order = range(8) if orientation == "black" else range(7, -1, -1)
    files = list(reversed(order))
    return [(rank + 1, [_square(position, 8 * rank + file) for file in files]) for rank in order]


def _square(position: Position, at: int) -> ShownSquare:
    letter, name = position.pieces.get(at, ""), square_name(at)
    told = f"{name}, {man_told(letter)}" if letter else name
    return ShownSquare(name, told, sprite_of(letter) if letter else "", (at + at // 8) % 2 == 0)


def position_told(position: Position) -> str:
    """Such as "White: king e4, queen d1. Black: king e6. White to move."."""
    men: Mapping[bool, list[str]] = {True: [], False: []}
    for square, letter in position.pieces.items():
        men[letter.isupper()].append(f"{_NAMES[letter.upper()]} {square_name(square)}")
    side = "White" if position.white_to_move else "Black"
    return f"White: {', '.join(men[True])}. Black: {', '.join(men[False])}. {side} to move."


def man_told(letter: str) -> str:
    """Such as "white king", by its FEN letter."""
    return f"{'white' if letter.isupper() else 'black'} {_NAMES[letter.upper()]}"


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("coachbook.desk"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"day": shown_day, "day_in_words": day_in_words, "listed": listed}
    made.globals |= {
        "board": board,
        "board_rows": board_rows,
        "counted": counted,
        "man_told": man_told,
        "marks_over": marks_over,
        "lacking": lambda *texts: lacking_in_words(letters_lacking(" ".join(texts))),
        "new_touch": lambda: str(uuid4()),
        "plural": plural,
        "sprite_of": sprite_of,
        "sprites": SPRITES,
    }
    return made
