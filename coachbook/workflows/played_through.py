"""A play-out of the log for a screen, move by move, with its clock and what is to be said of it."""

from dataclasses import dataclass

import chess

from coachbook.club.book import Book
from coachbook.club.results import play_out_of_entry
from coachbook.errors import CoachbookError
from coachbook.model.facts import PlayOutResult
from coachbook.model.position import Marks, Position
from coachbook.model.syllabus import Syllabus
from coachbook.paper.text import notated
from coachbook.wording.people import play_out_logged
from coachbook.wording.practice_words import clock_in_words
from coachbook.workflows.board_moves import move_marked


@dataclass(frozen=True, slots=True)
class PlayedMoment:
    """A position of the game with the move marked that led to it ("1. Qd5", "" at the start), and when that
    was made, "" where nobody knows."""

    position: Position
    marks: Marks
    move: str
    clock: str


@dataclass(frozen=True, slots=True)
class PlayedThrough:
    """A play-out: whose, of which unit, how it went, and all of its moments from the start."""

    student: str
    title: str
    result: str
    moments: tuple[PlayedMoment, ...]


def has_moves(book: Book, entry: int) -> bool:
    """Whether a log entry, by its number, holds a play-out that can be played through."""
    with book.reading() as tx:
        found = play_out_of_entry(tx, entry)
    return found is not None and bool(found.moves)


def played_through(book: Book, syllabus: Syllabus, entry: int, men: str) -> PlayedThrough:
    """The play-out of a log entry, by its number, with these signs for the men (see `PaperOptions`). Raises
    CoachbookError if the entry holds no play-out with moves."""
    with book.reading() as tx:
        found = play_out_of_entry(tx, entry)
    if found is None or not found.moves:
        raise CoachbookError("No moves are in the log for this.", "Only its end is known.")
    return PlayedThrough(
        student=found.student,
        title=syllabus.titles.get(found.unit, found.unit),
        result=play_out_logged(found),
        moments=tuple(_moments(found, men)),
    )


def _moments(played: PlayOutResult, men: str) -> list[PlayedMoment]:
    board = chess.Board(played.fen)
    board.fullmove_number = 1
    found = [PlayedMoment(Position(board.fen()), Marks(), "", "")]
    for at, uci in enumerate(played.moves):
        move = chess.Move.from_uci(uci)
        number = f"{board.fullmove_number}{'.' if board.turn else '...'}"
        told = notated(f"{number} {board.san(move)}", men)
        board.push(move)
        clock = clock_in_words(played.clocks[at]) if at < len(played.clocks) else ""
        found.append(PlayedMoment(Position(board.fen()), move_marked(move), told, clock))
    return found
