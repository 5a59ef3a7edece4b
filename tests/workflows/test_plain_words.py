"""What is read aloud or given to children keeps to the style sheet in curricula/README.md."""

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import pytest
import textstat

from coachbook.method.methods import all_methods
from coachbook.method.rules import Method
from coachbook.model.syllabus import Level, Unit
from coachbook.wording.definitions import DEFINITIONS
from coachbook.wording.method_words import CARD_WORDS, SUMMARIES
from coachbook.workflows.standings import load_syllabus
from tests.exercises.samples import LARGE_USES, USES, sample
from tests.shipped import WITH_FIVE_MEN, is_large

SYLLABUS = load_syllabus()
STYLE_SHEET = (Path(__file__).parents[2] / "curricula" / "README.md").read_text(encoding="utf-8")
BANNED = (
    "row",
    "rows",
    "lane",
    "lanes",
    "column",
    "columns",
    "slanting",
    "slantwise",
    "she",
    "her",
    "own king",
    "to and fro",
    "best play",
    "obviously",
    "simply",
    "worth gold",
)
MOST_WORDS = 25
MOST_GRADE = 4


def texts_of(unit: Unit) -> Iterator[str]:
    """All that is said or asked in a unit."""
    yield from (unit.title, unit.aim, *unit.say, *unit.slips, *unit.ahead, *unit.behind)
    for question in unit.questions:
        yield from (question.ask, question.expect, question.wrong, question.reply)
    for show in unit.shows:
        yield from (shown.words for shown in show.line)


def banned_in(text: str) -> list[str]:
    return [words for words in BANNED if re.search(rf"\b{words}\b", text, re.IGNORECASE)]


@pytest.mark.parametrize("words", [words for words in BANNED if words not in ("rows", "lanes", "columns")])
def test_the_style_sheet_says_which_words_are_not_used(words: str) -> None:
    assert re.search(rf"\b{words}\b", STYLE_SHEET, re.IGNORECASE)


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_a_unit_is_told_in_the_words_of_the_style_sheet(unit: Unit) -> None:
    assert [(text, found) for text in texts_of(unit) if (found := banned_in(text))] == []


@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_no_sentence_of_a_unit_is_too_long_to_be_said(unit: Unit) -> None:
    sentences = [each for text in texts_of(unit) for each in re.split(r"(?<=[.!?]) ", text)]
    assert [each for each in sentences if len(each.split()) > MOST_WORDS] == []


@pytest.mark.parametrize("method", all_methods(), ids=lambda method: str(method.name))
def test_the_rules_are_told_in_the_words_of_the_style_sheet(method: Method) -> None:
    told = [rule.card_words for rule in method.told]
    assert [(text, found) for text in told if (found := banned_in(text))] == []


def grade(texts: Iterable[str]) -> float:
    """The Flesch-Kincaid grade (Kincaid and others, 1975) of texts, each a sentence at least."""
    told = " ".join(text if text.endswith((".", "!", "?")) else f"{text}." for text in texts if text)
    return float(textstat.flesch_kincaid_grade(told))


@pytest.mark.parametrize("level", SYLLABUS.levels, ids=lambda level: f"level {level.number}")
def test_what_is_said_and_asked_at_a_level_is_read_in_the_fourth_grade(level: Level) -> None:
    assert grade(text for unit in level.units for text in texts_of(unit)) <= MOST_GRADE


@pytest.mark.parametrize(
    "level",
    [
        pytest.param(
            level.number,
            marks=WITH_FIVE_MEN if any(map(is_large, level.units)) else (),
            id=f"level {level.number}",
        )
        for level in SYLLABUS.levels
    ],
)
def test_the_sheets_and_keys_of_a_level_are_read_in_the_fourth_grade(level: int) -> None:
    uses = [use for use in (*USES, *LARGE_USES) if use.unit.level == level]
    items = [item for use in uses for item in sample(use, 2)]
    assert grade(item.task.words for item in items) <= MOST_GRADE
    assert grade(item.solution.text.words for item in items) <= MOST_GRADE


def test_cards_and_definitions_are_read_in_the_fourth_grade() -> None:
    assert grade(CARD_WORDS.values()) <= MOST_GRADE
    assert grade(DEFINITIONS.values()) <= MOST_GRADE


@pytest.mark.parametrize(
    "texts", [CARD_WORDS, DEFINITIONS, SUMMARIES], ids=["cards", "definitions", "summaries"]
)
def test_what_a_method_tells_is_in_the_words_of_the_style_sheet(texts: Mapping[str, str]) -> None:
    assert [(text, found) for text in texts.values() if (found := banned_in(text))] == []
