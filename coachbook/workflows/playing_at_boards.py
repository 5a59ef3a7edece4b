"""Play-outs at the boards in the room: who may sit down, what they may play, and their games against
coachbook. Each move is in the book before it counts, so that a game goes on wherever it was; once it is over
it is a play-out of the evening in the log, in the same transaction."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from coachbook.club.board_games import add_game, game_numbered, games_on, keep_moves
from coachbook.club.book import Book, Reading, Writing
from coachbook.club.evenings_met import closed_at
from coachbook.club.log import log_play_out
from coachbook.club.results import attendance, play_outs
from coachbook.club.sheets import prepared_for
from coachbook.club.students import student_numbered
from coachbook.errors import CoachbookError
from coachbook.model.facts import Student
from coachbook.model.play_outs import BoardGame, JudgedPlayOut, card_code, read_card_code
from coachbook.model.position import Position
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.wording.people import play_out_task
from coachbook.workflows.care import before_logging
from coachbook.workflows.endings import check_built
from coachbook.workflows.evening_grid import groups_meeting, students_of_evening
from coachbook.workflows.members import planned_sessions
from coachbook.workflows.playing import play_out_told
from coachbook.workflows.practice import (
    Practice,
    another,
    judged,
    moved,
    practice_of,
    same_again,
    start_of_practice,
)

GAMES = 10**9
"""How many numbers a game's may be drawn from: nobody finds another's by trying."""


@dataclass(frozen=True, slots=True)
class Player:
    """Who may sit down at a board, and what the screen calls them."""

    id: int
    name: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A play-out that a student may choose: its unit, its number, where it begins, what is to be done.
    `is_played` says that the student has played it this evening, `game` is the number of one that goes on."""

    unit: str
    title: str
    play_out: int
    position: Position
    task: str
    is_played: bool
    game: int | None


@dataclass(frozen=True, slots=True)
class Seat:
    """A game at a board, as it stands in the book and as it is played; and how it was judged, if that was
    just done."""

    game: BoardGame
    practice: Practice
    judged: JudgedPlayOut | None = None


def players(book: Book, on: date) -> tuple[Player, ...]:
    """Everybody of the groups that meet on a day and have not closed their evening, and their guests, but for
    those who are marked absent and sit at no board: by their first names, and by their whole names where two
    begin alike."""
    with book.reading() as tx:
        students = _of_evening(tx, on)
    names = first_names(student.name for student in students)
    return tuple(Player(each.id, names[each.name]) for each in students)


def player(book: Book, on: date, student: int) -> Player:
    """One of them, by id. Raises CoachbookError for somebody else."""
    found = next((each for each in players(book, on) if each.id == student), None)
    if found is None:
        raise CoachbookError("This name is not of this evening.", "Touch your own name.")
    return found


def first_names(names: Iterable[str]) -> dict[str, str]:
    """By name: its first word, or all of it where another name has the same first word."""
    first = {name: name.split()[0] for name in names}
    shared = Counter(word.casefold() for word in first.values())
    return {name: word if shared[word.casefold()] == 1 else name for name, word in first.items()}


def choices(book: Book, syllabus: Syllabus, on: date, student: int) -> tuple[Choice, ...]:
    """What a student (by id) may play on an evening: the cards that were made for it, or without any the
    play-outs of the evening's units, or of those before; and a game that goes on comes first. Raises
    CoachbookError for an unknown student."""
    with book.reading() as tx:
        own = student_numbered(tx, student)
        cards = _cards(tx, syllabus, own, on)
        seats = [_seat(syllabus, each) for each in games_on(tx, on, student)]
        played = {each.card for each in play_outs(tx, student=own.name) if each.on == on}
    going = [each.practice for each in seats if not each.practice.is_over]
    begun = {(each.unit.code, each.number) for each in going if not each.mirrored}
    fresh = [practice_of(syllabus, *card, seed=0) for card in cards if card not in begun]
    chosen = [(each, True) for each in going] + [(each, False) for each in fresh]
    return tuple(_choice(practice, played, goes_on=goes_on) for practice, goes_on in chosen)


def get_boards_ready(book: Book, syllabus: Syllabus, on: date, now: datetime) -> None:
    """Do beforehand what the first move of an evening would wait for: the backup of the day, and the tables
    of what its students may play."""
    before_logging(book, now)
    cards = {
        (each.unit, each.play_out)
        for student in players(book, on)
        for each in choices(book, syllabus, on, student.id)
    }
    for unit, play_out in sorted(cards):
        begun = practice_of(syllabus, unit, play_out, seed=0)
        judged(moved(begun, next(iter(begun.board.legal_moves)).uci()))


def sit_down(
    book: Book,
    syllabus: Syllabus,
    on: date,
    student: int,
    unit: str,
    play_out: int,
    number: int,
    now: datetime,
) -> int:
    """The number of the game of a student (by id) from a play-out: the one that goes on, or a new one with
    this `number`, drawn by chance. Raises CoachbookError for an unknown student or play-out, and
    if its ending is not built."""
    begun = practice_of(syllabus, unit, play_out, number)
    check_built(begun.unit.endings)
    return _begun(book, syllabus, on, student, begun, now)


