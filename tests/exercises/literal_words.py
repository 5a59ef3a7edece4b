"""A judge of every task who knows what is printed and no more: the sentence, the position, the options.

What a sentence asks for is looked up by its words, never by the kind that made it. What the words mean is
taken from `coachbook/wording/definitions.py`, what a rule says from the words of the cards, and what is won
or drawn from published tables. Nothing here was written with an eye on how exercises are made or marked.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import chess

from coachbook.wording.method_words import RULES, card_words
from tests.exercises import naive_methods
from tests.exercises.literal_box import right_by_words
from tests.exercises.literal_tries import (
    Printed,
    Way,
    all_moves,
    all_squares,
    lines,
    numbers,
    one_move,
    one_option,
    one_square,
    races,
)
from tests.judges import box, chase, colours, double_attack, moves, pawn
from tests.judges.published import Published
from tests.judges.race import steps_to_queen

MOST_MOVES = 8
"""A king that can catch a pawn does it by then, and a pawn that he can't catch is home."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a judge may look at: all that is printed, published tables, and the words that vary in the
    sentence, in small letters."""

    printed: Printed
    published: Published
    named: tuple[str, ...]

    @property
    def board(self) -> chess.Board:
        return chess.Board(self.printed.fen)


Judge = Callable[[Asked], set[str]]
"""All that is right: moves (UCI), squares, a number, an option, a race, or lines (SAN)."""


def judged(printed: Printed, published: Published) -> dict[str, bool]:
    """Every answer that one might write, and whether it is right by the words."""
    for sentence, (judge, way) in _SENTENCES.items():
        if read := re.fullmatch(sentence, printed.task):
            named = tuple(group.lower() for group in read.groups())
            return way(printed, judge(Asked(printed, published, named)))
    raise AssertionError(f"no judge reads '{printed.task}'")


def _box(asked: Asked) -> set[str]:
    return right_by_words(asked.printed.fen, asked.printed.task)


def _mates(asked: Asked) -> set[str]:
    return moves.mates(asked.printed.fen) if asked.board.turn else set()


def _mates_in_two(asked: Asked) -> set[str]:
    """None where one move mates: that is no mate in two."""
    quicker = moves.mates(asked.printed.fen)
    return set(moves.mates_in_two(asked.printed.fen)) if asked.board.turn and not quicker else set()


def _stalemates(asked: Asked) -> set[str]:
    return moves.stalemates(asked.printed.fen)


def _final(asked: Asked) -> set[str]:
    return {moves.status(asked.board)} if asked.board.turn == chess.BLACK else set()


def _placed(asked: Asked) -> set[str]:
    """The empty squares on which a white man makes it mate, or stalemate, of who is to move."""
    man, ends = asked.named
    piece, right = chess.Piece(chess.PIECE_NAMES.index(man), chess.WHITE), set()
    for square in chess.SquareSet(~asked.board.occupied):
        then = asked.board
        then.set_piece_at(square, piece)
        if moves.status(then) == ends:
            right.add(chess.square_name(square))
    return right


def _catches(asked: Asked) -> set[str]:
    """Neither "yes" nor "no" where nobody can tell within so many moves."""
    king, lone, runner = (
        _square_of(asked.board, kind, side)
        for kind, side in ((chess.KING, True), (chess.KING, False), (chess.PAWN, True))
    )
    said = set()
    if chase.is_caught(king, runner, lone, MOST_MOVES):
        said.add("yes")
    if chase.gets_home(king, runner, lone, MOST_MOVES):
        said.add("no")
    return said if asked.board.turn == chess.BLACK else set()


def _square_of(board: chess.Board, kind: chess.PieceType, side: chess.Color) -> str:
    (square,) = board.pieces(kind, side)
    return chess.square_name(square)


def _key_squares(asked: Asked) -> set[str]:
    return pawn.key_squares(_square_of(asked.board, chess.PAWN, chess.WHITE))


def _opposition(asked: Asked) -> set[str]:
    """All moves, of any man, after which one square is between the kings."""
    after = moves.after_each(asked.board) if _is_turn(asked) else []
    return {each.peek().uci() for each in after if pawn.face_each_other(each)}


def _is_turn(asked: Asked) -> bool:
    return asked.board.turn == (asked.named[0] == "white")


def _only_move(asked: Asked) -> set[str]:
    """The moves after which the side has what the words say, if it is one: else they are not true."""
    result, side = asked.named
    wanted = {"wins": 1, "draws": 0}[result]
    after = moves.after_each(asked.board) if asked.board.turn == (side == "white") else []
    found = {each.peek().uci() for each in after if -asked.published.result(each) >= wanted}
    return found if len(found) == 1 else set()


def _win_or_draw(asked: Asked) -> set[str]:
    white = asked.published.result(asked.board) * (1 if asked.board.turn else -1)
    verdict = {1: {"White wins"}, 0: {"draw"}}.get(white, set())
    return verdict if _is_turn(asked) else set()


def _race(asked: Asked) -> set[str]:
    """Pushed on the board, two steps where the pawn may, until one queens."""
    board, counts = asked.board, {}
    for side in chess.COLORS:
        (runner,) = board.pieces(chess.PAWN, side)
        counts[side] = steps_to_queen(chess.square_rank(runner) + 1, side)
    while True:
        side, pushes = board.turn, [move for move in board.legal_moves if _is_push(board, move)]
        if not pushes:
            return set()
        board.push(max(pushes, key=lambda push: abs(push.to_square - push.from_square)))
        if not board.pieces(chess.PAWN, side):
            first = "white" if side else "black"
            return {f"{counts[chess.WHITE]} {counts[chess.BLACK]} {first}"}


def _is_push(board: chess.Board, move: chess.Move) -> bool:
    straight = chess.square_file(move.from_square) == chess.square_file(move.to_square)
    is_pawn = board.piece_type_at(move.from_square) == chess.PAWN
    return is_pawn and straight and move.promotion in (None, chess.QUEEN)


def _lines(asked: Asked) -> set[str]:
    """Every line that the card allows to whom the printed replies are given."""
    return {" ".join(line) for line in _played(asked.board, asked.printed.replies)}


def _played(board: chess.Board, replies: tuple[str, ...]) -> list[list[str]]:
    found = []
    for uci in naive_methods.decide(board.fen(), by_card=True)[1]:
        move = chess.Move.from_uci(uci)
        then = moves.after(board, move)
        if not replies:
            found.append([board.san(move)])
        elif replies[0] in {then.san(reply) for reply in then.legal_moves}:
            then.push_san(replies[0])
            found += [[board.san(move), *rest] for rest in _played(then, replies[1:])]
    return found


def _mistakes(asked: Asked) -> set[str]:
    """The printed pairs in which White has a win, and after his move has it no more."""
    board, found = asked.board, set()
    for at, pair in enumerate(asked.printed.options, start=1):
        number, move, reply = pair.split(" ")
        assert number == f"{at}."
        was_won = asked.published.result(board) == 1
        board.push_san(move)
        if was_won and asked.published.result(board) != -1:
            found.add(pair)
        board.push_san(reply)
    return found


def _rule_end(asked: Asked) -> set[str]:
    """The options that make, with the printed beginning, the words of the rule that decides here.

    The dots of the beginning stand for what is between the two.
    """
    decides = naive_methods.decide(asked.printed.fen)[0]
    codes = [code for code, (name, _) in RULES.items() if name == decides]
    whole = [card_words(code).lower().removeprefix("else ") for code in codes]
    rests = [rule.removeprefix(asked.named[0]) for rule in whole if rule.startswith(asked.named[0])]
    ends = [rest.strip(" :,") for rest in rests]
    return {option for option in asked.printed.options if any(end.startswith(option) for end in ends)}


def _waits(asked: Asked) -> set[str]:
    now, found = box.region(asked.board), set()
    for each in moves.after_each(asked.board):
        move = each.peek()
        is_rook = each.piece_type_at(move.to_square) == chess.ROOK
        if is_rook and not moves.can_take(each) and box.region(each) == now:
            found.add(move.uci())
    return found


def _corners(asked: Asked) -> set[str]:
    """Nothing where there is no such square: his king on the pawn's file, or the board too narrow."""
    runner, lone = (
        _square_of(asked.board, kind, side) for kind, side in ((chess.PAWN, True), (chess.KING, False))
    )
    rank = 3 if runner[1] == "2" else int(runner[1])
    far = ord(runner[0]) + (8 - rank) * (1 if lone[0] > runner[0] else -1)
    if lone[0] == runner[0] or chr(far) not in "abcdefgh" or asked.named not in ((), (f"{runner[0]}{rank}",)):
        return set()
    return {f"{file}{at}" for file in (runner[0], chr(far)) for at in (rank, 8)}


