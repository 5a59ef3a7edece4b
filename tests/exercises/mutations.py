"""Exercises with one thing made wrong, each with what was done to it."""

from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from functools import partial
from typing import Any

import chess

from coachbook.endgame.symmetry import symmetry_key
from coachbook.method import king_and_pawn_verdicts, queen_against_pawn
from coachbook.model.because import Verdict
from coachbook.model.claims import Claim
from coachbook.model.position import Position
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.mutations_said import other_sayings
from tests.exercises.mutations_shown import Mutant, other_marks, other_plans

_PAWN_WINS = {verdict.because: verdict.won for verdict in king_and_pawn_verdicts.VERDICTS}
_QUEEN_WINS = {verdict.because: verdict.won for verdict in queen_against_pawn.VERDICTS}
_WINS = _PAWN_WINS | _QUEEN_WINS


def mutants(exercise: Exercise) -> Iterator[Mutant]:
    """All of them. Every one is wrong whatever the position is."""
    for mutate in (
        _other_positions,
        _other_claims,
        _other_answers,
        _other_marking,
        other_marks,
        other_plans,
        other_sayings,
    ):
        yield from mutate(exercise, chess.Board(exercise.position.fen))
    yield "difficulty 0", replace(exercise, difficulty=0)
    yield "difficulty 101", replace(exercise, difficulty=101)


def moved(exercise: Exercise) -> Iterator[Mutant]:
    """The exercise with one man elsewhere, plan and key following. Some are true by chance."""
    board = chess.Board(exercise.position.fen)
    for square, man in board.piece_map().items():
        for other in chess.SquareSet(~board.occupied):
            after = board.copy()
            after.remove_piece_at(square)
            after.set_piece_at(other, man)
            if after.is_valid():
                yield (
                    f"{man} from {chess.square_name(square)} to {chess.square_name(other)}",
                    _at(exercise, after),
                )


def _at(exercise: Exercise, board: chess.Board) -> Exercise:
    position, plan = Position(board.fen()), exercise.solution.plan
    plan = plan and replace(plan, start=position)
    return replace(
        exercise,
        position=position,
        key=symmetry_key(board),
        solution=replace(exercise.solution, plan=plan),
    )


