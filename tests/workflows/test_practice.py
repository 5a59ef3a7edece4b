"""A play-out against coachbook: it is played by the Laws of Chess, goes on wherever it was left, and is
judged as any play-out is."""

import random
from collections import Counter
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import uuid4

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.endgame.probe import judge_moves, probe
from coachbook.errors import CoachbookError
from coachbook.exercises.opponent import reply
from coachbook.model.facts import PlayOutEnd
from coachbook.model.play_outs import GameEnd, HowGood, card_code
from coachbook.model.settings import ClubSettings
from coachbook.model.syllabus import Goal
from coachbook.workflows.club_settings import keep_settings
from coachbook.workflows.kept_once import Touch
from coachbook.workflows.playing import Start, judge
from coachbook.workflows.practice import (
    Practice,
    another,
    game_view,
    judged,
    keep_practice,
    kept_for,
    mirror_of,
    moved,
    practice_of,
    read_move,
    same_again,
    who_may_keep,
)
from tests.shipped import LARGE_UNITS, UNITS, WITH_FIVE_MEN
from tests.workflows.conftest import club_of
from tests.workflows.foxes import SYLLABUS

Student = Callable[[chess.Board], str]

STARTS = [(unit.code, n) for unit in UNITS for n in range(1, len(unit.play_outs) + 1)]
NOW = datetime(2026, 9, 10, 18, 0, tzinfo=UTC)
TODAY = date(2026, 9, 10)
SEEDS = st.integers(0, 10**9)
JUDGED_AS = {
    GameEnd.MATE: {PlayOutEnd.MATE},
    GameEnd.MATED: {PlayOutEnd.LOST},
    GameEnd.STALEMATE: {PlayOutEnd.STALEMATE},
    GameEnd.REPETITION: {PlayOutEnd.DRAW, PlayOutEnd.HELD},
    GameEnd.FIFTY_MOVES: {PlayOutEnd.DRAW, PlayOutEnd.HELD},
    GameEnd.TOO_FEW_MEN: {PlayOutEnd.DRAW, PlayOutEnd.HELD},
    GameEnd.HELD: {PlayOutEnd.HELD},
}
WORDS_TO_DO = 9


def begun(unit: str, number: int = 1, seed: int = 1, *, mirrored: bool = False) -> Practice:
    return practice_of(SYLLABUS, unit, number, seed, mirrored=mirrored)


def by_chance(seed: int) -> Student:
    chance = random.Random(seed)  # noqa: S311 - no secret
    return lambda board: chance.choice(sorted(move.uci() for move in board.legal_moves))


def perfect(board: chess.Board) -> str:
    return judge_moves(board)[0].move.uci()


def perfect_until(number: int) -> Student:
    """Makes so many moves without a mistake, and then the worst there is."""

    def student(board: chess.Board) -> str:
        return judge_moves(board)[0 if board.fullmove_number <= number else -1].move.uci()

    return student


def played(practice: Practice, student: Student) -> Practice:
    """The game to its end."""
    while not practice.is_over:
        assert len(game_view(practice, "KQRBN").now.split()) <= WORDS_TO_DO
        practice = moved(practice, student(practice.board))
    return practice


def ends_of(board: chess.Board, seen: Counter[str]) -> set[GameEnd]:
    """How the game can be said to have ended by chess alone, told here once more."""
    found = set()
    if not any(board.legal_moves):
        if board.is_check():
            return {GameEnd.MATE, GameEnd.MATED}
        found.add(GameEnd.STALEMATE)
    men = "".join(sorted(piece.symbol().lower() for piece in board.piece_map().values()))
    if men in ("kk", "bkk", "kkn") or (men == "bbkk" and board.is_insufficient_material()):
        found.add(GameEnd.TOO_FEW_MEN)
    if max(seen.values()) >= 3:
        found.add(GameEnd.REPETITION)
    if board.halfmove_clock >= 100:
        found.add(GameEnd.FIFTY_MOVES)
    return found


def check_by_the_laws(practice: Practice) -> None:
    """Every move is legal, coachbook's are its own, none was made after the end, and it ends as it says."""
    board = chess.Board(practice.play_out.fen)
    student, goal, seen = board.turn, practice.play_out.goal, Counter([board.epd()])
    for at, uci in enumerate(practice.moves):
        assert not ends_of(board, seen), "the game was over"
        move = chess.Move.from_uci(uci)
        assert move in board.legal_moves
        assert at % 2 == 0 or move == reply(board, practice.seed)
        board.push(move)
        seen[board.epd()] += 1
    end = practice.end
    if end is GameEnd.HELD:
        assert (goal, practice.used >= practice.play_out.allowance) == (Goal.DRAW, True)
        assert not ends_of(board, seen)
    else:
        assert end in ends_of(board, seen)
    if board.is_checkmate():
        assert end is (GameEnd.MATED if board.turn == student else GameEnd.MATE)


def check_judged(practice: Practice) -> None:
    """As the same moves are judged that a coach types."""
    board = practice.board
    line = board.root().variation_san(board.move_stack)
    typed = judge("", Start(practice.unit, practice.play_out), line)
    assert judged(practice) == typed
    assert practice.end is not None
    assert typed.end in JUDGED_AS[practice.end]
    assert typed.used == practice.used