def _walls(asked: Asked) -> set[str]:
    return box.fence(asked.board)


def _forks(asked: Asked) -> set[str]:
    return double_attack.forks(asked.printed.fen)


def _right_bishop(asked: Asked) -> set[str]:
    runner, bishop = (_square_of(asked.board, kind, chess.WHITE) for kind in (chess.PAWN, chess.BISHOP))
    assert runner[0] in "ah"
    return {"right" if f"{runner[0]}8" in colours.corners_of(bishop) else "wrong"}


def _bishops_corners(asked: Asked) -> set[str]:
    return colours.corners_of(_square_of(asked.board, chess.BISHOP, chess.WHITE))


def _can_force(asked: Asked) -> set[str]:
    """By the tables alone: White, who is not to move, wins."""
    if asked.board.turn:
        return set()
    return {"yes" if asked.published.result(asked.board) == -1 else "no"}


def _queens_safely(asked: Asked) -> set[str]:
    """Some pawn's move to a queen is there, and after one of them it is no stalemate."""
    queens = [each for each in moves.after_each(asked.board) if each.peek().promotion == chess.QUEEN]
    if not asked.board.turn or not queens:
        return set()
    return {"no" if all(moves.status(each) == "stalemate" for each in queens) else "yes"}


def _rooks_line(asked: Asked) -> set[str]:
    """The ranks and files to choose from to which a move goes that keeps what the words say there is to keep;
    none where another man can keep it, too."""
    board, (verb, side) = asked.board, asked.named
    worth = asked.published.result(board)
    keeping = [chess.Move.from_uci(uci) for uci in asked.published.keeping(board)]
    rooks = board.pieces(chess.ROOK, board.turn)
    is_so = (worth, board.turn) == ({"win": 1, "draw": 0}[verb], side == "white")
    if not is_so or len(rooks) != 1 or not all(move.from_square in rooks for move in keeping):
        return set()
    there = "".join(chess.square_name(move.to_square) for move in keeping)
    return {
        each for each in asked.printed.options if each.removeprefix("rank ").removesuffix("-file") in there
    }