def play_again(
    book: Book, syllabus: Syllabus, on: date, number: int, new: int, now: datetime, *, is_same: bool = False
) -> int:
    """The number of the next game after one that is over: its position mirrored, or the unit's next; or the
    same from its start. Raises CoachbookError for a game that is not of this evening, or goes on, and if its
    student may play no more."""
    seat = seat_of(book, syllabus, on, number)
    if not seat.practice.is_over:
        raise CoachbookError("This game goes on.", "Make your move.")
    own = player(book, on, seat.game.student_id)
    begun = same_again(seat.practice, new) if is_same else another(seat.practice, new)
    return _begun(book, syllabus, on, own.id, begun, now)


def seat_of(book: Book, syllabus: Syllabus, on: date, number: int) -> Seat:
    """A game of an evening. Raises CoachbookError if there is none with this number."""
    with book.reading() as tx:
        return _seat(syllabus, _game(tx, on, number))


def seats_on(book: Book, syllabus: Syllabus, on: date) -> tuple[Seat, ...]:
    """Of each student who sat down on an evening the last game that goes on, or else the last that was
    played; in the order in which they first sat down."""
    of_students: dict[int, list[BoardGame]] = {}
    with book.reading() as tx:
        for each in games_on(tx, on):
            if each.moves or not each.stopped:
                of_students.setdefault(each.student_id, []).append(each)
    return tuple(_last_seat(syllabus, games) for games in of_students.values())


def _last_seat(syllabus: Syllabus, games: Sequence[BoardGame]) -> Seat:
    seats = (_seat(syllabus, each) for each in reversed(games))
    going = next((seat for seat in seats if not seat.practice.is_over), None)
    return going or _seat(syllabus, games[-1])


def game_after(book: Book, syllabus: Syllabus, seat: Seat) -> int | None:
    """The number of the last other game of a student that goes on; None if there is none."""
    with book.reading() as tx:
        games = games_on(tx, seat.game.on, seat.game.student_id)
    others = (_seat(syllabus, each) for each in reversed(games) if each.number != seat.game.number)
    return next((other.game.number for other in others if not other.practice.is_over), None)


def make_move(
    book: Book, syllabus: Syllabus, on: date, number: int, at: int, uci: str, now: datetime
) -> Seat:
    """The game after a student's move, which is the half move `at` (from 0), with coachbook's reply.

    A move that is in the book already, as one that is sent again, changes nothing; nor does one for a game
    that has changed meanwhile. Raises CoachbookError for a move that is not legal.
    """
    seat = seat_of(book, syllabus, on, number)
    if len(seat.game.moves) != at or seat.practice.is_over:
        return seat
    after = moved(seat.practice, uci)
    second = max(int((now - seat.game.begun_at).total_seconds()), *seat.game.clocks[-1:], 0)
    clocks = (*seat.game.clocks, *[second] * (len(after.moves) - at))
    return _kept(book, seat, after, clocks, now)


def take_move_back(book: Book, syllabus: Syllabus, on: date, number: int, now: datetime) -> Seat:
    """The game without the student's last move and the reply to it. Raises CoachbookError if there is none,
    or the game is over."""
    seat = seat_of(book, syllabus, on, number)
    if seat.practice.is_over:
        raise CoachbookError("This game is over.", "Take its entry in the log back instead.")
    left = max(len(seat.game.moves) - 2, 0)
    if left == len(seat.game.moves):
        raise CoachbookError("No move was made yet.", "There is nothing to take back.")
    before = replace(seat.practice, moves=seat.practice.moves[:left])
    return _kept(book, seat, before, seat.game.clocks[:left], now)


def stop_game(book: Book, syllabus: Syllabus, on: date, number: int, now: datetime) -> Seat:
    """The game ended where it is. One that is over stays as it is. Raises CoachbookError if there is none
    with this number."""
    seat = seat_of(book, syllabus, on, number)
    return seat if seat.practice.is_over else _stopped(book, seat, now)