@pytest.mark.full
@given(st.sampled_from(STARTS), SEEDS, st.booleans())
def test_a_game_against_a_student_who_moves_by_chance_is_played_and_judged_by_the_laws(
    start: tuple[str, int], seed: int, mirrored: bool
) -> None:
    game = played(begun(*start, seed=seed, mirrored=mirrored), by_chance(seed))
    check_by_the_laws(game)
    check_judged(game)


@pytest.mark.parametrize(
    "start",
    [
        *STARTS,
        *(
            pytest.param((unit.code, n), marks=WITH_FIVE_MEN)
            for unit in LARGE_UNITS
            for n in range(1, len(unit.play_outs) + 1)
        ),
    ],
    ids=lambda start: f"{start[0]}-{start[1]}",
)
def test_a_student_who_makes_no_mistake_reaches_the_goal(start: tuple[str, int]) -> None:
    game = played(begun(*start), perfect)
    check_by_the_laws(game)
    check_judged(game)
    found = judged(game)
    assert found.how_good is (HowGood.QUICKEST if found.goal is Goal.WIN else HowGood.CLEAN)
    assert found.slip == ""


@pytest.mark.full
@given(st.sampled_from(STARTS), SEEDS, st.data())
def test_a_game_goes_on_from_wherever_it_was_left(
    start: tuple[str, int], seed: int, data: st.DataObject
) -> None:
    whole = played(begun(*start, seed=seed), by_chance(seed))
    at = data.draw(st.integers(0, len(whole.moves)))
    left = practice_of(SYLLABUS, *start, seed, moves=whole.moves[:at])
    assert left.moves == whole.moves[: at + at % 2]  # where the student had moved, coachbook answers
    for uci in whole.moves[len(left.moves) :: 2]:
        left = moved(left, uci)
    assert left == whole


def test_a_draw_that_is_lost_with_the_last_move_is_not_held() -> None:
    """Of twenty moves the last one lets coachbook mate, and so the game goes on until it does."""
    start = begun("wrong-bishop", 2, 3)
    game = played(start, perfect_until(start.play_out.allowance - 1))
    assert (game.end, judged(game).end) == (GameEnd.MATED, PlayOutEnd.LOST)
    assert game.used == start.play_out.allowance


def test_a_game_that_is_stopped_is_over_and_tells_nothing() -> None:
    game = moved(begun("queen-box"), "c1c3")
    stopped = practice_of(SYLLABUS, "queen-box", 1, 1, moves=game.moves, stopped=True)
    assert (game.is_over, stopped.end, judged(stopped).end) == (
        False,
        GameEnd.STOPPED,
        PlayOutEnd.STOPPED,
    )
    with pytest.raises(CoachbookError, match="is over"):
        moved(stopped, "c3c2")


@pytest.mark.parametrize("uci", ["c1c9", "", "0000", "e4e5", "c1a1", "x" * 99, "c1c3q"])
def test_a_move_that_is_not_legal_is_refused(uci: str) -> None:
    with pytest.raises(CoachbookError, match="no legal move"):
        moved(begun("queen-box"), uci)
    with pytest.raises(CoachbookError, match="no legal move"):
        practice_of(SYLLABUS, "queen-box", 1, 1, moves=[uci])


def test_nothing_is_played_after_the_end() -> None:
    game = played(begun("queen-box"), perfect)
    with pytest.raises(CoachbookError, match="is over"):
        moved(game, "a1a2")
    with pytest.raises(CoachbookError, match="was over before"):
        practice_of(SYLLABUS, "queen-box", 1, 1, moves=(*game.moves, "a1a2"))
    with pytest.raises(CoachbookError, match="as long as that"):
        practice_of(SYLLABUS, "queen-box", 1, 1, moves=["a1a2"] * 1001)


def test_what_is_not_in_the_syllabus_is_not_played() -> None:
    with pytest.raises(CoachbookError, match="no play-out 99"):
        begun("queen-box", 99)
    with pytest.raises(CoachbookError, match="It has none"):
        begun("mate-in-one")
    with pytest.raises(CoachbookError, match="no unit"):
        begun("no-such-unit")


def test_a_move_is_read_as_a_person_writes_it() -> None:
    game = begun("queen-box")
    assert read_move(game, "queen c3", None) == "c1c3"
    assert read_move(game, "Dc3", "KDTLS") == "c1c3"
    for written in ("Qc9", "", "Qc3 Kf4", "Ke5"):
        with pytest.raises(CoachbookError, match="no legal move"):
            read_move(game, written, None)


