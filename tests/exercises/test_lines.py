"""Lines: how three moves, and a move of a printed line, are read, and what a line must be to be asked for."""

import random
from dataclasses import replace
from pathlib import Path

import chess
import pytest

from coachbook.club.stored import worksheet_from, worksheet_text
from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import CoachbookError
from coachbook.exercises.answers_read import fitting_options
from coachbook.exercises.generate import derived_seed, exercise_stream, make_forms
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.exercises.verify import check_exercise, find_damage, find_fault
from coachbook.model.claims import LineMistake, MethodLine, RuleEnding, WaitingMoves
from coachbook.model.facts import Slip
from coachbook.model.print_options import Notation, PaperOptions
from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.paper.answer_key import key_pdf
from coachbook.paper.sheet_pages import worksheets_pdf
from tests.exercises.answers import next_moves
from tests.exercises.samples import first_use, sample, unit_with
from tests.judges import moves
from tests.judges.published import Published
from tests.paper import printed, samples

LINE_KINDS = ("next_moves", "find_mistake", "finish_rule", "waiting_move")


def of(kind: str) -> tuple[Exercise, ...]:
    return sample(first_use(kind), 8)


def at(fen: str, kind: str) -> Exercise:
    """The exercise that a kind makes of a position."""
    board = chess.Board(fen)
    draft = find_kind(kind).draft(board)
    assert draft is not None
    first = of(kind)[0]
    changed = replace(
        first, position=replace(first.position, fen=fen), key=symmetry_key(board), answer=draft.answer
    )
    return replace(changed, task=draft.task, solution=draft.solution, claims=draft.claims)


QUEEN = at("3k4/8/4Q3/8/8/8/8/K7 w - - 0 1", "next_moves")  # 1. Qf7 Kc8 2. Qe7 Kb8 3. Qd7


def pawn() -> Exercise:
    """A line of a pawn, in which a mistake is to be found."""
    return of("find_mistake")[0]


def test_the_line_of_the_examples_is_the_one_that_they_mean() -> None:
    assert QUEEN.answer.accepted == ("Qf7", "Qe7", "Qd7")
    assert QUEEN.answer.replies == ("Kc8", "Kb8")


@pytest.mark.parametrize(
    ("written", "letters"),
    [
        ("Qf7, Qe7, Qd7", None),
        ("1. Qf7 2. Qe7 3. Qd7", None),
        ("1. Qf7 Kc8 2. Qe7 Kb8 3. Qd7", None),
        ("1 Qf7 2 Qe7 3 Qd7", None),
        ("1.Qf7 Kc8 2.Qe7 3.Qd7", None),
        ("queen f7, king c8, queen e7, queen d7", None),
        ("e6-f7 f7-e7 e7-d7", None),
        ("f7 e7 d7", None),
        ("Qf7! then Qe7 then Qd7", None),
        ("1. Df7 Kc8 2. De7 Kb8 3. Dd7", "KDTLS"),
        ("Df7 Rc8 De7 Rb8 Dd7", "RDTAC"),
        ("♕f7 ♕e7 ♛d7", None),
        ("1. Qf7 Kc8 2. Qe7 Kb8 3. Qd7 Ka8", None),  # it goes on
        ("1. Qf7 Kc8 2. Qe7 Kb8 3. Qd7 Qd7", None),
    ],
)
def test_three_moves_are_read_with_the_replies_or_without(written: str, letters: str | None) -> None:
    assert mark_answer(QUEEN, written, letters) == RIGHT


@pytest.mark.parametrize(
    ("written", "slip"),
    [
        ("", Slip.NOT_TRIED),
        ("-", Slip.NOT_TRIED),
        ("none", Slip.UNREADABLE),
        ("Qf7", Slip.LINE_UNFINISHED),
        ("Qf7 Kc8", Slip.LINE_UNFINISHED),
        ("Qf7 Kc8 Qe7 Kb8", Slip.LINE_UNFINISHED),
        ("Kb2, Qe7, Qd7", Slip.MISSED_SMALLER_BOX),
        ("Qe8, Qe7, Qd7", Slip.PIECE_LOST),
        ("Qf7 Kc8 Qb7 Kb8 Qd7", Slip.PIECE_LOST),
        ("Qf7, Qe7, Kb2", Slip.MISSED_SMALLER_BOX),
        ("Qf7, Qe7, Qe6", Slip.BOX_GREW),
        ("Qf7 Qe7 Qd7 or Qe6", Slip.UNREADABLE),
        ("Qf7, Qe7, Qd7, Qe6", Slip.BOX_GREW),  # two tries at the last
        ("Qf7 Qe7 Qd7 hello", Slip.UNREADABLE),
        ("Qf7 hello Qd7", Slip.UNREADABLE),
        ("Qf7 Ka1 Qd7", Slip.ILLEGAL),
        ("Qe7, Qf7, Qd7", Slip.PIECE_LOST),
        ("Kc7 Qf7", Slip.MISREAD_SIDE),
    ],
)
def test_the_first_move_that_is_wrong_gives_the_name(written: str, slip: Slip) -> None:
    assert mark_answer(QUEEN, written) == Mark(False, slip)


