"""Plans in keys: one move by a method or the tables, a draw held move by move, what each move is for.

Where a draw is held, the stronger side tries to win: it leaves nothing to be taken, gives no stalemate,
repeats nothing, and leaves few replies that hold. The other side takes what it can, and else makes a move
after which a verdict says why it is a draw, or one that has a purpose. One way in which the game may go, and
no more than that; where a side can only make a move that nobody would make, the line stops before it.
"""

from collections.abc import Collection

import chess
import numpy as np

from coachbook.endgame.probe import JudgedMove, Result, after_move, judge_moves, keeping_moves
from coachbook.exercises.board_facts import WORTH, is_odd_promotion, worth
from coachbook.method.border import from_board, move_of
from coachbook.method.rules import Method, choose_all
from coachbook.method.verdicts import find_reason
from coachbook.model.position import Position
from coachbook.model.worksheet import NOTHING, Fact, Plan, PlanStep, Saying
from coachbook.wording.exercises import say


def purpose(board: chess.Board, move: chess.Move) -> dict[str, Fact]:
    """The first thing that the move does of those worth telling, as a fact; none if there is nothing."""
    after = after_move(board, move)
    if after.is_checkmate():
        return {"mate": True}
    if after.is_stalemate():
        return {"stalemate": True}
    taken = board.piece_type_at(move.to_square)
    if taken:
        return {"takes": chess.piece_name(taken)}
    if move.promotion:
        return {"becomes": chess.piece_name(move.promotion)}
    if board.piece_type_at(move.from_square) == chess.KING:
        return _of_king(board, move)
    if after.is_check():
        return {"gives_check": True}
    return {"pawn_goes_on": True} if board.piece_type_at(move.from_square) == chess.PAWN else {}


def _of_king(board: chess.Board, move: chess.Move) -> dict[str, Fact]:
    """What a step of the king does for or against the pawns."""
    before, now = move.from_square, move.to_square
    own, others = (list(board.pieces(chess.PAWN, side)) for side in (board.turn, not board.turn))
    if (own or others) and faces(now, board.king(not board.turn)):
        return {"faces": True}
    if any(_in_the_way(now, pawn, not board.turn) for pawn in others):
        return {"in_the_way": True}
    if any(_comes_beside(before, now, pawn) for pawn in others):
        return {"goes_for_pawn": True}
    if any(_comes_beside(before, now, pawn) for pawn in own):
        return {"guards_pawn": True}
    return {}


def faces(king: chess.Square, other: chess.Square | None) -> bool:
    """Whether two kings stand on one rank or file with one square between them."""
    if other is None:
        return False
    apart = abs(chess.square_file(king) - chess.square_file(other))
    above = abs(chess.square_rank(king) - chess.square_rank(other))
    return {apart, above} == {0, 2}


def _in_the_way(king: chess.Square, pawn: chess.Square, side: chess.Color) -> bool:
    """Whether the king stands ahead of a pawn of this side, on its file."""
    above = chess.square_rank(king) - chess.square_rank(pawn)
    return chess.square_file(king) == chess.square_file(pawn) and (above > 0) == side


def _comes_beside(before: chess.Square, now: chess.Square, pawn: chess.Square) -> bool:
    return chess.square_distance(now, pawn) == 1 < chess.square_distance(before, pawn)


def next_step(board: chess.Board, method: Method) -> Plan:
    """A plan of one move: the first, by name, that the method leaves; White is the attacker."""
    before = from_board(board)
    choice = choose_all(method, before)
    moves = [move_of(choice.moves, before, row, chess.WHITE) for row in range(len(choice.moves.of))]
    row = min(range(len(moves)), key=lambda row: board.san(moves[row]))
    san = board.san(moves[row])
    mate = say("does", mate=True) if san.endswith("#") else None
    told = mate or method.tell(before, choice.moves.after.take(np.array([row])))
    step = PlanStep(san, say("rule", rule=method.rules[choice.rule[0]].code), told)
    return Plan(Position(board.fen()), say("by_method", method=method.name), (step,))


def one_move(board: chess.Board, judged: JudgedMove, rule: Saying) -> Plan:
    """A plan of one move that the tables gave: what it is for, and what comes of it."""
    # "one of 2 moves that draw: it is a draw" would say it twice; how soon a slower win mates is idle.
    result = {} if rule.fact("result") == "draw" or rule.code == "begins_it" else _result(board, judged)
    step = PlanStep(judged.san, rule, _does(purpose(board, judged.move) | result))
    return Plan(Position(board.fen()), say("computed"), (step,))


def _does(facts: dict[str, Fact]) -> Saying:
    return say("does", **facts) if facts else NOTHING


def mates_soon(moves: int | None) -> dict[str, Fact]:
    """In how many moves the winner mates, as a fact, where it is not so far away that it says nothing."""
    return {"mates_in": moves} if moves is not None and moves <= _SOON else {}


def _result(board: chess.Board, judged: JudgedMove) -> dict[str, Fact]:
    moves = judged.outcome.moves
    if moves is None:
        return {"result": "draw"}
    winner = "white" if board.turn == (judged.outcome.result is Result.WIN) else "black"
    if judged.san.endswith("#"):
        return {}
    return {"winner": winner, **mates_soon(moves)}


_MOST_MOVES = 6
_SOON = 5

_Rank = tuple[int, ...]