@pytest.mark.parametrize("start", STARTS, ids=lambda start: f"{start[0]}-{start[1]}")
def test_the_mirror_of_a_position_is_as_hard_and_its_mirror_is_the_position(start: tuple[str, int]) -> None:
    fen = begun(*start).play_out.fen
    mirrored = begun(*start, mirrored=True).play_out.fen
    assert mirrored != fen
    assert mirror_of(mirrored) == fen
    assert probe(chess.Board(mirrored)) == probe(chess.Board(fen))
    men = {(7 - square % 8, square // 8, str(man)) for square, man in chess.Board(fen).piece_map().items()}
    assert men == {(at % 8, at // 8, str(man)) for at, man in chess.Board(mirrored).piece_map().items()}


def test_a_position_with_castling_has_no_mirror_and_a_pawn_that_passed_by_keeps_its_square() -> None:
    castling = "4k3/8/8/8/8/8/8/R3K3 w Q - 0 1"
    assert mirror_of(castling) == castling
    assert mirror_of("4k3/8/8/8/3pP3/8/8/K7 b - e3 0 7") == "3k4/8/8/8/3Pp3/8/8/7K b - d3 0 7"


def test_again_goes_through_all_positions_and_their_mirrors_and_begins_anew() -> None:
    game, seen = begun("two-majors", 2), []
    for seed in range(6):
        seen.append((game.number, game.mirrored))
        game = another(game, seed)
        assert (game.seed, game.moves) == (seed, ())
    assert seen == [(2, False), (2, True), (3, False), (3, True), (1, False), (1, True)]
    assert (game.number, game.mirrored) == (2, False)


def test_from_the_same_position_is_another_game_from_it() -> None:
    game = played(begun("queen-box", 2, mirrored=True), perfect)
    assert same_again(game, 7) == begun("queen-box", 2, seed=7, mirrored=True)


def test_nothing_is_said_of_the_moves_while_it_is_played() -> None:
    game = moved(begun("queen-box"), "c1d1")
    view = game_view(game, "KDTLS")
    assert (view.now, view.counted) == ("Your move, White: mate within 16 moves.", "Your moves: 1 of 16.")
    assert view.answered.startswith("coachbook answers K")
    assert (view.end, view.back) == ("", None)


def test_afterwards_the_best_moment_and_the_first_slip_are_shown_with_their_boards() -> None:
    game = played(begun("rook-box"), perfect_until(4))
    view = game_view(game, "KDTLS")
    assert (view.end, view.now) == (
        "Too few men are left to mate with: a draw.",
        "Look at your first slip, then play again.",
    )
    assert view.back is not None
    best, slip = view.back.moments
    assert best.words.startswith("Best moment: 1. ")
    assert slip.words.startswith("First slip: 6. T")
    assert [len(each.marks.arrows) for each in view.back.moments] == [1, 2]
    assert view.back.key.startswith("Two arrows")
    assert view.back.praise == ""
    assert "R" not in view.back.line


def test_a_goal_that_was_reached_is_praised_and_nobody_counts_how_often() -> None:
    view = game_view(played(begun("queen-box"), perfect), "KQRBN")
    assert view.back is not None
    assert view.back.praise == "Nobody can mate faster from there."


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return club_of(tmp_path, ("Ana", "Bo"), "Foxes")


def touch() -> Touch:
    return Touch(str(uuid4()), NOW)


def kept_in(book: Book) -> list[tuple[str, str, tuple[str, ...]]]:
    with book.reading() as tx:
        return [(each.student, each.card, each.moves) for each in play_outs(tx)]


def test_a_game_is_kept_once_for_a_student(book: Book) -> None:
    game, sent = played(begun("queen-box"), perfect), touch()
    assert kept_for(book, 1, game, TODAY) == ""
    for _ in range(2):
        keep_practice(book, sent, 1, game, TODAY)
    assert kept_in(book) == [("Ana", card_code("queen-box", 1), game.moves)]
    assert kept_for(book, 1, game, TODAY) == "Ana"
    assert kept_for(book, 2, game, TODAY) == ""
    assert kept_for(book, 1, game, date(2026, 9, 11)) == ""


def test_a_mirrored_game_is_on_no_card(book: Book) -> None:
    game = played(begun("queen-box", mirrored=True), perfect)
    keep_practice(book, touch(), 1, game, TODAY)
    assert kept_in(book) == [("Ana", "", game.moves)]
    assert kept_for(book, 1, game, TODAY) == "Ana"


def test_a_game_is_kept_as_it_was_whatever_the_clubs_letters_mean(book: Book) -> None:
    """Where N is the bishop, a knight that a pawn became stays a knight."""
    keep_settings(book, ClubSettings(letters="RDTNC"))
    game = moved(begun("promotion-traps"), "c7c8n")
    stopped = practice_of(SYLLABUS, "promotion-traps", 1, 1, moves=game.moves, stopped=True)
    keep_practice(book, touch(), 1, stopped, TODAY)
    assert kept_in(book) == [("Ana", card_code("promotion-traps", 1), stopped.moves)]


def test_a_game_without_a_move_is_not_kept(book: Book) -> None:
    stopped = practice_of(SYLLABUS, "queen-box", 1, 1, stopped=True)
    with pytest.raises(CoachbookError):
        keep_practice(book, touch(), 1, stopped, TODAY)
    assert kept_in(book) == []


def test_the_students_of_the_evening_may_keep_it(book: Book) -> None:
    ((group, members),) = who_may_keep(book, TODAY)
    assert (group.name, [each.name for each in members]) == ("Foxes", ["Ana", "Bo"])
