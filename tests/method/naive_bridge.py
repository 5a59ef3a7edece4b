"""Building a bridge, followed by hand with the rules of chess only; White has the pawn.

Written anew from the words of the rules: it shares nothing with `coachbook.method`.
"""

from collections.abc import Callable

import chess

from tests.judges.moves import after

Choice = tuple[str, set[str]]
_FIFTH, _FOURTH = 4, 3


def picture(board: chess.Board) -> bool:
    """The words of the summary: from where the method works, White to move."""
    king, lone, pawn = _king(board), _lone(board), _pawn(board)
    rook = _rook(board)
    if pawn is None or rook is None or _his_rook(board) is None or board.is_check():
        return False
    file, to_rook = _file(pawn), _file(rook) - _file(pawn)
    home = _rank(pawn) == 6 and king == pawn + 8 and file not in (0, 7)
    one_between = abs(to_rook) == 2
    beyond = (_file(lone) - _file(rook)) * to_rook > 0
    back = _rank(lone) == 7 or (_rank(lone) == 6 and _rank(rook) == _FOURTH)
    return home and one_between and beyond and back


def decide(board: chess.Board, *, by_card: bool = False) -> Choice:
    """The rule that decides by the exact words, or by those on its card, and the moves (UCI) that it leaves;
    "" where none does."""
    moves = _moves(board)
    found = [move for move in moves if _rule_1(board, move)]
    if found:
        return "queen_or_rook", _names(found)
    moves = [move for move in moves if not _is_unsafe(after(board, move)) and not move.promotion]
    for code, rule in _RULES.items():
        found = rule(board, moves, by_card)
        if found:
            return code, _names(found)
    return "", set()


def longest_way(board: chess.Board, known: dict[str, int]) -> int:
    """The most moves of White to what rule 1 names, over all that the words leave open and all replies. A
    circle would end in a RecursionError."""
    if board.board_fen() not in known:
        thens = [after(board, chess.Move.from_uci(move)) for move in decide(board)[1]]
        assert thens, board.fen()
        known[board.board_fen()] = 1 + max(_way_after(then, known) for then in thens)
    return known[board.board_fen()]


def _way_after(then: chess.Board, known: dict[str, int]) -> int:
    if is_reached(then):
        return 0
    return max(longest_way(after(then, reply), known) for reply in then.legal_moves)


def follows(fen: str, moves: tuple[str, ...]) -> bool:
    """Whether a line is played by the words, and ends with what rule 1 names."""
    board = chess.Board(fen)
    for ply, text in enumerate(moves):
        if ply % 2 == 0 and text not in decide(board)[1]:
            return False
        board.push_uci(text)
    return is_reached(board)


def _rule_1(board: chess.Board, move: chess.Move) -> bool:
    return is_reached(after(board, move))


def is_reached(then: chess.Board) -> bool:
    """Black to move: a safe queen, a rook against a bare king, or mate."""
    if then.is_checkmate():
        return True
    if not _pawn_or_queen(then) and not _his_rook(then):
        return _rook(then) is not None and not _king_takes(then, _rook(then))
    if not then.queens or then.is_stalemate():
        return False
    for reply in then.legal_moves:
        taken = then.piece_type_at(reply.to_square)
        by_rook = then.piece_type_at(reply.from_square) == chess.ROOK
        if taken == chess.QUEEN and not (by_rook and _taken_for_good(after(then, reply))):
            return False
        if taken == chess.ROOK and _his_rook(then) is not None:
            return False
        if _queen_behind(after(then, reply)) and not _keeps_queen(after(then, reply)):
            return False
    return True


def _queen_behind(replied: chess.Board) -> bool:
    """His rook gives check, and White's queen stands behind the king on that line."""
    his, queen, king = _his_rook(replied), _only(replied.pieces(chess.QUEEN, chess.WHITE)), _king(replied)
    if his is None or queen is None or his not in replied.checkers():
        return False
    return king in chess.SquareSet(chess.between(his, queen))


