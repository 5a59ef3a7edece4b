"""The wall: all boards of an evening at a glance for the coach, and one of them at large."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import chess

from coachbook.club.book import Book
from coachbook.endgame.probe import probe
from coachbook.exercises.turns import reaches
from coachbook.model.play_outs import BoardGame
from coachbook.model.position import Marks, Position
from coachbook.model.syllabus import Syllabus
from coachbook.paper.text import notated
from coachbook.wording.practice_words import BoardSign, count_on_wall, game_end_in_words, sign_in_words
from coachbook.workflows.playing_at_boards import Seat, players, seat_of, seats_on
from coachbook.workflows.practice import Practice, last_move_marked

_STUCK = timedelta(minutes=2)


@dataclass(frozen=True, slots=True)
class WallBoard:
    """A student's board: the game's number, who plays which unit, the position with the last move, the moves
    so far. `sign` and its `words` are None and "" where there is nothing to look at."""

    game: int
    student: int
    name: str
    title: str
    position: Position
    white: bool
    marks: Marks
    counted: str
    sign: BoardSign | None
    words: str


@dataclass(frozen=True, slots=True)
class LargeBoard:
    """One board of the wall at large: with all moves (SAN), whether one can be taken back, and the number of
    the entry in the log once the game is over and kept, None before."""

    board: WallBoard
    line: str
    may_take_back: bool
    entry: int | None


def wall(book: Book, syllabus: Syllabus, on: date, now: datetime) -> tuple[WallBoard, ...]:
    """The last game of each student at a board, in the order in which they sat down."""
    names = _names(book, on)
    return tuple(_board(each, names, now) for each in seats_on(book, syllabus, on))


def _names(book: Book, on: date) -> Mapping[int, str]:
    return {each.id: each.name for each in players(book, on)}


def large_board(book: Book, syllabus: Syllabus, on: date, number: int, now: datetime, men: str) -> LargeBoard:
    """A board of an evening by the number of its game, with these signs for the men (see `PaperOptions`).
    Raises CoachbookError if there is none."""
    seat = seat_of(book, syllabus, on, number)
    game, practice = seat.game, seat.practice
    fen = practice.play_out.fen
    return LargeBoard(
        board=_board(seat, _names(book, on), now),
        line=notated(chess.Board(fen).variation_san(practice.board.move_stack), men),
        may_take_back=bool(game.moves) and not practice.is_over,
        entry=game.entry,
    )


def _board(seat: Seat, names: Mapping[int, str], now: datetime) -> WallBoard:
    game, practice, board = seat.game, seat.practice, seat.practice.board
    sign, end = _sign(practice, game, now), practice.end
    minutes = int((now - game.moved_at) / timedelta(minutes=1))
    ended = game_end_in_words(end) if end is not None else ""
    is_taken_out = end is not None and game.entry is None
    return WallBoard(
        game=game.number,
        student=game.student_id,
        name=names.get(game.student_id, game.student),
        title=practice.unit.title,
        position=Position(board.fen()),
        white=practice.white,
        marks=last_move_marked(board),
        counted=count_on_wall(practice.used, practice.play_out),
        sign=sign,
        words=sign_in_words(sign, practice.play_out.goal, ended, minutes, is_taken_out=is_taken_out)
        if sign is not None
        else "",
    )


def _sign(practice: Practice, game: BoardGame, now: datetime) -> BoardSign | None:
    if practice.is_over:
        return BoardSign.DONE
    if not reaches(practice.play_out.goal, probe(practice.board)):
        return BoardSign.SLIPPED
    return BoardSign.STUCK if now - game.moved_at >= _STUCK else None
