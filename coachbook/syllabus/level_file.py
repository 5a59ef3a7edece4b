"""What stands in a level file: its keys and their values, and each mistake in our words."""

import re
from difflib import get_close_matches
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, create_model
from pydantic.fields import FieldInfo

from coachbook.model.known_themes import THEMES, Theme
from coachbook.model.problem import first_hidden
from coachbook.model.syllabus import (
    ClassQuestion,
    Goal,
    KindUse,
    Level,
    PlayOut,
    SecureRule,
    Show,
    ShownMove,
    Unit,
)

LONGEST_TEXT = 1000
"""In characters: what is longer is no sentence to be said or printed."""

MOST_OF_A_LIST = 100
Way = tuple[str | int, ...]
"""The way to a value: keys, and places in lists from 0."""

_CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_ENDING = re.compile(r"KQ*R*B*N*P*KQ*R*B*N*P*")
_MOST_MOVES = 50  # Laws of Chess 9.3: after 50 moves by each side a draw may be claimed
_DEEPEST = 6  # a text of a question of a unit; no key that is known lies deeper


def _printable(text: str) -> str:
    if not text:
        raise ValueError("the text is empty")
    if hidden := first_hidden(text):
        raise ValueError(f"the sign U+{ord(hidden):04X} cannot be printed; take it out")
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"the text has {len(text)} characters; at most {LONGEST_TEXT} are allowed")
    return text


def _code(text: str) -> str:
    if not _CODE.fullmatch(text):
        raise ValueError(f"a code has lower-case letters, digits and hyphens, not '{text}'")
    return text


def _ending(text: str) -> str:
    if not _ENDING.fullmatch(text):
        raise ValueError(f"'{text}' is not an ending; write the men by value: KQK, KRRK, KPK")
    return text


def _whole(low: int, high: int) -> Any:  # noqa: ANN401  # as pydantic's Field itself
    return Field(ge=low, le=high, description=f"a whole number from {low} to {high}")


def _list(of_what: str, at_least: int) -> Any:  # noqa: ANN401
    return Field(min_length=at_least, max_length=MOST_OF_A_LIST, description=f"a list of {of_what}")


def _move_in_words(text: str) -> str:
    move, _, words = text.partition(" ")
    if not words:
        raise ValueError(f"'{move}' stands alone; write a move, a space, and what to say with it")
    return text


# A field's description is what was expected, should it be something else.
_Text = Annotated[str, AfterValidator(_printable)]
_TextOrNone = Annotated[str, AfterValidator(lambda text: text and _printable(text))]
_MoveInWords = Annotated[_Text, AfterValidator(_move_in_words)]
_Texts = Annotated[list[_Text], _list("texts", 1)]
_TextsOrNone = Annotated[list[_Text], _list("texts", 0)]
_Goal = Annotated[Literal["win", "draw"], Field(description="win or draw")]
_Difficulty = Annotated[int, _whole(1, 100)]


class _Table(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)


class _Question(_Table):
    ask: _Text
    expect: _Text
    wrong: _TextOrNone = ""
    reply: _TextOrNone = ""
    fen: _TextOrNone = ""


class _Show(_Table):
    fen: _TextOrNone = ""
    line: Annotated[list[_MoveInWords], _list("texts, each a move and a sentence", 1)]
    until: _Text


class _PlainKind(_Table):
    kind: _Text
    easiest: _Difficulty
    hardest: _Difficulty


def _value_of(theme: Theme) -> Any:  # noqa: ANN401
    def checked(value: object) -> object:
        if not theme.fits(value):
            raise ValueError(f"expected {theme.expected}, not {_shown(value)}")
        return value

    return Annotated[Any, AfterValidator(checked)]


_THEME_FIELDS: dict[str, Any] = {theme.name: (_value_of(theme), None) for theme in THEMES}
_Kind = create_model("_Kind", __base__=_PlainKind, **_THEME_FIELDS)


class _PlayOut(_Table):
    fen: _Text
    allowance: Annotated[int, _whole(1, _MOST_MOVES)]
    goal: _Goal = "win"


class _Secure(_Table):
    evenings: Annotated[int, _whole(1, 20)]
    items: Annotated[int, _whole(1, 50)]
    share: Annotated[float, Field(ge=0, le=1, description="a number from 0 to 1, such as 0.8")]
    play_outs: Annotated[int, _whole(0, 20)] = 0


class _Unit(_Table):
    code: Annotated[_Text, AfterValidator(_code)]
    title: _Text
    prerequisites: _TextsOrNone = []
    aim: _Text
    endings: Annotated[list[Annotated[_Text, AfterValidator(_ending)]], _list("texts", 1)]
    method: _Text = ""
    demonstration: _Text
    demonstration_goal: _Goal = "win"
    show: Annotated[list[_Show], _list("tables", 0)] = []
    say: _Texts
    question: Annotated[list[_Question], _list("tables", 1)]
    slips: _Texts
    kind: Annotated[list[_Kind], _list("tables", 1)]  # type: ignore[valid-type]  # made from the themes
    play_out: Annotated[list[_PlayOut], _list("tables", 0)] = []
    minutes: Annotated[int, _whole(5, 600)]
    secure: _Secure
    ahead: _TextsOrNone = []
    behind: _TextsOrNone = []