@pytest.mark.parametrize("place", range(8))
def test_a_move_of_a_printed_line_is_read_by_its_number_its_move_or_both(place: int) -> None:
    exercise = of("find_mistake")[place]
    options = exercise.answer.options
    firsts = [option.split()[1] for option in options]
    for option in options:
        number, san, reply = option.split()
        ways = [number, number[0], option, f"{number} {san}", f"{number[0]}) {san}", f"{number}{san}"]
        ways += [f"{san} {reply}", f"{san}!"] if firsts.count(san) == 1 else []
        for written in ways:
            assert fitting_options(exercise, written) == (option,), written
            right = option in exercise.answer.accepted
            assert mark_answer(exercise, written) == (RIGHT if right else Mark(False, Slip.MISJUDGED))


def test_a_move_of_a_printed_line_is_read_in_the_letters_of_the_club() -> None:
    for exercise in of("find_mistake"):
        for option in exercise.answer.options:
            number, san, _ = option.split()
            assert fitting_options(exercise, f"{number} {san.replace('K', 'R')}", "RDTAC") == (option,)


@pytest.mark.parametrize(
    "written", ["9", "9. Kd5", "Kh1 or Kh2", "Ka1 Ka1 Ka1", "hello", "1. Qd5", "6.", "1. or 2."]
)
def test_what_is_no_move_of_the_line_is_unreadable(written: str) -> None:
    assert mark_answer(pawn(), written) == Mark(False, Slip.UNREADABLE)


def test_a_move_that_stands_there_twice_needs_its_number() -> None:
    twice = [
        exercise
        for exercise in sample(first_use("find_mistake"), 40)
        if len({option.split()[1] for option in exercise.answer.options}) < len(exercise.answer.options)
    ]
    assert twice
    for exercise in twice:
        sans = [option.split()[1] for option in exercise.answer.options]
        again = next(san for san in sans if sans.count(san) > 1)
        assert len(fitting_options(exercise, again)) > 1
        assert mark_answer(exercise, again) == Mark(False, Slip.UNREADABLE)


def test_a_claim_of_the_other_result_or_of_another_line_does_not_hold() -> None:
    line = pawn()
    late = line.answer.options[:-1]
    for claim in (
        LineMistake(line.answer.options, len(line.answer.options)),
        LineMistake(late[:2], 1),
        LineMistake(("1. Kd5",), 1),
        MethodLine("queen-box", ("e6f7",)),
        MethodLine("queen-box", ("e6f7", "d8c8")),
        RuleEnding("queen-box", "mate", ("mate/end", "mate/other-1", "mate/other-2")),
        WaitingMoves(frozenset()),
    ):
        for exercise in (line, QUEEN):
            fault = find_fault(replace(exercise, claims=(claim, *exercise.claims)))
            holds = isinstance(claim, MethodLine) and len(claim.line) == 1 and exercise is QUEEN
            assert holds or f"the claim {claim} does not hold" == fault


def test_damage_is_found_without_asking_a_method() -> None:
    other = replace(QUEEN.answer, accepted=("Qf7", "Qe7", "Qc7"))
    assert find_damage(replace(QUEEN, answer=other)) is not None
    assert find_damage(of("next_moves")[0]) is None


@pytest.mark.parametrize(
    "answer",
    [
        {"form": AnswerForm.LINE, "accepted": ("Qf7", "Qe7"), "replies": ()},
        {"form": AnswerForm.LINE, "accepted": ("Qf7",), "replies": ("Kc8",)},
        {"form": AnswerForm.MOVES, "accepted": ("Qf7",), "replies": ("Kc8",)},
    ],
)
def test_a_line_has_a_reply_to_each_move_but_the_last_and_nothing_else_has(answer: dict[str, object]) -> None:
    with pytest.raises(CoachbookError, match="reply to each of its moves"):
        Answer(**answer)  # type: ignore[arg-type] # as it may come out of a file


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KRRK", "KQRK"])
def test_the_next_moves_of_each_method_are_what_its_rules_say(ending: str, published: Published) -> None:
    unit, found = unit_with("next_moves", ending), list[Exercise]()
    stream = exercise_stream(unit, unit.kinds[0], 4, frozenset())
    while len(found) < 6:
        found.append(next(stream))
    for exercise in found:
        check_exercise(exercise)
        board = chess.Board(exercise.position.fen)
        assert next_moves(exercise.answer, board, published) == {" ".join(exercise.answer.accepted)}