_SENTENCES: dict[str, tuple[Judge, Way]] = {
    r"White can mate in one move\. Write down every mate\.": (_mates, all_moves),
    r"White mates in two moves\. What is the first move\?": (_mates_in_two, one_move),
    r"Which moves would be stalemate\? Write down all of them\.": (_stalemates, all_moves),
    r"Black to move\. Is it mate, stalemate or neither\?": (_final, one_option),
    r"Put a white (queen|rook) on the board so that it is (mate|stalemate)\.": (_placed, one_square),
    r"Black to move\. Can his king catch the pawn\?": (_catches, one_option),
    r"Shade the key squares of the pawn\.": (_key_squares, all_squares),
    r"Shade the two key squares of the pawn on the edge\.": (_key_squares, all_squares),
    r"(White|Black) to move\. Take the opposition!": (_opposition, one_move),
    r"Only one move (wins|draws) for (White|Black)\. Find it\.": (_only_move, one_move),
    r"(White|Black) to move\. Does White win, or is it a draw\?": (_win_or_draw, one_option),
    r"Both sides only push\. How many moves does each pawn need, and who queens first\?": (_race, races),
    r"Play by the rules of the card\. Write White's next three moves\.": (_lines, lines),
    r"One of White's moves throws the win away\. Which one\?": (_mistakes, one_option),
    r"How does the rule go on: “(.+)…”\?": (_rule_end, one_option),
    r"Wait with the rook: he can't take it, and the box stays as it is\.": (_waits, one_move),
    r"Draw the square of the pawn on the lone king's side: shade its four corners\.": (_corners, all_squares),
    r"Draw the pawn's square on the lone king's side, from (..)\. Shade its four corners\.": (
        _corners,
        all_squares,
    ),
    r"Shade the walls: the queen's square, file and rank beside the lone king's box\.": (_walls, all_squares),
    r"Which queen's checks attack the rook too and win it next move\? Mark each square\.": (
        _forks,
        all_squares,
    ),
    r"The right bishop can reach the corner ahead of the pawn\. Is this one right\?": (
        _right_bishop,
        one_option,
    ),
    r"White can force mate only in a corner that the bishop can reach\. Mark both\.": (
        _bishops_corners,
        all_squares,
    ),
    r"Black to move\. Has White enough to force mate\?": (_can_force, one_option),
    r"White to move\. Can the pawn become a queen without stalemate\?": (_queens_safely, one_option),
    r"Only the rook can (win|draw) for (White|Black)\. On which rank or file does it belong\?": (
        _rooks_line,
        one_option,
    ),
    r"Shade the (?:queen|rook)'s box\. How many squares\?": (_box, numbers),
    r"Make the smallest safe box with the (?:queen|rook)\..+": (_box, one_move),
    r"Cross out every no-go square of the (?:queen|rook)\.": (_box, all_squares),
    r"Read your rule card from the top\. Tick the first rule you can follow\.": (_box, one_option),
}
"""The printed sentences: who judges them, and how an answer to them is written."""


def sentences() -> Iterable[str]:
    """Those that are read here, as regular expressions."""
    return _SENTENCES.keys()