def _other_positions(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    flipped = board.copy()
    flipped.turn = not board.turn
    yield "the other side to move", replace(exercise, position=Position(flipped.fen()))
    yield "no legal position", replace(exercise, position=Position("8/8/8/8/8/8/kK6/8 w - - 0 1"))
    yield "no position at all", replace(exercise, position=Position("8/44/8/8/8/8/8/k1K5 w - - 0 1"))
    yield "another key", replace(exercise, key=exercise.key[:-1])
    for what, elsewhere in moved(exercise):
        if elsewhere.key != exercise.key:
            yield f"{what}, key kept", replace(elsewhere, key=exercise.key)


def _other_claims(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    yield "no claims", replace(exercise, claims=())
    claims = exercise.claims
    for index, claim in enumerate(claims):
        for false in _false_claims(claim, board):
            changed = (*claims[:index], false, *claims[index + 1 :])
            yield f"{claim} became {false}", replace(exercise, claims=changed)


def _false_claims(claim: Claim, board: chess.Board) -> Iterator[Claim]:
    """A number one off, a set with one too many or too few, the opposite, another word."""
    moves: set[Any] = {move.uci() for move in board.legal_moves}

    def changed(name: str, value: object) -> Claim:
        changes: dict[str, Any] = {name: value}
        return replace(claim, **changes)

    for name in (field.name for field in fields(claim)):
        value = getattr(claim, name)
        if isinstance(value, frozenset):
            every = set(chess.SQUARES) if name in ("squares", "area", "box") else moves
            for one in [*sorted(every - value)[:3], *sorted(value)]:
                yield changed(name, value ^ {one})
        elif isinstance(value, bool):
            yield changed(name, not value)
        elif isinstance(value, int):
            yield changed(name, value + 1)
            yield changed(name, value - 1)
        elif isinstance(value, Verdict):
            yield from map(partial(changed, name), _false_reasons(value, board))
        elif isinstance(value, str):
            yield from map(partial(changed, name), _other_names(name, value, moves))


def _other_names(name: str, value: str, moves: set[Any]) -> Iterator[str]:
    if name == "after" and value:
        yield from moves - {value}
    elif name in ("status", "method", "rule", "man", "goal", "first"):
        yield "another"


def _other_lists(value: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """One too few or too many, or another in the place of one."""
    yield from (value[1:], value[:-1], (*value, value[0]), ())
    for index in range(len(value)):
        yield (*value[:index], "another", *value[index + 1 :])
        yield (*value[:index], value[index - 1], *value[index + 1 :])


def _false_reasons(reason: Verdict, board: chess.Board) -> Iterator[Verdict]:
    """The other side, the other wing, and verdicts of the other result or of another ending."""
    yield replace(reason, white=not reason.white)
    yield replace(reason, mirrored=not reason.mirrored)
    won = _WINS[reason.because]
    elsewhere = _PAWN_WINS if board.queens else _QUEEN_WINS
    opposite = {because for because, wins in _WINS.items() if wins != won}
    yield from (replace(reason, because=because) for because in sorted(opposite | elsewhere.keys()))


def _other_answers(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    answer = exercise.answer
    for accepted in _OTHER_ACCEPTED[answer.form](exercise, board):
        yield f"the answer {accepted}", replace(exercise, answer=replace(answer, accepted=accepted))
    if answer.options:
        others = tuple(range(1, len(answer.options) + 1))
        yield "other numbers", replace(exercise, answer=replace(answer, numbers=others))
    if answer.form is not AnswerForm.NUMBER:
        number = replace(answer, form=AnswerForm.NUMBER, accepted=("1",), options=(), numbers=(), replies=())
        yield "another form", replace(exercise, answer=number)


def _other_numbers(exercise: Exercise, _: chess.Board) -> Iterator[tuple[str]]:
    (number,) = exercise.answer.accepted
    yield from ((str(int(number) - 1),), (str(int(number) + 1),), ("0",), ("nine",), (f"0{number}",))


def _other_choices(exercise: Exercise, _: chess.Board) -> Iterator[tuple[str]]:
    yield from ((option,) for option in exercise.answer.options if option not in exercise.answer.accepted)


def _other_races(exercise: Exercise, _: chess.Board) -> Iterator[tuple[str]]:
    """A number one off, numbers exchanged, the other side, and what is no race."""
    white, black, first = exercise.answer.accepted[0].split()
    other = {"white": "black", "black": "white"}[first]
    for by in (-1, 1):
        yield (f"{int(white) + by} {black} {first}",)
        yield (f"{white} {int(black) + by} {first}",)
    yield from (
        (f"{white} {black} {other}",),
        (f"{white}  {black} {first}",),
        (f"{white} {black}",),
        ("race",),
    )


def _other_squares(exercise: Exercise, _: chess.Board) -> Iterator[tuple[str, ...]]:
    accepted = exercise.answer.accepted
    for square in accepted:
        yield tuple(other for other in accepted if other != square)
        yield (*accepted, square)
    for square in set(chess.SQUARE_NAMES) - set(accepted):
        yield (*accepted, square)


def _other_moves(exercise: Exercise, board: chess.Board) -> Iterator[tuple[str, ...]]:
    accepted = exercise.answer.accepted
    for san in accepted:
        yield tuple(other for other in accepted if other != san)
        yield (*accepted, san)
        yield tuple(other + "?" * (other == san) for other in accepted)
    for san in [*map(board.san, board.legal_moves), "Ka1xh8", "--"]:
        if san not in accepted:
            yield (*accepted, san)
            yield (*accepted[1:], san)


def _other_lines(exercise: Exercise, board: chess.Board) -> Iterator[tuple[str, ...]]:
    """Another move in the place of one, legal there or not, and the moves in another order."""
    accepted = exercise.answer.accepted
    now = board.copy()
    for index, (san, reply) in enumerate(zip(accepted, (*exercise.answer.replies, ""), strict=True)):
        for other in [*map(now.san, now.legal_moves), "Ka1xh8", f"{san}?", ""]:
            if other != san:
                yield (*accepted[:index], other, *accepted[index + 1 :])
        now.push_san(san)
        if reply:
            now.push_san(reply)
    yield accepted[::-1]


_OTHER_ACCEPTED: dict[AnswerForm, Callable[[Exercise, chess.Board], Iterator[tuple[str, ...]]]] = {
    AnswerForm.NUMBER: _other_numbers,
    AnswerForm.CHOICE: _other_choices,
    AnswerForm.SQUARES: _other_squares,
    AnswerForm.MOVES: _other_moves,
    AnswerForm.RACE: _other_races,
    AnswerForm.LINE: _other_lines,
}


def _other_marking(exercise: Exercise, _: chess.Board) -> Iterator[Mutant]:
    """How an answer is marked, and what there is to choose from."""
    answer = exercise.answer
    others: list[tuple[str, dict[str, Any]]] = [
        ("no name for a wrong answer", {"wrong": ""}),
        ("a name for a wrong answer that nobody knows", {"wrong": "oops"}),
    ]
    if len(answer.accepted) > 1:
        others.append(("all or one, turned", {"all_needed": not answer.all_needed}))
    if answer.replies:
        others.append(("other replies", {"replies": answer.replies[::-1]}))
        others.append(("a reply that nobody can play", {"replies": ("Ka1xh8", *answer.replies[1:])}))
        others.append(
            ("a move and its reply less", {"accepted": answer.accepted[:-1], "replies": answer.replies[:-1]})
        )
    if answer.missed:
        others.append(("no name for a missing answer", {"missed": ""}))
    if answer.options:
        others.append(("options turned", {"options": answer.options[::-1]}))
        others.append(("an option added", {"options": (*answer.options, "perhaps")}))
        others.append(("an option twice", {"options": (*answer.options, answer.options[0])}))
    for option in set(answer.options) - set(answer.accepted):
        left = tuple(each for each in answer.options if each != option)
        others.append((f"without the option {option}", {"options": left}))
    for what, changes in others:
        numbers = () if "options" in changes else answer.numbers
        yield what, replace(exercise, answer=replace(answer, **{"numbers": numbers, **changes}))