def _keeps_queen(replied: chess.Board) -> bool:
    queen = _only(replied.pieces(chess.QUEEN, chess.WHITE)) or 0
    for move in replied.legal_moves:
        of, then = _of(replied, move), after(replied, move)
        meets = _takes_rook(replied, move) or (of == chess.ROOK and _beside(replied, move))
        if (
            meets
            and not then.is_stalemate()
            and not any(_takes_for_nothing(then, r) for r in then.legal_moves)
        ):
            return True
        beside = of == chess.KING and chess.square_distance(move.to_square, queen) == 1
        rook = _rook(then)
        if beside and rook is not None and chess.square_distance(_lone(then), rook) > 1:
            return True
    return False


def _takes_for_nothing(then: chess.Board, reply: chess.Move) -> bool:
    """He takes a man while he has a rook, and White can't take that."""
    replied = after(then, reply)
    if not then.is_capture(reply) or _his_rook(then) is None:
        return False
    return not any(_takes_rook(replied, move) for move in replied.legal_moves)


def _is_unsafe(then: chess.Board) -> bool:
    """Rule 2: he is stalemated, or takes rook or pawn and his rook can't be taken."""
    if then.is_stalemate():
        return True
    return any(_wins_a_man(then, reply) for reply in then.legal_moves)


def _wins_a_man(then: chess.Board, reply: chess.Move) -> bool:
    taken = then.piece_type_at(reply.to_square)
    replied = after(then, reply)
    if taken == chess.PAWN:
        return not _taken_for_good(replied)
    if taken != chess.ROOK or _his_rook(then) is None:
        return False
    return not any(_takes_rook(replied, move) for move in replied.legal_moves)


def _taken_for_good(replied: chess.Board) -> bool:
    """White can take his rook, and his king can't take White's."""
    thens = [after(replied, move) for move in replied.legal_moves if _takes_rook(replied, move)]
    return any(_rook(then) is not None and not _king_takes(then, _rook(then)) for then in thens)


def _answers(board: chess.Board, moves: list[chess.Move], _by_card: bool = False) -> list[chess.Move]:
    takes = [move for move in moves if _takes_rook(board, move)]
    if takes or not board.is_check():
        return takes
    steps = [move for move in moves if _of(board, move) == chess.KING and _between_pawn_and_rook(board, move)]
    beside = [move for move in moves if _of(board, move) == chess.ROOK and _beside(board, move)]
    return steps or beside


def _between_pawn_and_rook(board: chess.Board, move: chess.Move) -> bool:
    pawn, rook, to = _pawn(board), _rook(board), move.to_square
    if pawn is None or rook is None:
        return False
    return _file(pawn) == _file(rook) == _file(to) and rook < to < pawn


def _ready(board: chess.Board, moves: list[chess.Move], by_card: bool) -> list[chess.Move]:
    found = [move for move in moves if _is_ready(after(board, move))]
    if by_card:
        return found
    return _least(found, lambda move: chess.square_distance(_king(after(board, move)), _queening(board)))


def _is_ready(then: chess.Board) -> bool:
    if then.king(chess.BLACK) is None or not _could_queen(then):
        return False
    return all(_goes_on(after(then, reply)) for reply in then.legal_moves)


def _could_queen(then: chess.Board) -> bool:
    """If it were White's turn, rule 1 could make a queen."""
    now = then.copy(stack=False)
    now.turn = chess.WHITE
    pushes = [move for move in now.generate_pseudo_legal_moves() if move.promotion == chess.QUEEN]
    pushes = [move for move in pushes if _file(move.to_square) == _file(move.from_square)]
    return any(not now.is_into_check(move) and _rule_1(now, move) for move in pushes)


def _goes_on(replied: chess.Board) -> bool:
    moves = _moves(replied)
    if any(_rule_1(replied, move) for move in moves):
        return True
    safe = [move for move in moves if not move.promotion and not _is_unsafe(after(replied, move))]
    return bool(_answers(replied, safe))


def _to_fourth(board: chess.Board, moves: list[chess.Move], _by_card: bool) -> list[chess.Move]:
    rook = _rook(board)
    if rook is None or _king(board) != _queening(board):
        return []
    along = [move for move in moves if move.from_square == rook and _file(move.to_square) == _file(rook)]
    ranks = {_rank(move.to_square): [move] for move in along}
    if _FOURTH in ranks or _rank(rook) <= _FOURTH:
        return ranks.get(_FOURTH, [])
    below = [rank for rank in ranks if rank < _FOURTH]
    return ranks[max(below)] if below else []


