"""What is said of a move of the class is true, by the lesson's own claims and by the tables."""

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.class_moves import Verdict, class_move
from coachbook.exercises.show_claims import Moment, is_true
from coachbook.method.methods import find_method
from coachbook.model.syllabus import Goal, Show, Unit
from coachbook.workflows.standings import load_syllabus
from tests.shipped import each_unit

SYLLABUS = load_syllabus()


def moments(unit: Unit) -> list[tuple[Show, int, chess.Board]]:
    """The positions of a unit's lines in which the student is to move."""
    found = []
    for show in unit.shows:
        board = chess.Board(show.fen)
        student = board.turn
        for at, move in enumerate(show.line):
            if board.turn == student:
                found.append((show, at, board.copy()))
            board.push_san(move.san)
    return found


@each_unit
def test_whatever_the_class_plays_is_judged_by_the_tables_and_all_claims_are_true(unit: Unit) -> None:
    method = find_method(unit.method)
    for show, at, board in moments(unit):
        for move in board.legal_moves:
            found = class_move(show, at, move, method)
            moment = Moment(board, move, board.turn)
            assert all(is_true(claim, moment) for claim in found.claims)
            kept = {Goal.WIN: {Result.LOSS}, Goal.DRAW: {Result.DRAW, Result.LOSS}}[found.goal]
            is_kept = probe(after_move(board, move)).result in kept
            assert (found.verdict is Verdict.THROWN) == (not is_kept)
            is_lessons = board.san(move) == show.line[at].san
            assert (found.verdict is Verdict.LESSONS) == is_lessons
            assert bool(found.slip) == (found.verdict in (Verdict.THROWN, Verdict.MAN_LOST)) or is_lessons


def of(unit: str, at: int, san: str) -> tuple[Verdict, list[str]]:
    own = SYLLABUS.unit(unit)
    board = chess.Board(own.shows[0].fen)
    for each in own.shows[0].line[:at]:
        board.push_san(each.san)
    found = class_move(own.shows[0], at, board.parse_san(san), find_method(own.method))
    return found.verdict, [" ".join((each.form, *each.given)) for each in found.claims]


def test_the_box_is_counted_for_every_move() -> None:
    assert of("queen-walls", 0, "Qb2+") == (Verdict.OFF_RULE, ["box N to N 30 36"])
    assert of("queen-walls", 0, "Qd3") == (Verdict.LESSONS, ["box N to N 30 20"])


def test_what_a_man_guards_is_said_of_this_man_alone() -> None:
    verdict, claims = of("knight-and-pawn", 0, "Kb1")
    assert verdict is Verdict.KEEPS
    assert claims == []


def test_a_move_that_gives_the_win_away_is_not_praised_for_the_pawns_square() -> None:
    assert of("pawn-square", 0, "Kh2") == (Verdict.THROWN, [])
