"""What a wrong answer is called is literally true of it, whatever was written."""

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import chess
import pytest

from coachbook.exercises.marking import mark_answer
from coachbook.model.facts import Slip, slip_family
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import accepted_words, option_words
from tests.exercises.answers import ANY_SQUARE, NEEDS_ALL, answer, answered, question
from tests.exercises.literal import NONE, Said, is_literally_true
from tests.exercises.samples import FIRST_USES, USES, Use, sample
from tests.judges.published import Published

NOISE = ("hello", "Qz9", "e9", "dunno", "Q", "ee", "castle", "Dh7", "14 or so")
BLANKS = ("", " ", "?", "???", "...", "_")


def _legal(board: chess.Board, right: set[str], chance: random.Random) -> Said:
    move = chance.choice([move for move in board.legal_moves if move.uci() not in right])
    san = board.san(move)
    return Said(chance.choice([san, san.rstrip("+#"), move.uci(), board.lan(move)]), (move,))


def _others(board: chess.Board, _: set[str], chance: random.Random) -> Said | None:
    """What the other side could play, and this one could not."""
    other = board.copy(stack=False)
    other.turn = not board.turn
    own = {move.uci()[2:] for move in board.legal_moves}
    king = chess.square_name(board.king(board.turn) or 0)
    moves = [move for move in other.legal_moves if move.uci()[2:4] not in own | {king}]
    return Said(other.san(chance.choice(moves)).rstrip("+#"), others=True) if moves else None


def _impossible(board: chess.Board, _: set[str], chance: random.Random) -> Said:
    """A man's name and a square to which none of the kind can go, whoever is to move."""
    other = board.copy(stack=False)
    other.turn = not board.turn
    ends = {
        (chess.piece_symbol(each.piece_type_at(move.from_square) or 1).upper(), move.to_square)
        for each in (board, other)
        for move in each.legal_moves
    }
    choices = [(man, square) for man in "KQRN" for square in chess.SQUARES if (man, square) not in ends]
    man, square = chance.choice(choices)
    return Said(
        chance.choice(["{}{}", "{}x{}", "{}-{}"]).format(man, chess.square_name(square)), impossible=True
    )


def _noise(*_: object) -> Said:
    return Said(random.Random(len(_)).choice(NOISE), noise=True)  # noqa: S311 - not a secret


def _part_of(board: chess.Board, right: set[str], chance: random.Random) -> Said:
    some = chance.sample(sorted(right), chance.randrange(len(right)))
    moves = tuple(map(chess.Move.from_uci, some))
    return Said(", ".join(map(board.san, moves)) or chance.choice(NONE), moves)


_MAKERS: tuple[Callable[[chess.Board, set[str], random.Random], Said | None], ...] = (
    *(_legal, _legal, _legal, _legal, _others, _impossible, _noise, _part_of),
)


def wrong_moves(exercise: Exercise, chance: random.Random) -> Said:
    """One wrong part, or several, and perhaps right ones before them."""
    board, right = chess.Board(exercise.position.fen), answered(exercise)
    while (said := chance.choice(_MAKERS)(board, right, chance)) is None:
        pass
    if question(exercise) not in NEEDS_ALL and said.moves and said.moves[0].uci() in right:
        return Said(chance.choice(NONE))
    is_wrong = said.others or any(move.uci() not in right for move in said.moves)
    if question(exercise) in NEEDS_ALL and is_wrong and chance.random() < 0.4:
        more = _part_of(board, right, chance)
        if more.moves:
            return Said(f"{more.text}, {said.text}", more.moves + said.moves, others=said.others)
    return said


