"""Whether the words of an exercise are true: its task, its answer in words, its plan, its warnings."""

import re
from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.exercises.said import moves_of
from coachbook.model.claims import RegionIs, SmallestBox, WallsAre
from coachbook.model.worksheet import AnswerForm, Exercise

_MOVE = re.compile(r"\b(?:[KQRBN][a-h]?[1-8]?x?|[a-h]x)[a-h][1-8](?:=[QRBN])?[+#]?|\b[a-h][18]=[QRBN][+#]?")
"""A move in printed words; a bare "e4" may as well be a square."""
_SQUARE = re.compile(r"\b[a-h][1-8]\b")
_TOLD_MATE = re.compile(r"\b(White|Black) mates in (\d+)")
_MAN = re.compile(r"\b(queen|rook|bishop|knight|pawn)\b")
_NUMBERS = {"one": 1, "two": 2, "three": 3}
_SIDES = {"White": chess.WHITE, "Black": chess.BLACK}

_Faults = Iterator[str]


def word_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """What is wrong with the words; the claims, the answer and the plan's moves must be right."""
    yield from _task_faults(board, exercise.task)
    yield from _named_faults(board, exercise)
    yield from _number_faults(board, exercise)
    yield from _mate_faults(probe(board), board.turn, exercise.solution.text)
    yield from _plan_word_faults(board, exercise)


def _task_faults(board: chess.Board, task: str) -> _Faults:
    """The task names the side to move, men that are there, and the mate and result that there is."""
    outcome = probe(board)
    sides = re.findall(r"\b(White|Black) (?:to move|can mate|mates)|\bfor (White|Black)\b", task)
    if any(_SIDES[first or second] != board.turn for first, second in sides):
        yield "its task names the wrong side"
    mates = re.findall(r"\b(?:can mate|mates) in (one|two|three)\b", task)
    if any(outcome != Outcome(Result.WIN, _NUMBERS[number]) for number in mates):
        yield "its task tells another mate"
    results = {"wins": Result.WIN, "draws": Result.DRAW}
    if any(outcome.result != results[verb] for verb in re.findall(r"\bmove (wins|draws)\b", task)):
        yield "its task tells another result"
    there = {chess.piece_name(man.piece_type) for man in board.piece_map().values()}
    if not set(_MAN.findall(task)) <= there:
        yield "its task names a man that is not there"


def _named_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The words name no move or square that is not the answer; the warnings only what is claimed besides."""
    solution, answer = exercise.solution, set(exercise.answer.accepted)
    claimed = {
        board.san(chess.Move.from_uci(uci)) for claim in exercise.claims for uci in moves_of(claim) or ()
    }
    if not set(_MOVE.findall(solution.text)) <= answer:
        yield "its words name a move that is not the answer"
    moves = exercise.answer.form is AnswerForm.MOVES
    squares = {chess.square_name(board.parse_san(san).to_square) for san in answer} if moves else answer
    if not set(_SQUARE.findall(solution.text)) <= squares:
        yield "its words name a square that is not of the answer"
    if not set(_MOVE.findall(" ".join(solution.watch_for))) <= claimed - answer:
        yield "it warns of a move that is right, or of which nothing is claimed"


def _number_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """Every number in the words counts something, and counts it right."""
    left = exercise.solution.text
    for pattern, numbers in _true_numbers(board, exercise).items():
        if any(found.groups() != numbers for found in re.finditer(pattern, left)):
            yield "its words name another number"
        left = re.sub(pattern, "", left)
    if re.search(r"\b\d+\b", left):
        yield "its words name a number that counts nothing"
    counted = re.search(r"\d+ squares?\b", exercise.solution.text)
    if exercise.answer.form is AnswerForm.NUMBER and not counted:
        yield "its words leave out the number"


def _true_numbers(board: chess.Board, exercise: Exercise) -> dict[str, tuple[str, ...]]:
    """What may be counted, as patterns of words with the true numbers in them."""
    true: dict[str, tuple[str, ...]] = {
        r"\bmates in (\d+) moves?\b": (str(probe(board).moves),),
        r"\b(\d+) other moves\b": (str(board.legal_moves.count() - 1),),
    }
    for claim in exercise.claims:
        if isinstance(claim, SmallestBox):
            true[r"\b(\d+) squares?\b"] = (str(claim.squares),)
        elif isinstance(claim, WallsAre | RegionIs):
            files, ranks = ({of(q) for q in claim.squares} for of in (chess.square_file, chess.square_rank))
            true[r"\b(\d+) by (\d+)\b"] = (str(len(files)), str(len(ranks)))
            true[r"\b(\d+) squares?\b"] = (str(len(claim.squares)),)
    return true


def _mate_faults(outcome: Outcome, mover: chess.Color, words: str) -> _Faults:
    for side, number in _TOLD_MATE.findall(words):
        wins = Result.WIN if _SIDES[side] == mover else Result.LOSS
        if outcome != Outcome(wins, int(number)):
            yield "its words tell another mate"


def _plan_word_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """What the plan says of its moves: mates, stalemates, draws and boxes."""
    now = board.copy(stack=False)
    sizes = {claim.squares for claim in exercise.claims if isinstance(claim, SmallestBox)}
    for step in exercise.solution.plan.steps if exercise.solution.plan else ():
        before, told = probe(now), step.achieved
        yield from _mate_faults(before, now.turn, told)
        now.push_san(step.move)
        if ("it is mate" in told.lower()) != now.is_checkmate() and not _explains_mate(now, told):
            yield "its plan is wrong about a mate"
        if "stalemate" in told and not now.is_stalemate():
            yield "its plan is wrong about a stalemate"
        if "a draw" in told and before.result is not Result.DRAW:
            yield "its plan is wrong about a draw"
        if sizes and {int(size) for size in re.findall(r"(\d+)(?=,|$)", told)} != sizes:
            yield "its plan is wrong about the box"
        if step.reply:
            now.push_san(step.reply)


def _explains_mate(board: chess.Board, told: str) -> bool:
    return board.is_checkmate() and told.startswith("Check from")