def test_a_pawns_next_moves_never_throw_the_win_away(published: Published) -> None:
    unit = unit_with("next_moves", "KPK")
    stream = exercise_stream(unit, unit.kinds[0], 4, frozenset())
    for _ in range(20):
        exercise = next(stream)
        check_exercise(exercise)
        board = chess.Board(exercise.position.fen)
        for san, reply in zip(exercise.answer.accepted, (*exercise.answer.replies, ""), strict=True):
            assert board.parse_san(san).uci() in published.keeping(board)
            board.push_san(san)
            if reply:
                board.push_san(reply)


def test_the_place_of_a_mistake_tells_nothing() -> None:
    """It is neither the last move nor always the one before, and lines have different lengths."""
    made = sample(first_use("find_mistake"), 40)
    places = {
        (each.answer.options.index(each.answer.accepted[0]) + 1, len(each.answer.options)) for each in made
    }
    assert {length for _, length in places} == {3, 4, 5}
    assert {place for place, _ in places} == {1, 2, 3, 4}
    assert all(place < length for place, length in places)
    assert any(place < length - 1 for place, length in places)


def test_a_mistake_is_no_blunder_that_a_child_sees_at_once() -> None:
    for exercise in of("find_mistake"):
        board, (mistake,) = chess.Board(exercise.position.fen), exercise.answer.accepted
        for option in exercise.answer.options:
            _, san, reply = option.split()
            after = moves.after(board, board.parse_san(san))
            if option == mistake:
                assert moves.status(after) == "neither"
                assert not moves.can_take(after)
            board.push_san(san)
            board.push_san(reply)


@pytest.mark.parametrize("kind", ["find_mistake", "finish_rule"])
def test_what_is_drawn_by_lot_is_the_same_each_time(kind: str) -> None:
    for exercise in of(kind):
        again = find_kind(kind).draft(chess.Board(exercise.position.fen))
        assert again is not None
        assert (again.answer, again.claims) == (exercise.answer, exercise.claims)


def test_the_right_end_of_a_rule_stands_in_every_place() -> None:
    made = sample(first_use("finish_rule"), 40)
    assert {each.answer.options.index(each.answer.accepted[0]) for each in made} == {0, 1, 2}


@pytest.mark.parametrize("kind", LINE_KINDS)
def test_parallel_forms_are_alike(kind: str) -> None:
    use = first_use(kind)
    made = make_forms(replace(use.unit, kinds=(use.use,)), 6, derived_seed(1, kind), frozenset())
    assert {item.kind for item in made.a + made.b} == {kind}
    assert made.widest <= 5
    assert len({item.key for item in made.a + made.b}) == 12


def test_a_sheet_of_them_is_kept_printed_again_and_marked_as_ever() -> None:
    sheet = replace(
        samples.worksheet(), items=tuple(exercise for kind in LINE_KINDS for exercise in of(kind))
    )
    again = worksheet_from(worksheet_text(sheet), sheet.code)
    assert again == sheet
    options = PaperOptions()
    assert worksheets_pdf([(again, "")], options) == worksheets_pdf([(sheet, "")], options)
    assert key_pdf([again], options) == key_pdf([sheet], options)
    chance = random.Random(5)  # noqa: S311 - not a secret
    for before, after in zip(sheet.items, again.items, strict=True):
        for written in (", ".join(before.answer.accepted), chance.choice(["a1", "2", "Kd4, Kd5"])):
            assert mark_answer(before, written) == mark_answer(after, written)


def test_paper_prints_the_replies_and_the_key_the_whole_line(tmp_path: Path) -> None:
    sheet, options = replace(samples.worksheet(), items=(QUEEN,)), PaperOptions(notation=Notation.LETTERS)
    (tmp_path / "sheet.pdf").write_bytes(worksheets_pdf([(sheet, "")], options))
    (tmp_path / "key.pdf").write_bytes(key_pdf([sheet], options))
    on_sheet = " ".join(" ".join(printed.texts(tmp_path / "sheet.pdf")).split())
    on_key = " ".join(" ".join(printed.texts(tmp_path / "key.pdf")).split())
    assert "Kc8" in on_sheet
    assert "Kb8" in on_sheet
    assert "Qf7" not in on_sheet
    assert "1. Qf7 Kc8 2. Qe7 Kb8 3. Qd7" in on_key