def wrong_line(exercise: Exercise, chance: random.Random) -> tuple[Exercise, Said]:
    """A line that is right for a while, perhaps with the replies, and then goes wrong or ends; and the
    exercise of the move where it does so."""
    board, answer, texts = chess.Board(exercise.position.fen), exercise.answer, list[str]()
    until, replied = chance.randrange(len(answer.accepted)), chance.random() < 0.5
    for san, reply in zip(answer.accepted[:until], answer.replies, strict=False):
        texts += [san, reply] if replied else [san]
        board.push_san(san)
        board.push_san(reply)
    due = answer.accepted[until]
    this = replace(
        exercise,
        position=replace(exercise.position, fen=board.fen()),
        answer=replace(answer, form=AnswerForm.MOVES, accepted=(due,), replies=()),
    )
    if texts and chance.random() < 0.2:
        return this, Said(" ".join(texts))
    makers = (_legal, _legal, _legal, _others, _impossible, _noise)
    while (said := chance.choice(makers)(board, {board.parse_san(due).uci()}, chance)) is None:
        pass
    return this, replace(said, text=" ".join([*texts, said.text]))


def wrong_things(exercise: Exercise, chance: random.Random) -> Said:
    """A number, an option or squares that are not right."""
    right = set(accepted_words(exercise.answer))
    if chance.random() < 0.15:
        return Said(chance.choice(NOISE), noise=True)
    if exercise.answer.form is AnswerForm.NUMBER:
        number = chance.choice([n for n in range(65) if str(n) not in right])
        return Said(f"{number}", things=frozenset({f"{number}"}))
    if exercise.answer.form is AnswerForm.CHOICE:
        option = chance.choice(
            [each for each in map(option_words, exercise.answer.options) if each not in right]
        )
        return Said(option, things=frozenset({option}))
    if exercise.answer.form is AnswerForm.RACE:
        races = [
            f"White {w}, Black {b}, {s} first" for w in "2345" for b in "2345" for s in ("White", "Black")
        ]
        race = chance.choice([each for each in races if each not in right])
        return Said(race, things=frozenset({race}))
    squares = set(chance.sample(sorted(right), chance.randrange(len(right))))
    squares |= set(chance.sample(chess.SQUARE_NAMES, chance.randrange(3)))
    if question(exercise) in ANY_SQUARE:
        squares = {chance.choice(sorted({*chess.SQUARE_NAMES} - right))}
    return Said(" ".join(sorted(squares)) or "a9", things=frozenset(squares), noise=not squares)


def _judge_line(exercise: Exercise, chance: random.Random, published: Published) -> str:
    this, said = wrong_line(exercise, chance)
    mark = mark_answer(exercise, said.text)
    due = {chess.Board(this.position.fen).parse_san(this.answer.accepted[0]).uci()}
    told = exercise.position.fen, exercise.answer, said, mark
    assert is_literally_true(mark.slip, this, due, said, published), told
    return mark.slip


def judge(use: Use, exercises: int, answers: int, published: Published) -> Counter[str]:
    """How often each slip was named; every time it was true."""
    chance, seen = random.Random(f"{use} slips"), Counter[str]()  # noqa: S311 - not a secret
    for exercise in sample(use, exercises, seed=2):
        moves, right = exercise.answer.form is AnswerForm.MOVES, answer(exercise, published)
        for _ in range(answers):
            if exercise.answer.form is AnswerForm.LINE:
                slip = _judge_line(exercise, chance, published)
                seen[slip_family(slip)] += 1
                continue
            said = wrong_moves(exercise, chance) if moves else wrong_things(exercise, chance)
            if chance.random() < 0.04:
                said = Said(chance.choice(BLANKS))
            mark = mark_answer(exercise, said.text)
            told = exercise.kind, exercise.position.fen, exercise.answer.accepted, said, mark
            assert mark.right == (said.things == set(accepted_words(exercise.answer))), told
            assert mark.right or is_literally_true(mark.slip, exercise, right, said, published), told
            seen[slip_family(mark.slip)] += 1
    return seen


@pytest.mark.full
@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_what_two_thousand_wrong_answers_are_called_is_true(use: Use, published: Published) -> None:
    seen = judge(use, 12, 2000 // (12 * len(FIRST_USES)) + 1, published)
    assert sum(seen.values()) >= 2000 // len(FIRST_USES)


@pytest.mark.long
def test_what_wrong_answers_in_every_unit_are_called_is_true(published: Published) -> None:
    seen = sum((judge(use, 40, 12, published) for use in USES), Counter[str]())
    assert {*Slip} - {*seen} <= {Slip.NOT_QUICKEST}