def still_playing(book: Book, syllabus: Syllabus, group: str, on: date) -> tuple[Seat, ...]:
    """The games of a group's evening that go on. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        own = {student.id for student in students_of_evening(tx, group, on)}
        seats = [_seat(syllabus, each) for each in games_on(tx, on) if each.student_id in own]
    return tuple(seat for seat in seats if not seat.practice.is_over)


def stop_games(book: Book, syllabus: Syllabus, group: str, on: date, now: datetime) -> None:
    """End all of them where they are. Raises CoachbookError for an unknown group."""
    for seat in still_playing(book, syllabus, group, on):
        _stopped(book, seat, now)


def give_another(
    book: Book, syllabus: Syllabus, on: date, number: int, unit: str, play_out: int, new: int, now: datetime
) -> int:
    """The number of another game for the student of one, which is stopped if it goes on. Raises
    CoachbookError for an unknown game or play-out."""
    begun = practice_of(syllabus, unit, play_out, new)
    seat = stop_game(book, syllabus, on, number, now)
    return _begun(book, syllabus, on, seat.game.student_id, begun, now)


def _of_evening(tx: Reading, on: date) -> list[Student]:
    at_boards = {game.student for game in games_on(tx, on)}
    absent = {mark.student for mark in attendance(tx, on=on) if not mark.present} - at_boards
    found = {
        student.id: student
        for group in sorted(groups_meeting(tx, on))
        if closed_at(tx, group, on) is None
        for student in students_of_evening(tx, group, on)
        if student.name not in absent
    }
    return sorted(found.values(), key=lambda student: student.name.casefold())


def _cards(tx: Reading, syllabus: Syllabus, student: Student, on: date) -> Sequence[tuple[str, int]]:
    """The unit and the number of each play-out that is meant for a student, of those that there are."""
    return [card for card in _meant(tx, syllabus, student, on) if _is_there(syllabus, *card)]


def _is_there(syllabus: Syllabus, unit: str, number: int) -> bool:
    return unit in syllabus.titles and number <= len(syllabus.unit(unit).play_outs)


def _meant(tx: Reading, syllabus: Syllabus, student: Student, on: date) -> Sequence[tuple[str, int]]:
    """The cards that were made for the student; else the play-outs of the evening's units; else those of the
    units before."""
    meeting = groups_meeting(tx, on)
    given = [prepared_for(tx, group, on).get(student.name) for group in sorted(meeting)]
    codes = [code for each in given if each is not None for code in each.cards]
    if cards := [card for card in map(read_card_code, codes) if card is not None]:
        return cards
    own = [group for group in sorted(meeting) if student in students_of_evening(tx, group, on)]
    sessions = [each for group in own for each in planned_sessions(tx, group)]
    tonight = [each for each in sessions if each.on == on]
    before = [each for each in sessions if each.on < on]
    return _play_outs_of(syllabus, tonight) or _play_outs_of(syllabus, before)


def _play_outs_of(syllabus: Syllabus, sessions: Iterable[PlannedSession]) -> list[tuple[str, int]]:
    codes = dict.fromkeys(code for each in sessions for code in each.units(*SlotKind))
    units = (syllabus.unit(code) for code in codes if code in syllabus.titles)
    return [(unit.code, number) for unit in units for number in range(1, len(unit.play_outs) + 1)]


def _choice(practice: Practice, played: Collection[str], *, goes_on: bool) -> Choice:
    return Choice(
        unit=practice.unit.code,
        title=practice.unit.title,
        play_out=practice.number,
        position=Position(practice.play_out.fen),
        task=play_out_task(practice.play_out),
        is_played=card_code(practice.unit.code, practice.number) in played,
        game=practice.seed if goes_on else None,
    )


def _begun(book: Book, syllabus: Syllabus, on: date, student: int, begun: Practice, now: datetime) -> int:
    before_logging(book, now)
    with book.writing() as tx:
        wanted = (begun.unit.code, begun.number, begun.mirrored)
        for each in games_on(tx, on, student):
            same = (each.unit, each.play_out, each.mirrored) == wanted
            if same and not _seat(syllabus, each).practice.is_over:
                return each.number
        name = student_numbered(tx, student).name
        add_game(tx, BoardGame(begun.seed, student, name, on, *wanted, begun_at=now, moved_at=now))
    return begun.seed


def _stopped(book: Book, seat: Seat, now: datetime) -> Seat:
    return _kept(book, seat, replace(seat.practice, stopped=True), seat.game.clocks, now)


def _kept(book: Book, seat: Seat, after: Practice, clocks: tuple[int, ...], now: datetime) -> Seat:
    """The game as it is now, if nobody has changed it meanwhile; else as it is then. A game that ends
    without a move is not logged."""
    game = replace(seat.game, moves=after.moves, clocks=clocks, moved_at=now, stopped=after.stopped)
    found = judged(after) if after.is_over and after.moves else None
    before_logging(book, now)
    with book.writing() as tx:
        kept = game_numbered(tx, game.number)
        if (kept.moves, kept.stopped) != (seat.game.moves, seat.game.stopped):
            return Seat(kept, _practice(after, kept))
        if found is not None:
            game = replace(game, entry=_logged(tx, game, after, found, now))
        keep_moves(tx, game)
    return Seat(game, after, found)


def _logged(tx: Writing, game: BoardGame, practice: Practice, found: JudgedPlayOut, now: datetime) -> int:
    told = play_out_told(game.student, start_of_practice(practice), "", found, game.on)
    return log_play_out(tx, replace(told, against_coachbook=True, clocks=game.clocks), now).id


def _game(tx: Reading, on: date, number: int) -> BoardGame:
    found = game_numbered(tx, number)
    if found.on != on:
        raise CoachbookError("This game is of another evening.", "Touch your name again.")
    return found


def _seat(syllabus: Syllabus, game: BoardGame) -> Seat:
    begun = practice_of(syllabus, game.unit, game.play_out, game.number, mirrored=game.mirrored)
    return Seat(game, _practice(begun, game))


def _practice(practice: Practice, game: BoardGame) -> Practice:
    """The game as it is kept: its moves were legal when they were made."""
    return replace(practice, moves=game.moves, stopped=game.stopped)
