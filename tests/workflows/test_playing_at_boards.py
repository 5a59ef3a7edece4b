"""Play-outs at the boards in the room: each move is in the book before it counts, and a game that is over
is a play-out of the evening, judged as one that is typed."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import chess
import pytest

from coachbook.club.backup import own_backups
from coachbook.club.book import Book
from coachbook.club.evenings_met import keep_closed
from coachbook.club.log import log_attendance
from coachbook.club.results import play_outs
from coachbook.club.students import add_student
from coachbook.endgame.probe import judge_moves
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, PlayOutEnd, PlayOutResult
from coachbook.workflows.closing import close
from coachbook.workflows.evening_log import undo
from coachbook.workflows.kept_once import Touch
from coachbook.workflows.playing import judge, start_of, touch_play_out
from coachbook.workflows.playing_at_boards import (
    Seat,
    choices,
    first_names,
    game_after,
    get_boards_ready,
    give_another,
    make_move,
    play_again,
    player,
    players,
    seat_of,
    seats_on,
    sit_down,
    still_playing,
    stop_game,
    take_move_back,
)
from tests.shipped import marked
from tests.workflows.conftest import club_of
from tests.workflows.foxes import NOW, SYLLABUS, planned, week

ON = week(1)
BEGUN = datetime(2026, 9, 10, 18, 0, tzinfo=UTC)
ANA, BO = 1, 2
Student = Callable[[chess.Board], str]


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    """Ana and Bo, with a term, on its second evening."""
    book = club_of(tmp_path, ("Ana", "Bo"), "Foxes", name="Hill Street")
    planned(book)
    return book


def begun(book: Book, unit: str = "queen-box", play_out: int = 1, number: int = 5, student: int = ANA) -> int:
    return sit_down(book, SYLLABUS, ON, student, unit, play_out, number, BEGUN)


def perfect(board: chess.Board) -> str:
    return judge_moves(board)[0].move.uci()


def move(book: Book, number: int, uci: str, seconds: int = 0) -> Seat:
    at = len(seat_of(book, SYLLABUS, ON, number).game.moves)
    return make_move(book, SYLLABUS, ON, number, at, uci, BEGUN + timedelta(seconds=seconds))


def play(book: Book, number: int, student: Student = perfect) -> Seat:
    """The game to its end, a move every three seconds."""
    for seconds in count(3, 3):
        seat = seat_of(book, SYLLABUS, ON, number)
        if seat.practice.is_over:
            return seat
        move(book, number, student(seat.practice.board), seconds)
    raise AssertionError


def logged(book: Book) -> list[PlayOutResult]:
    with book.reading() as tx:
        return play_outs(tx)


def test_everybody_of_the_evenings_groups_may_sit_down_but_who_is_away(foxes: Book) -> None:
    with foxes.writing() as tx:
        add_student(tx, "Zoe")
        log_attendance(tx, [Attendance("Bo", ON, present=False)], NOW)
    assert [(each.id, each.name) for each in players(foxes, ON)] == [(ANA, "Ana")]
    assert player(foxes, ON, ANA).name == "Ana"
    for other in (BO, 3, 99):
        with pytest.raises(CoachbookError, match="not of this evening"):
            player(foxes, ON, other)


def test_nobody_sits_down_once_the_evening_is_closed(foxes: Book) -> None:
    with foxes.writing() as tx:
        keep_closed(tx, "Foxes", ON, NOW)
    assert players(foxes, ON) == ()


def test_nobody_sits_down_on_a_day_without_an_evening(foxes: Book) -> None:
    assert players(foxes, ON + timedelta(days=1)) == ()


def test_the_screen_has_first_names_and_more_only_where_two_begin_alike() -> None:
    told = first_names(["Ana Lund", "ana Berg", "Bo Lund", "Cai"])
    assert told == {"Ana Lund": "Ana Lund", "ana Berg": "ana Berg", "Bo Lund": "Bo", "Cai": "Cai"}


def test_the_units_of_the_evening_are_offered_where_no_card_was_made(foxes: Book) -> None:
    offered = choices(foxes, SYLLABUS, ON, ANA)
    assert {each.unit for each in offered} == {"two-majors"}
    assert [each.play_out for each in offered] == [1, 2, 3]
    assert choices(foxes, SYLLABUS, week(0), ANA) == ()


def test_getting_ready_makes_the_backup_of_the_day_and_changes_nothing(foxes: Book) -> None:
    get_boards_ready(foxes, SYLLABUS, ON, BEGUN)
    assert len(own_backups(foxes.path)) == 1
    assert seats_on(foxes, SYLLABUS, ON) == ()
    assert logged(foxes) == []


def test_a_game_that_goes_on_is_offered_first_and_gone_on_with(foxes: Book) -> None:
    number = begun(foxes, "two-majors", 2)
    offered = choices(foxes, SYLLABUS, ON, ANA)
    assert [(each.play_out, each.game) for each in offered] == [(2, 5), (1, None), (3, None)]
    assert begun(foxes, "two-majors", 2, number=6) == number
    assert begun(foxes, "two-majors", 1, number=6) == 6
    assert begun(foxes, "two-majors", 2, number=7, student=BO) == 7
    assert [each.game.student for each in seats_on(foxes, SYLLABUS, ON)] == ["Ana", "Bo"]


def test_a_move_is_in_the_book_with_the_reply_and_the_clock(foxes: Book) -> None:
    number = begun(foxes)
    seat = move(foxes, number, "c1c5", seconds=65)
    assert seat.game.moves[0] == "c1c5"
    assert len(seat.game.moves) == 2
    assert seat.game.clocks == (65, 65)
    assert seat_of(foxes, SYLLABUS, ON, number) == seat


def test_a_clock_that_was_set_back_does_not_run_backwards(foxes: Book) -> None:
    number = begun(foxes)
    first = move(foxes, number, "c1c5", seconds=30)
    seat = move(foxes, number, perfect(first.practice.board), seconds=-600)
    assert seat.game.clocks == (30, 30, 30, 30)


def test_a_move_that_is_sent_again_does_not_count_again(foxes: Book) -> None:
    number = begun(foxes)
    seat = move(foxes, number, "c1c5")
    assert make_move(foxes, SYLLABUS, ON, number, 0, "c1c5", BEGUN + timedelta(seconds=9)) == seat
    assert make_move(foxes, SYLLABUS, ON, number, 0, "c1c2", BEGUN) == seat  # another board was quicker


@pytest.mark.parametrize("uci", ["c1c9", "a1a1", "", "x", "e6e5", "0000"])
def test_a_move_that_is_not_legal_is_refused_and_nothing_kept(foxes: Book, uci: str) -> None:
    number = begun(foxes)
    with pytest.raises(CoachbookError, match="no legal move"):
        make_move(foxes, SYLLABUS, ON, number, 0, uci, BEGUN)
    assert seat_of(foxes, SYLLABUS, ON, number).game.moves == ()


def test_a_game_of_another_evening_is_not_played_on(foxes: Book) -> None:
    number = begun(foxes)
    with pytest.raises(CoachbookError, match="another evening"):
        seat_of(foxes, SYLLABUS, week(2), number)


@pytest.mark.parametrize(
    "unit", marked((each for each in SYLLABUS.units if each.play_outs), pytest.mark.full)
)
def test_a_game_that_is_over_is_logged_as_one_that_is_typed(foxes: Book, unit: object) -> None:
    code = unit.code  # type: ignore[attr-defined] # a unit
    for play_out in range(1, len(SYLLABUS.unit(code).play_outs) + 1):
        seat = play(foxes, begun(foxes, code, play_out, number=play_out))
        start = start_of(SYLLABUS, f"PLAY-{code}-{play_out}", None, None)
        found = judge(
            "", start, chess.Board(start.play_out.fen).variation_san(seat.practice.board.move_stack)
        )
        assert found is not None
        touch_play_out(foxes, Touch(f"{play_out:08}", NOW), BO, start, found.line, ON)
        at_board, typed = logged(foxes)[-2:]
        assert at_board.against_coachbook
        assert len(at_board.clocks) == len(at_board.moves)
        assert replace(at_board, student="Bo", against_coachbook=False, clocks=()) == typed
        assert at_board.within


def test_a_game_is_logged_once_when_its_last_move_comes_twice(foxes: Book) -> None:
    number = begun(foxes)
    seat = play(foxes, number)
    last = seat.game.moves[-1]
    make_move(foxes, SYLLABUS, ON, number, len(seat.game.moves) - 1, last, BEGUN)
    assert len(logged(foxes)) == 1


def test_the_coach_takes_a_move_back_with_its_reply(foxes: Book) -> None:
    number = begun(foxes)
    with pytest.raises(CoachbookError, match="No move was made yet"):
        take_move_back(foxes, SYLLABUS, ON, number, BEGUN)
    first = move(foxes, number, "c1c5")
    move(foxes, number, perfect(first.practice.board))
    back = take_move_back(foxes, SYLLABUS, ON, number, BEGUN)
    assert back.game.moves == first.game.moves
    assert back.game.clocks == first.game.clocks


def test_a_game_that_is_stopped_is_logged_and_tells_nothing_of_the_student(foxes: Book) -> None:
    number = begun(foxes)
    move(foxes, number, "c1c5")
    assert stop_game(foxes, SYLLABUS, ON, number, BEGUN).practice.is_over
    stop_game(foxes, SYLLABUS, ON, number, BEGUN)
    (found,) = logged(foxes)
    assert found.end is PlayOutEnd.STOPPED
    assert not found.counts
    with pytest.raises(CoachbookError, match="This game is over"):
        take_move_back(foxes, SYLLABUS, ON, number, BEGUN)


def test_a_game_that_is_stopped_before_a_move_is_neither_logged_nor_on_the_wall(foxes: Book) -> None:
    stop_game(foxes, SYLLABUS, ON, begun(foxes), BEGUN)
    assert logged(foxes) == []
    assert seats_on(foxes, SYLLABUS, ON) == ()


def test_again_is_the_mirrored_position_which_is_on_no_card(foxes: Book) -> None:
    number = begun(foxes)
    with pytest.raises(CoachbookError, match="goes on"):
        play_again(foxes, SYLLABUS, ON, number, 8, BEGUN)
    play(foxes, number)
    again = play_again(foxes, SYLLABUS, ON, number, 8, BEGUN + timedelta(minutes=5))
    assert (again, seat_of(foxes, SYLLABUS, ON, again).game.mirrored) == (8, True)
    assert choices(foxes, SYLLABUS, ON, ANA)[0].game == 8
    play(foxes, again)
    assert [each.card for each in logged(foxes)] == ["PLAY-QUEEN-BOX-1", ""]


def test_another_position_stops_the_game_that_goes_on_and_its_board_finds_the_next(foxes: Book) -> None:
    number = begun(foxes)
    move(foxes, number, "c1c5")
    later = BEGUN + timedelta(minutes=1)
    given = give_another(foxes, SYLLABUS, ON, number, "queen-box", 2, 9, later)
    assert given == 9
    old = seat_of(foxes, SYLLABUS, ON, number)
    assert old.practice.is_over
    assert game_after(foxes, SYLLABUS, old) == 9
    assert game_after(foxes, SYLLABUS, seat_of(foxes, SYLLABUS, ON, 9)) is None
    with pytest.raises(CoachbookError, match="no unit"):
        give_another(foxes, SYLLABUS, ON, given, "no-unit", 1, 10, later)
    assert not seat_of(foxes, SYLLABUS, ON, given).practice.is_over


def test_closing_the_evening_stops_the_games_and_logs_them_once(foxes: Book) -> None:
    number = begun(foxes)
    move(foxes, number, "c1c5")
    begun(foxes, number=6, student=BO)
    assert {each.game.student for each in still_playing(foxes, SYLLABUS, "Foxes", ON)} == {"Ana", "Bo"}
    close(foxes, SYLLABUS, "Foxes", ON, (), BEGUN)
    assert still_playing(foxes, SYLLABUS, "Foxes", ON) == ()
    assert [each.student for each in logged(foxes)] == ["Ana"]
    seat = seat_of(foxes, SYLLABUS, ON, number)
    assert make_move(foxes, SYLLABUS, ON, number, 2, perfect(seat.practice.board), BEGUN).game == seat.game
    with pytest.raises(CoachbookError, match="not of this evening"):
        play_again(foxes, SYLLABUS, ON, number, 9, BEGUN)


def test_who_sits_at_a_board_stays_though_marked_absent(foxes: Book) -> None:
    begun(foxes)
    with foxes.writing() as tx:
        log_attendance(tx, [Attendance(each, ON, present=False) for each in ("Ana", "Bo")], NOW)
    assert [each.name for each in players(foxes, ON)] == ["Ana"]


def test_a_guest_plays_what_the_group_plays(foxes: Book) -> None:
    with foxes.writing() as tx:
        guest = add_student(tx, "Gus").id
        log_attendance(tx, [Attendance("Gus", ON, present=True, guest_of="Foxes")], NOW)
    assert {each.unit for each in choices(foxes, SYLLABUS, ON, guest)} == {"two-majors"}


def test_an_older_game_that_is_given_is_what_the_board_goes_on_with(foxes: Book) -> None:
    older = begun(foxes)
    newer = sit_down(foxes, SYLLABUS, ON, ANA, "queen-box", 2, 6, BEGUN + timedelta(minutes=1))
    given = give_another(foxes, SYLLABUS, ON, newer, "queen-box", 1, 7, BEGUN + timedelta(minutes=2))
    assert given == older
    assert game_after(foxes, SYLLABUS, seat_of(foxes, SYLLABUS, ON, newer)) == older


def test_two_games_alike_are_two_entries_and_each_knows_its_own(foxes: Book) -> None:
    entries = []
    for number in (5, 6):
        move(foxes, begun(foxes, number=number), "c1c5")
        entries.append(stop_game(foxes, SYLLABUS, ON, number, BEGUN).game.entry)
    assert len({*entries, None}) == 3
    undo(foxes, BEGUN, entries[0])
    assert seat_of(foxes, SYLLABUS, ON, 5).game.entry is None
    assert seat_of(foxes, SYLLABUS, ON, 6).game.entry == entries[1]


def test_the_same_position_may_be_played_once_more(foxes: Book) -> None:
    number = begun(foxes)
    play(foxes, number)
    again = play_again(foxes, SYLLABUS, ON, number, 8, BEGUN, is_same=True)
    game = seat_of(foxes, SYLLABUS, ON, again).game
    assert (game.play_out, game.mirrored, game.moves) == (1, False, ())
