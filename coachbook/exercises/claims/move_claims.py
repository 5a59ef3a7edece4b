"""Claims about moves: which mate, stalemate, are quickest, keep the result, take the opposition."""

import chess

from coachbook.endgame.probe import Outcome, Result, after_move, best_moves, keeping_moves, probe
from coachbook.exercises.claims.claim_check import (
    ClaimCheck,
    FactCheck,
    Scene,
    just,
    moves_after_which,
    read_line_exactly,
)
from coachbook.model.claims import (
    AllMates,
    AllStalemates,
    FastestMates,
    KeepingMoves,
    TakesOpposition,
)
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Fact


def _are_fastest(board: chess.Board, claim: FastestMates) -> bool:
    if probe(board) != Outcome(Result.WIN, claim.moves):
        return False
    mated = Outcome(Result.LOSS, claim.moves - 1)
    return claim.first == moves_after_which(board, lambda after: probe(after) == mated)


def _keeping(board: chess.Board) -> frozenset[str]:
    kept = -probe(board).result
    return moves_after_which(board, lambda after: probe(after).result == kept)


def _to_opposition(board: chess.Board) -> frozenset[str]:
    own = board.king(board.turn)
    return frozenset(
        move.uci()
        for move in board.legal_moves
        if move.from_square == own and face(move.to_square, board.king(not board.turn))
    )


def face(king: chess.Square | None, other: chess.Square | None) -> bool:
    """Whether there is one square between the kings, on a rank or file."""
    if king is None or other is None:
        return False
    apart = abs(chess.square_file(king) - chess.square_file(other))
    above = abs(chess.square_rank(king) - chess.square_rank(other))
    return (apart, above) in ((0, 2), (2, 0))


def _crosses(_: chess.Board, claim: AllStalemates) -> dict[int, str]:
    return dict.fromkeys((chess.Move.from_uci(move).to_square for move in claim.moves), Sign.CROSS)


ALL_MATES = ClaimCheck[AllMates](
    holds=lambda board, claim: claim.moves == moves_after_which(board, chess.Board.is_checkmate),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
    all_asked=True,
)
ALL_STALEMATES = ClaimCheck[AllStalemates](
    holds=lambda board, claim: claim.moves == moves_after_which(board, chess.Board.is_stalemate),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
    all_asked=True,
    is_played=False,
    signs=_crosses,
)
FASTEST_MATES = ClaimCheck[FastestMates](
    holds=_are_fastest, answers={AnswerForm.MOVES: lambda claim: claim.first}, is_quick=True
)
KEEPING_MOVES = ClaimCheck[KeepingMoves](
    holds=lambda board, claim: claim.moves == _keeping(board),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
)
TAKES_OPPOSITION = ClaimCheck[TakesOpposition](
    holds=lambda board, claim: claim.moves == _to_opposition(board),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
)


def _stalemates(scene: Scene) -> frozenset[str]:
    """The moves that stalemate (SAN), as far as that is claimed."""
    claimed = [claim.moves for claim in scene.exercise.claims if isinstance(claim, AllStalemates)]
    board = scene.answer_board
    return frozenset(board.san(chess.Move.from_uci(move)) for moves in claimed for move in moves)


def _are_stalemates(scene: Scene, fact: Fact) -> bool:
    """Moves of which is warned: they stalemate, and are not the answer."""
    warned = fact if isinstance(fact, tuple) else ()
    wrong = _stalemates(scene) - {*scene.exercise.answer.accepted}
    return bool(warned) and len({*warned}) == len(warned) and {*warned} <= wrong


def _has_more(scene: Scene, fact: Fact) -> bool:
    """Whether there are more stalemates than those that a warning names."""
    counts = [
        len(named)
        for warning in scene.exercise.solution.watch_for
        if isinstance(named := warning.fact("stalemates"), tuple)
    ]
    return bool(counts) and fact == (len(_stalemates(scene)) > counts[0])


def _mates_follow(scene: Scene, fact: Fact) -> bool:
    """After the one move that mates soonest: each reply, in the order of names, with a move that mates."""
    claimed = [claim.first for claim in scene.exercise.claims if isinstance(claim, FastestMates)]
    if not isinstance(fact, tuple) or [len(first) for first in claimed] != [1]:
        return False
    after = after_move(scene.answer_board, chess.Move.from_uci(*claimed[0]))
    pairs = [str(pair).split(" ") for pair in fact]
    replies = sorted(map(after.san, after.legal_moves))
    return [pair[0] for pair in pairs] == replies and all(_is_mate(after, pair) for pair in pairs)


def _is_mate(board: chess.Board, pair: list[str]) -> bool:
    """Whether it is two moves, exactly named, and the second mates."""
    line = list(read_line_exactly(board, pair))
    return len(pair) == len(line) == 2 and after_move(*line[1]).is_checkmate()


def _are_guarded(scene: Scene, fact: Fact) -> bool:
    """All squares beside a king that is alone, which White guards after each of the stalemating moves."""
    board, guarded = scene.answer_board, fact if isinstance(fact, tuple) else ()
    king = board.king(chess.BLACK)
    beside = [at for at in chess.SQUARES if king is not None and chess.square_distance(at, king) == 1]
    alone = [man.piece_type for man in board.piece_map().values() if not man.color] == [chess.KING]
    if not alone or guarded != tuple(map(chess.square_name, beside)):
        return False
    after_each = [after_move(board, board.parse_san(san)) for san in _stalemates(scene)]
    for after in after_each:
        after.remove_piece_at(king or 0)
    return all(after.is_attacked_by(chess.WHITE, at) for after in after_each for at in beside)


def _keeps(scene: Scene) -> bool:
    return scene.move is not None and probe(scene.after).result == -probe(scene.board).result


def _draws(scene: Scene) -> int | None:
    return len(keeping_moves(scene.board)) if probe(scene.board).result is Result.DRAW else None


def _other_checks(scene: Scene) -> bool:
    return bool(moves_after_which(scene.board, lambda after: after.is_check() and not after.is_checkmate()))


MOVE_FACTS: dict[str, FactCheck] = {
    "only_mate": just(lambda scene: len(moves_after_which(scene.board, chess.Board.is_checkmate)) == 1),
    "stalemates": _are_stalemates,
    "more": _has_more,
    "mates_after": _mates_follow,
    "guarded_beside": _are_guarded,
    "other_checks": just(_other_checks),
    "only_move": just(lambda scene: len(keeping_moves(scene.board)) == 1),
    "others": just(lambda scene: scene.board.legal_moves.count() - 1),
    "keeps": just(_keeps),
    "best": just(lambda scene: scene.move in best_moves(scene.board)),
    "drawing": just(_draws),
    "all_draw": just(lambda scene: _draws(scene) == scene.board.legal_moves.count()),
    "faces": just(lambda scene: face(*map(scene.after.king, chess.COLORS))),
}