def sensible_move(board: chess.Board, seen: frozenset[str] = frozenset()) -> JudgedMove:
    """The move of a drawn position, with a move to make, that a person would understand first.

    `seen` are the positions (`chess.Board.epd`) that the stronger side would not repeat.
    """
    rank = _try if _lead(board) > 0 else _hold
    drawing = (each for each in judge_moves(board) if each.outcome.result is Result.DRAW)
    ranked = sorted(
        drawing, key=lambda each: (is_odd_promotion(each.move), rank(board, each.move, seen), each.san)
    )
    first, after = ranked[0], after_move(board, ranked[0].move)
    if rank is _hold or after.is_stalemate() or _leaves_a_man(after):
        return first
    # Looking further ahead takes long, so it is done from the best on.
    return next((each for each in ranked if _keeps_its_men(after_move(board, each.move))), first)


def makes_sense(board: chess.Board, move: chess.Move) -> bool:
    """Whether a person might make this move of a drawn position: it leaves nothing to be taken for nothing,
    and does not stalemate a side that has less."""
    after = after_move(board, move)
    return not _leaves_a_man(after) and not (after.is_stalemate() and _lead(board) > 0)


def drawing_steps(board: chess.Board) -> tuple[PlanStep, ...]:
    """Steps from a drawn position with a move to make, till nothing new can happen or nothing sensible is
    left to do, six at most."""
    now, seen = board.copy(stack=False), frozenset({board.epd()})
    steps: list[PlanStep] = []
    end = ""
    while not end:
        rule, move = how_many_hold(now), sensible_move(now, seen)
        told, reply = purpose(now, move.move), ""
        seen |= {_push(now, move.move)}
        end = _end(now, ())
        if not end:
            reply, end, seen = _reply(now, seen)
        if not end and (len(steps) == _MOST_MOVES - 1 or not _has_sensible_move(now, seen)):
            end = "on"
        steps.append(PlanStep(move.san, rule, _does({**told, "end": end} if end else told), reply))
    return tuple(steps)


def _reply(now: chess.Board, seen: frozenset[str]) -> tuple[str, str, frozenset[str]]:
    """The other side's move, made on the board, how the line ends with it, and all that was seen then; ""
    where it has no sensible one, and the line goes on unseen."""
    answer = sensible_move(now, seen)
    if not makes_sense(now, answer.move):
        return "", "on", seen
    san, before = answer.san, seen
    after = seen | {_push(now, answer.move)}
    return san, _end(now, before), after


def _has_sensible_move(board: chess.Board, seen: frozenset[str]) -> bool:
    return makes_sense(board, sensible_move(board, seen).move)


def how_many_hold(board: chess.Board) -> Saying:
    """How many of the moves of a drawn position keep the draw."""
    count, of = len(keeping_moves(board)), board.legal_moves.count()
    if count == of:
        return say("no_win" if _lead(board) > 0 else "all_draw")
    return say("one_draws") if count == 1 else say("some_draw", drawing=count)


def _push(board: chess.Board, move: chess.Move) -> str:
    board.push(move)
    return board.epd()


def _end(board: chess.Board, seen: Collection[str]) -> str:
    """How a line that holds the draw ends with this position; "" if it goes on."""
    if board.is_stalemate():
        return "stalemate"
    if board.is_insufficient_material():
        return "bare"
    return "again" if board.epd() in seen else ""


def _lead(board: chess.Board) -> int:
    """By how much the men of the side to move are worth more than the other's."""
    return worth(board, board.turn) - worth(board, not board.turn)


def _try(board: chess.Board, move: chess.Move, seen: frozenset[str]) -> _Rank:
    """How a move looks to the side that would like to win: the less the better."""
    after = after_move(board, move)
    replies = 0 if after.is_stalemate() else len(keeping_moves(after))
    pushed = board.piece_type_at(move.from_square) == chess.PAWN
    apart = chess.square_distance(after.king(chess.WHITE) or 0, after.king(chess.BLACK) or 0)
    return after.is_stalemate(), _leaves_a_man(after), after.epd() in seen, replies, not pushed, apart


def _hold(board: chess.Board, move: chess.Move, _seen: frozenset[str]) -> _Rank:
    """How a move looks to the side that is content with a draw: the less the better."""
    after = after_move(board, move)
    taken, untold = not board.is_capture(move), find_reason(after) is None
    return taken, _leaves_a_man(after), untold, not purpose(board, move)


def _leaves_a_man(board: chess.Board) -> bool:
    """Whether the side to move can take something for nothing, or for less."""
    return any(_gains(board, move) for move in board.legal_moves if board.is_capture(move))


def _keeps_its_men(board: chess.Board) -> bool:
    """Whether the side that is not to move loses nothing now, nor after whatever comes."""
    quiet = (after_move(board, move) for move in board.legal_moves if not board.is_capture(move))
    return not _leaves_a_man(board) and not any(_must_leave_a_man(after) for after in quiet)


def _must_leave_a_man(board: chess.Board) -> bool:
    return all(_leaves_a_man(after_move(board, move)) for move in board.legal_moves)


def _gains(board: chess.Board, move: chess.Move) -> bool:
    taken = board.piece_type_at(move.to_square) or chess.PAWN
    taker = board.piece_type_at(move.from_square) or chess.PAWN
    after = after_move(board, move)
    again = any(reply.to_square == move.to_square for reply in after.legal_moves)
    return not again or WORTH[taken] > WORTH[taker]
