"""Practice at one board: a play-out against coachbook.

A game is a value that holds all that was played, so that it goes on wherever it was left. Coachbook's moves
are those of `exercises.opponent`, and what is said afterwards is what is said of any play-out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import chess

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.club.students import list_students, student_numbered
from coachbook.endgame.probe import Result, probe
from coachbook.endgame.symmetry import MIRROR, turned_board
from coachbook.errors import CoachbookError
from coachbook.exercises.judging import judge_play_out
from coachbook.exercises.opponent import reply
from coachbook.method.methods import find_method
from coachbook.model.facts import Group, Student
from coachbook.model.play_outs import GameEnd, JudgedPlayOut, card_code
from coachbook.model.position import Marks, Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Goal, PlayOut, Syllabus, Unit
from coachbook.paper.judged_play_out import ARROWS, arrows_of
from coachbook.paper.text import notated
from coachbook.wording.conversations import judged_in_words
from coachbook.wording.people import praise_in_words
from coachbook.wording.practice_words import (
    answer_in_words,
    game_end_in_words,
    moves_counted,
    then_in_words,
    your_move,
)
from coachbook.workflows.board_moves import move_marked, read_legal_move, read_one_move
from coachbook.workflows.evening_view import groups_on
from coachbook.workflows.kept_once import Touch
from coachbook.workflows.playing import Start, touch_play_out

LONGEST = 1000
"""Half moves; the rule of fifty moves ends every game of four men before."""

_FIGURINES = PaperOptions().men
"""They mean the same in every language, whatever a club's letters are."""