class _LevelFile(_Table):
    level: Annotated[int, _whole(1, 99)]
    title: _Text
    unit: Annotated[list[_Unit], _list("tables", 1)]


_TABLES: dict[str, type[_Table]] = {
    "unit": _Unit,
    "show": _Show,
    "question": _Question,
    "kind": _Kind,
    "play_out": _PlayOut,
    "secure": _Secure,
}


def take_level(table: dict[str, Any]) -> tuple[Level | None, dict[Way, str]]:
    """The level that a file's table holds, and what is wrong at which path.

    There is a level only if nothing is wrong. Otherwise each wrong value in `table` is
    replaced by None, so that what is right may be looked at further.
    """
    try:
        return _level_of(_LevelFile.model_validate(table)), {}
    except ValidationError as error:
        found = {
            each["loc"]: _told(each["type"], each["loc"], each["input"], each.get("ctx", {}))
            for each in error.errors(include_url=False)
        }
    for path in found:
        _take_out(table, path)
    return None, found


def tidy(value: Any, depth: int = _DEEPEST) -> Any:  # noqa: ANN401  # what TOML may hold
    """The same with line breaks and runs of spaces in its texts as one space."""
    if isinstance(value, str):
        return " ".join(value.split())
    if depth and isinstance(value, dict):
        return {key: tidy(each, depth - 1) for key, each in value.items()}
    if depth and isinstance(value, list):
        return [tidy(each, depth - 1) for each in value]
    return value


def _level_of(file: _LevelFile) -> Level:
    return Level(file.level, file.title, tuple(_unit_of(unit, file.level) for unit in file.unit))


def _unit_of(unit: _Unit, level: int) -> Unit:
    return Unit(
        code=unit.code,
        title=unit.title,
        level=level,
        prerequisites=tuple(unit.prerequisites),
        aim=unit.aim,
        endings=tuple(unit.endings),
        method=unit.method,
        demonstration=unit.demonstration,
        say=tuple(unit.say),
        questions=tuple(ClassQuestion(**dict(each)) for each in unit.question),
        slips=tuple(unit.slips),
        kinds=tuple(map(_use_of, unit.kind)),
        play_outs=tuple(PlayOut(each.fen, each.allowance, Goal(each.goal)) for each in unit.play_out),
        minutes=unit.minutes,
        secure=SecureRule(**dict(unit.secure)),
        ahead=tuple(unit.ahead),
        behind=tuple(unit.behind),
        demonstration_goal=Goal(unit.demonstration_goal),
        shows=tuple(_show_of(each, unit.demonstration) for each in unit.show),
    )


def _show_of(show: _Show, demonstration: str) -> Show:
    moves = (ShownMove(move, words) for move, _, words in (each.partition(" ") for each in show.line))
    return Show(show.fen or demonstration, tuple(moves), show.until)


def _use_of(kind: _PlainKind) -> KindUse:
    given = kind.model_dump(exclude_none=True)
    themes = tuple((theme.name, given[theme.name]) for theme in THEMES if theme.name in given)
    return KindUse(kind.kind, kind.easiest, kind.hardest, themes)


def _told(kind: str, path: Way, value: Any, more: dict[str, Any]) -> str:  # noqa: ANN401
    """What pydantic found, in our words; `kind` and `more` are its own."""
    if kind == "value_error":
        return str(more["error"])
    if kind == "missing":
        return "is missing"
    if kind == "extra_forbidden":
        return _unknown(path)
    if kind == "too_short":
        return f"expected at least {more['min_length']} of them, not {len(value)}"
    if kind == "too_long":
        return f"expected at most {MOST_OF_A_LIST} of them, not {len(value)}"
    if kind == "string_type":
        return f"expected a text in quotes, not {_shown(value)}"
    if kind == "model_type":
        return f"expected a table, not {_shown(value)}"
    return f"expected {_field(path).description}, not {_shown(value)}"


def _unknown(path: Way) -> str:
    known = _table_of(path).model_fields
    near = get_close_matches(str(path[-1]), known, n=1)
    meant = f" (did you mean '{near[0]}'?)" if near else ""
    return f"is not a key that is known here{meant}; known are: {', '.join(known)}"


def _field(path: Way) -> FieldInfo:
    return _table_of(path).model_fields[str(path[-1])]


def _table_of(path: Way) -> type[_Table]:
    """The table in which the last key of a path stands."""
    keys = [key for key in path[:-1] if isinstance(key, str)]
    return _TABLES[keys[-1]] if keys else _LevelFile


def _take_out(table: dict[str, Any], path: Way) -> None:
    here: Any = table
    for step in path[:-1]:
        here = here[step]
    last: Any = path[-1]
    if isinstance(here, list) or last in here:
        here[last] = None


def _shown(value: object) -> str:
    """A wrong value as a coach knows it, cut short."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    text = f"'{value}'" if isinstance(value, str) else str(value).lower()
    return text if len(text) <= 40 else f"{text[:37]}..."
