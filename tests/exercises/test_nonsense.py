"""No sentence decides anything: where all of them are nonsense, exercises are made and marked as ever."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from coachbook.club.stored import worksheet_from, worksheet_text
from coachbook.exercises.generate import make_exercises
from coachbook.exercises.kinds import kind_names
from coachbook.exercises.marking import RIGHT, mark_answer
from coachbook.exercises.verify import check_exercise, find_damage, find_fault
from coachbook.model.print_options import Notation, PaperOptions
from coachbook.model.worksheet import AnswerForm, Exercise, Saying
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from coachbook.wording import exercises as wording
from coachbook.wording import method_words
from coachbook.wording.exercises import accepted_words, printed_options
from coachbook.wording.sentences import Sentence
from tests.exercises.samples import FIRST_USES, Use
from tests.paper import printed, samples

NONSENSE = "Twas brillig, and the slithy toves did gyre and gimble in the wabe"


@cache
def _made(use: Use, told: str) -> tuple[Exercise, ...]:
    assert told in ("sense", "nonsense")  # what the sentences are when it is called
    return make_exercises(use.unit, use.use, 3, 11, frozenset())


def _says_nonsense(sentence: Sentence) -> Sentence:
    return replace(sentence, words=lambda **_: NONSENSE)


@pytest.fixture
def sense(use: Use) -> tuple[Exercise, ...]:
    """Exercises that are told in English."""
    return _made(use, "sense")


@pytest.fixture
def nonsense(sense: tuple[Exercise, ...], use: Use, monkeypatch: pytest.MonkeyPatch) -> tuple[Exercise, ...]:
    """The same, but now every sentence, title, rule and option says nothing that anybody could understand."""
    assert sense
    for code, sentence in wording.SENTENCES.items():
        monkeypatch.setitem(wording.SENTENCES, code, _says_nonsense(sentence))
    for number, code in enumerate(sorted(method_words.RULES)):
        monkeypatch.setitem(method_words.RULES, code, (f"borogove {number:02}", NONSENSE))
    for method in method_words.TITLES:
        monkeypatch.setitem(method_words.TITLES, method, NONSENSE)
    for number, option in enumerate(sorted(wording._OPTIONS)):
        monkeypatch.setitem(wording._OPTIONS, option, (f"rath {number:02}",))
    return _made(use, "nonsense")


def _without_words(exercise: Exercise) -> object:
    """All that an exercise is, but for how its sentences are put."""

    def bare(said: object) -> object:
        if isinstance(said, tuple):
            return tuple(map(bare, said))
        if isinstance(said, Saying):
            return said.code, said.facts
        names = getattr(said, "__slots__", None)
        return said if names is None else tuple(bare(getattr(said, name)) for name in names)

    return bare(exercise)


def test_each_kind_is_tried() -> None:
    assert {use.use.kind for use in FIRST_USES} == set(kind_names())


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_exercises_are_made_and_verified_all_the_same(
    sense: tuple[Exercise, ...], nonsense: tuple[Exercise, ...]
) -> None:
    assert {exercise.task.words for exercise in nonsense} == {NONSENSE}
    assert list(map(_without_words, nonsense)) == list(map(_without_words, sense))
    for exercise in nonsense:
        check_exercise(exercise)
    for exercise in sense:  # as on a sheet from before the words were changed
        assert (find_fault(exercise), find_damage(exercise)) == (None, None)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_exercises_are_drawn_and_kept_all_the_same(nonsense: tuple[Exercise, ...], tmp_path: Path) -> None:
    sheet = replace(samples.worksheet(), items=nonsense)
    assert worksheet_from(worksheet_text(sheet), sheet.code) == sheet
    (tmp_path / "sheet.pdf").write_bytes(
        worksheets_pdf([(sheet, "")], PaperOptions(notation=Notation.LETTERS))
    )
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], PaperOptions()))
    text = " ".join(" ".join(printed.texts(tmp_path / "sheet.pdf")).split())
    assert text.count("slithy toves") == len(sheet.items)
    assert all(option in text for option in printed_options(sheet.items[0].answer))


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_answers_are_marked_all_the_same(nonsense: tuple[Exercise, ...]) -> None:
    for exercise in nonsense:
        answer = exercise.answer
        assert mark_answer(exercise, ", ".join(accepted_words(answer))) == RIGHT
        if answer.form is not AnswerForm.CHOICE:
            continue
        for number, option in enumerate(answer.options):
            right = option in answer.accepted
            typed = str(answer.numbers[number] if answer.numbers else number + 1)
            for written in (wording.option_words(option), typed):
                assert mark_answer(exercise, written).right == right