@dataclass(frozen=True, slots=True)
class Practice:
    """A game from a play-out of a unit (`number` counts from 1), as it stands on the card or `mirrored` left
    to right; the student has the side to move there. `moves` are those of both sides so far, in UCI; a game
    that is not over waits for the student's next. The `seed` chooses between replies that are equally hard.
    """

    unit: Unit
    number: int
    seed: int
    mirrored: bool = False
    moves: tuple[str, ...] = ()
    stopped: bool = False

    @property
    def play_out(self) -> PlayOut:
        """What is played out."""
        own = self.unit.play_out(self.number)
        return replace(own, fen=mirror_of(own.fen)) if self.mirrored else own

    @property
    def board(self) -> chess.Board:
        """The position now, with the moves that led to it."""
        board = chess.Board(self.play_out.fen)
        for uci in self.moves:
            board.push_uci(uci)
        return board

    @property
    def white(self) -> bool:
        """Whether the student has White."""
        return Position(self.play_out.fen).white_to_move

    @property
    def used(self) -> int:
        """How many moves the student has made."""
        return (len(self.moves) + 1) // 2

    @property
    def end(self) -> GameEnd | None:
        """How it ended; None while it goes on."""
        return _end(self.board, self.play_out) or (GameEnd.STOPPED if self.stopped else None)

    @property
    def is_over(self) -> bool:
        return self.end is not None


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment of a game to look back on: what is said of it, and its board."""

    words: str
    position: Position
    marks: Marks


@dataclass(frozen=True, slots=True)
class LookBack:
    """What is said of a game that is over: `praise` is "" where the goal was not reached, `key` says what two
    arrows mean, "" where there are none; `more` are moves off the rule."""

    praise: str
    moments: tuple[Moment, ...]
    key: str
    more: tuple[str, ...]
    line: str


@dataclass(frozen=True, slots=True)
class GameView:
    """A game as a screen shows it, the last move marked: what to do `now`, how many moves were made, and what
    coachbook answered, "" where the last move was not its. How it ended (`end`) is "" while it goes on."""

    position: Position
    white: bool
    marks: Marks
    now: str
    counted: str
    answered: str
    end: str = ""
    back: LookBack | None = None


def practice_of(
    syllabus: Syllabus,
    code: str,
    number: int,
    seed: int,
    *,
    mirrored: bool = False,
    moves: Sequence[str] = (),
    stopped: bool = False,
) -> Practice:
    """A game as it was left. Raises CoachbookError for a unit or a play-out that there is not, for a move
    that is not legal, and for one after the end."""
    unit = syllabus.unit(code)
    unit.play_out(number)  # says so if there is none
    if len(moves) > LONGEST:
        raise CoachbookError("No game is as long as that.", "Begin another.")
    begun = Practice(unit, number, seed, mirrored)
    board = begun.board
    for uci in moves:
        if _end(board, begun.play_out) is not None:
            raise CoachbookError(f"The game was over before {uci[:5]}.", "Begin another.")
        board.push(read_legal_move(board, uci))
    return _answered(replace(begun, moves=tuple(moves), stopped=stopped), board)


def moved(practice: Practice, uci: str) -> Practice:
    """The game after a move of the student's and coachbook's reply. Raises CoachbookError if the move is not
    legal, or the game over."""
    board = practice.board
    if practice.stopped or _end(board, practice.play_out) is not None:
        raise CoachbookError("The game is over.", "Begin another.")
    board.push(read_legal_move(board, uci))
    return _answered(replace(practice, moves=(*practice.moves, uci)), board)


def read_move(practice: Practice, written: str, letters: str | None) -> str:
    """The student's move in UCI as a person writes it; `letters` are the club's. Raises CoachbookError if it
    is no legal move."""
    return read_one_move(practice.board, written, letters).uci()


def mirror_of(fen: str) -> str:
    """The position mirrored left to right; as it is where somebody may still castle, which has only one
    side."""
    board = chess.Board(fen)
    if board.castling_rights:
        return fen
    mirrored = turned_board(board, MIRROR)
    mirrored.halfmove_clock, mirrored.fullmove_number = board.halfmove_clock, board.fullmove_number
    return mirrored.fen()


def same_again(practice: Practice, seed: int) -> Practice:
    """The same position from its start."""
    return Practice(practice.unit, practice.number, seed, practice.mirrored)


def another(practice: Practice, seed: int) -> Practice:
    """The next position of the unit, in a circle: each as it stands on its card, then mirrored if that makes
    another of it."""
    unit, number = practice.unit, practice.number
    fen = unit.play_out(number).fen
    if not practice.mirrored and mirror_of(fen) != fen:
        return Practice(unit, number, seed, mirrored=True)
    return Practice(unit, number % len(unit.play_outs) + 1, seed)


def judged(practice: Practice) -> JudgedPlayOut:
    """What the tables and the unit's method say of the game so far."""
    play_out, method = practice.play_out, find_method(practice.unit.method)
    moves = practice.board.move_stack
    return judge_play_out(chess.Board(play_out.fen), moves, play_out.goal, play_out.allowance, method)


def game_view(practice: Practice, men: str, found: JudgedPlayOut | None = None) -> GameView:
    """The game for a screen, with these signs for the men (see `PaperOptions`); what is to be said of its
    moves only once it is over: it is judged then, unless it is `found` already."""
    board, end, play_out = practice.board, practice.end, practice.play_out
    found = found or judged(practice) if end is not None else None
    return GameView(
        position=Position(board.fen()),
        white=practice.white,
        marks=last_move_marked(board),
        now=then_in_words(found) if found else your_move(play_out, white=practice.white),
        counted=moves_counted(practice.used, play_out),
        answered=_last_answer(board, practice, men),
        end=game_end_in_words(end) if end is not None else "",
        back=_look_back(found, men) if found else None,
    )


def keep_practice(book: Book, touch: Touch, student: int, practice: Practice, on: date) -> None:
    """Log the game for a student (by id), once. Raises CoachbookError for an unknown student, and where
    nothing was played."""
    told = notated(judged(practice).line, _FIGURINES)
    start = start_of_practice(practice)
    touch_play_out(book, touch, student, start, told, on, against_coachbook=True)