def _rook_below(board: chess.Board, moves: list[chess.Move], by_card: bool) -> list[chess.Move]:
    king, rook, his, pawn = _king(board), _rook(board), _his_rook(board), _pawn(board)
    if rook is None or his is None or pawn is None or board.is_check() or king == _queening(board):
        return []
    if _file(his) != _file(pawn) or his > pawn:
        return []
    of_rook = [move for move in moves if move.from_square == rook]
    below = [move for move in of_rook if _rank(move.to_square) == _rank(king) - 1]
    if _rank(rook) == _rank(king) - 1:
        below = [move for move in below if _beside(board, move)]
        below = (
            below
            if by_card
            else _least(below, lambda move: -chess.square_distance(move.to_square, _lone(board)))
        )
    if below:
        return below
    along = [move for move in of_rook if _file(move.to_square) == _file(rook)]
    return [move for move in along if board.gives_check(move) and _beside(board, move)]


def _king_walks(board: chess.Board, moves: list[chess.Move], by_card: bool) -> list[chess.Move]:
    pawn, home = _pawn(board), _queening(board)
    steps = [move for move in moves if _of(board, move) == chess.KING and move.to_square != home]
    steps = [move for move in steps if pawn is not None and abs(_file(move.to_square) - _file(pawn)) <= 1]
    comes_out = board.is_check() or _king(board) == home

    def far(move: chess.Move) -> tuple[int, int]:
        to, rook = move.to_square, _rook(board)
        rook = to if rook is None else rook
        ranks = abs(_rank(to) - _FIFTH) if comes_out else chess.square_distance(to, home)
        return ranks, 0 if by_card else abs(_file(to) - _file(rook)) + abs(_rank(to) - _rank(rook))

    return _least(steps, far)


_RULES: dict[str, Callable[[chess.Board, list[chess.Move], bool], list[chess.Move]]] = {
    "answer_check": _answers,
    "ready_to_queen": _ready,
    "rook_to_fourth": _to_fourth,
    "rook_beside_king": _rook_below,
    "king_to_fifth": _king_walks,
}


def _least(moves: list[chess.Move], far: Callable[[chess.Move], object]) -> list[chess.Move]:
    ranked = [(far(move), move) for move in moves]
    nearest = min((each for each, _ in ranked), default=None)  # type: ignore[type-var]
    return [move for each, move in ranked if each == nearest]


def _moves(board: chess.Board) -> list[chess.Move]:
    return [move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)]


def _takes_rook(board: chess.Board, move: chess.Move) -> bool:
    return board.piece_type_at(move.to_square) == chess.ROOK and board.is_capture(move)


def _beside(board: chess.Board, move: chess.Move) -> bool:
    return chess.square_distance(move.to_square, _king(board)) == 1


def _king_takes(then: chess.Board, square: int | None) -> bool:
    return any(move.to_square == square for move in then.legal_moves)


def _of(board: chess.Board, move: chess.Move) -> int | None:
    return board.piece_type_at(move.from_square)


def _names(moves: list[chess.Move]) -> set[str]:
    return {move.uci() for move in moves}


def _king(board: chess.Board) -> int:
    return board.king(chess.WHITE) or 0


def _lone(board: chess.Board) -> int:
    return board.king(chess.BLACK) or 0


def _only(squares: chess.SquareSet) -> int | None:
    return next(iter(squares), None)


def _rook(board: chess.Board) -> int | None:
    return _only(board.pieces(chess.ROOK, chess.WHITE))


def _his_rook(board: chess.Board) -> int | None:
    return _only(board.pieces(chess.ROOK, chess.BLACK))


def _pawn(board: chess.Board) -> int | None:
    return _only(board.pieces(chess.PAWN, chess.WHITE))


def _pawn_or_queen(board: chess.Board) -> bool:
    return bool(board.pawns or board.queens)


def _queening(board: chess.Board) -> int:
    pawn = _pawn(board)
    return 0 if pawn is None else 56 + _file(pawn)


def _file(square: int | None) -> int:
    return (square or 0) % 8


def _rank(square: int | None) -> int:
    return (square or 0) // 8