def start_of_practice(practice: Practice) -> Start:
    """What is played out in a game. A mirrored position is on no card."""
    card = "" if practice.mirrored else card_code(practice.unit.code, practice.number)
    return Start(practice.unit, practice.play_out, card)


def kept_for(book: Book, student: int, practice: Practice, on: date) -> str:
    """The name of a student (by id) for whom the game is in the log of a day; "" if it is not. Raises
    CoachbookError for an unknown student."""
    with book.reading() as tx:
        name = student_numbered(tx, student).name
        played = play_outs(tx, student=name)
    fen = practice.play_out.fen
    is_kept = any((each.on, each.fen, each.moves) == (on, fen, practice.moves) for each in played)
    return name if is_kept else ""


def who_may_keep(book: Book, on: date) -> tuple[tuple[Group, tuple[Student, ...]], ...]:
    """The groups of a day's evening, or all where there is none, each with its students; without those that
    have none."""
    groups = groups_on(book, on)
    with book.reading() as tx:
        students = list_students(tx)
    found = ((group, tuple(each for each in students if group.name in each.groups)) for group in groups)
    return tuple((group, members) for group, members in found if members)


def _answered(practice: Practice, board: chess.Board) -> Practice:
    """With coachbook's reply on the game's board, if it is to reply."""
    if board.turn == practice.white or _end(board, practice.play_out) is not None:
        return practice
    return replace(practice, moves=(*practice.moves, reply(board, practice.seed).uci()))


def _end(board: chess.Board, play_out: PlayOut) -> GameEnd | None:
    """By the Laws of Chess of FIDE: mate, stalemate and too few men (5.1, 5.2), and the draws that a player
    may claim (9.2, 9.3) as soon as one may; and a draw held for as long as was asked, unless it is lost by
    then."""
    student = Position(play_out.fen).white_to_move
    if board.is_checkmate():
        return GameEnd.MATED if board.turn == student else GameEnd.MATE
    if board.is_stalemate():
        return GameEnd.STALEMATE
    if board.is_insufficient_material():
        return GameEnd.TOO_FEW_MEN
    if board.is_repetition(3):
        return GameEnd.REPETITION
    if board.is_fifty_moves():
        return GameEnd.FIFTY_MOVES
    is_long = (len(board.move_stack) + 1) // 2 >= play_out.allowance
    return GameEnd.HELD if is_long and play_out.goal is Goal.DRAW and not _is_lost(board, student) else None


def _is_lost(board: chess.Board, student: chess.Color) -> bool:
    return probe(board).result is (Result.LOSS if board.turn == student else Result.WIN)


def last_move_marked(board: chess.Board) -> Marks:
    """The last move as an arrow; nothing before the first."""
    return move_marked(board.peek()) if board.move_stack else Marks()


def _last_answer(board: chess.Board, practice: Practice, men: str) -> str:
    """Coachbook's move, if it was the last."""
    if not board.move_stack or board.turn != practice.white:
        return ""
    before = board.copy()
    last = before.pop()
    return answer_in_words(notated(before.san(last), men))


def _look_back(found: JudgedPlayOut, men: str) -> LookBack:
    played = [move for move in (found.praise, found.first_slip) if move is not None]
    told = [notated(" ".join(line.split()), men) for line in judged_in_words(found)]
    better = [f" Better: {notated(move.better, men)}." if move.better else "" for move in played]
    moments = tuple(
        Moment(f"{words}{rather}", move.before, Marks(arrows=arrows_of(move)))
        for words, rather, move in zip(told, better, played, strict=False)
    )
    return LookBack(
        praise=praise_in_words(found.how_good, found.goal, None) if found.how_good is not None else "",
        moments=moments,
        key=ARROWS if any(move.played for move in played) else "",
        more=tuple(told[len(played) :]),
        line=notated(found.line, men),
    )
