"""Play-outs are judged by what is true: hand-made games, and laws held to the published tables.

Sources: Syzygy's results and Gaviota's mate distances, in the source distribution of `chess` 1.11.2.
"""

from dataclasses import dataclass

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.endgame.material import parse_material
from coachbook.errors import CoachbookError
from coachbook.exercises.games import read_game
from coachbook.exercises.judging import judge_play_out
from coachbook.method.border import choose
from coachbook.method.methods import find_method, methods_for
from coachbook.method.moves import Aim
from coachbook.method.rules import Method
from coachbook.method.written_plan import find_length, written_plan
from coachbook.model.facts import PlayOutEnd, Slip
from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
from coachbook.model.position import Arrow, ArrowStyle, square_name
from coachbook.model.syllabus import Goal
from tests.endgame.positions import positions
from tests.judges.published import Published

QUEEN = "8/8/8/8/4k3/8/8/K1Q5 w - - 0 1"
CORNERED = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"
OPEN_QUEEN = "8/8/8/8/8/8/1k6/3Q3K w - - 0 1"
QUEEN_AND_ROOK = "3r4/8/8/8/8/2k5/8/K6Q w - - 0 1"
TWO_ROOKS = "8/8/8/8/3k4/8/5K2/R6R w - - 0 1"
PAWN_TO_WIN = "8/8/8/8/1k6/8/3P4/3K4 w - - 0 1"
PAWN = "8/8/8/8/P4k2/8/8/7K b - - 0 1"
THROWN = {Slip.STALEMATE, Slip.PIECE_LOST, Slip.WIN_THROWN_AWAY, Slip.DRAW_THROWN_AWAY}
STARTS = [
    board
    for name in ("KQK", "KRK", "KPK")
    for board in positions(parse_material(name), 40, seed=7)
    if any(board.legal_moves)
]

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def judge(fen: str, line: str, goal: Goal = Goal.WIN, allowance: int = 16, method: str = "") -> JudgedPlayOut:
    board = chess.Board(fen)
    return judge_play_out(board, read_game(board, line), goal, allowance, find_method(method))


def shown(move: PlayedMove | None) -> str:
    """Number, move, words, better move and arrow of a move that is told of."""
    assert move is not None
    assert move.arrow is not None
    arrow = square_name(move.arrow.start) + square_name(move.arrow.end)
    return f"{move.number} {move.san}: {move.comment} [{move.better}] {arrow}"


@pytest.mark.parametrize(
    ("fen", "line", "end"),
    [
        (CORNERED, "Qg7#", PlayOutEnd.MATE),
        (CORNERED, "Qg6", PlayOutEnd.STALEMATE),
        (CORNERED, "Kf7 Kh7", PlayOutEnd.STOPPED),
        (OPEN_QUEEN, "Qc1+ Kxc1", PlayOutEnd.DRAW),
        (CORNERED, "Kf5 Kh7 Kf6 Kh8 Kf5 Kh7 Kf6 Kh8", PlayOutEnd.DRAW),
        (CORNERED, "Kf5 Kh7 Kf6 Kh8 Kf5 Kh7 Kf6", PlayOutEnd.STOPPED),
        (CORNERED, "Kf5 Kh7 Kf6 Kh8 Kf5 Kh7 Kf6 Kh8 Qg7#", PlayOutEnd.MATE),
        ("7k/8/5K2/8/8/8/8/6Q1 w - - 98 80", "Kf5 Kh7", PlayOutEnd.DRAW),
        (QUEEN_AND_ROOK, "Qh8+ Rxh8 Ka2 Rh1 Ka3 Ra1#", PlayOutEnd.LOST),
        (QUEEN_AND_ROOK, "Qh8+ Rxh8", PlayOutEnd.UNFINISHED),
        (PAWN_TO_WIN, "Kc2 Kc4", PlayOutEnd.UNFINISHED),
        ("8/8/8/8/8/8/k7/N2K3q w - - 0 1", "Ke2 Qxa1", PlayOutEnd.UNFINISHED),
        ("8/8/8/8/8/2k4p/8/6KR w - - 0 1", "Rxh3+ Kd4 Rg3 Ke4 Rg4+ Kf3 Rg3+ Kxg3", PlayOutEnd.DRAW),
        ("8/8/8/8/8/6p1/7k/R4K2 w - - 0 1", "Ra2+ g2+ Rxg2+ Kh1 Rf2", PlayOutEnd.STALEMATE),
    ],
)
def test_the_end_for_who_was_to_win_is_that_on_the_board(fen: str, line: str, end: PlayOutEnd) -> None:
    assert judge(fen, line).end is end


@pytest.mark.parametrize(
    ("fen", "line", "allowance", "end"),
    [
        (PAWN, "Ke5 a5 Kd6 a6 Kc7 a7 Kb7 a8=Q+ Kxa8", 10, PlayOutEnd.HELD),
        (PAWN, "Ke5 a5 Kd6 a6", 10, PlayOutEnd.STOPPED),
        (PAWN, "Ke5 a5 Kd6 a6", 2, PlayOutEnd.HELD),
        (PAWN, "Ke5 a5 Kd6", 2, PlayOutEnd.HELD),
        (PAWN, "Kf3 a5 Ke4 a6", 2, PlayOutEnd.UNFINISHED),
        ("7k/5K2/8/6P1/8/8/8/8 b - - 0 1", "Kh7 g6+ Kh8 g7+ Kh7 g8=Q+ Kh6 Qg6#", 1, PlayOutEnd.LOST),
        ("7k/8/5K2/6P1/8/8/8/8 b - - 0 1", "Kg8 g6 Kh8 g7+ Kg8 Kg6", 20, PlayOutEnd.STALEMATE),
        ("8/8/8/8/8/5k2/r7/7K b - - 0 1", "Ra1+ Kh2 Rb1 Kh3 Rh1#", 2, PlayOutEnd.MATE),
    ],
)
def test_a_draw_is_held_on_the_board_or_for_long_enough(
    fen: str, line: str, allowance: int, end: PlayOutEnd
) -> None:
    assert judge(fen, line, Goal.DRAW, allowance).end is end


def test_a_game_is_told_with_its_numbers_and_counted_in_the_students_moves() -> None:
    judged = judge(PAWN, "Ke5 a5 Kd6 a6", Goal.DRAW)
    assert (judged.line, judged.used, judged.optimum) == ("1...Ke5 2. a5 Kd6 3. a6", 2, None)
    assert judged.moves == ("f4e5", "a4a5", "e5d6", "a5a6")
    assert judge("8/8/8/8/4k3/8/8/K1Q5 w - - 12 40", "Qc5 Kd3 Kb2").line == "1. Qc5 Kd3 2. Kb2"


@pytest.mark.parametrize(
    ("fen", "line", "goal", "slip", "told"),
    [
        (
            CORNERED,
            "Qg6",
            Goal.WIN,
            Slip.STALEMATE,
            "1 Qg6: Stalemate: Black is not in check and has no move. [Qg7#] g1g7",
        ),
        (
            OPEN_QUEEN,
            "Kg2 Ka2 Qd2+ Ka3 Qb4+ Kxb4",
            Goal.WIN,
            Slip.PIECE_LOST,
            "3 Qb4+: Black can take the queen. From a mate in 7 to a draw. [Kf1] g2f1",
        ),
        (
            PAWN_TO_WIN,
            "Kc2 Kc4",
            Goal.WIN,
            Slip.WIN_THROWN_AWAY,
            "1 Kc2: From a mate in 23 to a draw. [Ke2] d1e2",
        ),
        (
            "8/8/8/8/2K5/8/3kP3/8 w - - 0 1",
            "Kb5",
            Goal.WIN,
            Slip.WIN_THROWN_AWAY,  # a pawn is no piece
            "1 Kb5: Black can take the pawn. From a mate in 11 to a draw. [e4] e2e4",
        ),
        (
            QUEEN_AND_ROOK,
            "Qh8+",
            Goal.WIN,
            Slip.PIECE_LOST,
            "1 Qh8+: Black can take the queen."
            " From a mate in 31 to a lost game: Black mates in 3. [Qc1+] h1c1",
        ),
        (
            PAWN,
            "Kf3 a5",
            Goal.DRAW,
            Slip.DRAW_THROWN_AWAY,
            "1 Kf3: From a draw to a lost game: White mates in 13. [Ke4] f4e4",
        ),
        (
            TWO_ROOKS,
            "Rh4+ Ke5 Rg4 Kf5 Rg5+ Kxg5",
            Goal.WIN,
            Slip.PIECE_LOST,
            "3 Rg5+: Black can take the rook. [Kf3] f2f3",
        ),
    ],
)
def test_the_first_slip_is_named_with_a_better_move(
    fen: str, line: str, goal: Goal, slip: Slip, told: str
) -> None:
    judged = judge(fen, line, goal)
    assert (judged.slip, shown(judged.first_slip)) == (slip, told)


def test_where_nothing_was_thrown_away_the_slowest_move_is_shown() -> None:
    judged = judge(QUEEN_AND_ROOK, "Qh3+ Kc4 Qh4+ Kc3 Qxd8")
    told = "1 Qh3+: Cost 4 moves: from mate in 31 to mate in 35. [Qc1+] h1c1"
    assert (judged.slip, shown(judged.first_slip)) == ("", told)


def test_a_method_answers_first_but_only_with_a_move_that_is_worth_more() -> None:
    judged = judge(CORNERED, "Qg6", method="queen-box")
    assert judged.first_slip is not None
    assert judged.first_slip.better == "Qg7#"
    assert judged.method_title == "The queen's box"


def test_the_rule_that_should_have_decided_is_named() -> None:
    judged = judge(OPEN_QUEEN, "Kg2 Ka2 Qc1", method="queen-box")
    assert [shown(move) for move in judged.off_method] == [
        "1 Kg2: as quick as any move; the rule “make the box smaller” says Qd3 [] h1g2",
        "2 Qc1: the rule “make the box smaller” says Qd3 [Qd3] d1d3",
    ]
    assert judge(CORNERED, "Kf7 Kh7", method="queen-box").off_method[0].comment == "the rule “mate” says Qg7#"


def test_a_method_for_something_else_says_nothing() -> None:
    for method in ("", "rook-box"):
        judged = judge(OPEN_QUEEN, "Kg2 Ka2 Qc1", method=method)
        assert (judged.off_method, judged.method_title) == ((), "")
    assert judge(PAWN_TO_WIN, "Kc2 Kc4 d3+", method="hold-king-and-pawn").off_method == ()


@pytest.mark.parametrize(
    ("fen", "line", "goal", "method", "told"),
    [
        (
            PAWN,
            "Ke5 a5 Kd6 a6 Kc7 a7 Kb7",
            Goal.DRAW,
            "",
            "4 Kb7: Of 7 moves, only this one keeps the draw. [] c7b7",
        ),
        (CORNERED, "Qg7#", Goal.WIN, "", "1 Qg7#: Mate, at the first chance. [] g1g7"),
        (CORNERED, "Kf7 Kh7 Qh1#", Goal.WIN, "", "2 Qh1#: Mate! [] g1h1"),
        (
            QUEEN,
            "Qg5 Kd4 Qf5 Kc4 Qe5 Kb4 Qd5 Ka4 Qa8+",
            Goal.WIN,
            "queen-box",
            "2 Qf5: Moves 2 to 4: all as the rule says. [] g5f5",
        ),
        (TWO_ROOKS, "Rh4+ Ke5 Rg4 Kf5", Goal.WIN, "", "1 Rh4+: Moves 1 and 2: both keeping the win. [] h1h4"),
        (TWO_ROOKS, "Rh4+ Ke5", Goal.WIN, "", "1 Rh4+: Keeping the win. [] h1h4"),
        (CORNERED, "Kf5 Kh7 Kf6", Goal.WIN, "", "2 Kf6: As quick as can be. [] f5f6"),
    ],
)
def test_the_best_moment_is_praised(fen: str, line: str, goal: Goal, method: str, told: str) -> None:
    assert shown(judge(fen, line, goal, method=method).praise) == told


def test_who_kept_nothing_is_not_praised() -> None:
    assert judge(CORNERED, "Qg6").praise is None
    assert judge_play_out(chess.Board(CORNERED), (), Goal.WIN, 16, None).praise is None


@pytest.mark.parametrize(
    ("fen", "told"),
    [
        ("8/8/8/8/4k3/8/PPP5/K7 w - - 0 1", "KPPPK would take too much"),
        ("8/8/8/8/4k3/8/PPPP4/K7 w - - 0 1", "6 men; the tables go up to 5"),
        ("1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1", "KRPKR is not solved yet"),
        ("4k3/8/8/8/8/8/8/R3K3 w Q - 0 1", "castling"),
        ("4k3/4Q3/8/8/8/8/8/4K3 w - - 0 1", "not legal"),
    ],
)
def test_what_the_tables_do_not_know_is_not_judged(fen: str, told: str) -> None:
    with pytest.raises(CoachbookError, match=told):
        judge_play_out(chess.Board(fen), (), Goal.WIN, 16, None)


def test_an_illegal_move_is_refused() -> None:
    with pytest.raises(CoachbookError, match="Move 1, Black: h8h1 is not a legal move"):
        judge_play_out(
            chess.Board(CORNERED),
            [chess.Move.from_uci("f6f7"), chess.Move.from_uci("h8h1")],
            Goal.WIN,
            9,
            None,
        )


@dataclass(frozen=True)
class Game:
    """A game by chance from a position by chance."""

    start: chess.Board
    moves: list[chess.Move]
    goal: Goal
    method: Method | None

    def judged(self) -> JudgedPlayOut:
        return judge_play_out(self.start, self.moves, self.goal, 16, self.method)

    def turns(self) -> list[tuple[chess.Board, chess.Board, chess.Move]]:
        """The board before and after each move of the student, and the move."""
        found, now = [], self.start.copy(stack=False)
        for move in self.moves:
            before = now.copy(stack=False)
            now.push(move)
            if before.turn == self.start.turn:
                found.append((before, now.copy(stack=False), move))
        return found


@st.composite
def games(draw: st.DrawFn) -> Game:
    start = draw(st.sampled_from(STARTS))
    lone = chess.popcount(start.occupied_co[start.turn]) == 1
    method = draw(st.sampled_from((None, *methods_for(start))))
    now = start.copy(stack=False)
    for number in draw(st.lists(st.integers(0, 60), max_size=14)):
        legal = sorted(now.legal_moves, key=chess.Move.uci)
        if not legal:
            break
        now.push(legal[number % len(legal)])
    return Game(start, now.move_stack, Goal.DRAW if lone else Goal.WIN, method)


@given(game=games())
def test_what_is_said_of_any_game_agrees_with_the_published_tables(game: Game, published: Published) -> None:
    judged, turns = game.judged(), game.turns()
    enough = 0 if game.goal is Goal.DRAW else 1
    before = [published.result(board) for board, _, _ in turns]
    after = [-published.result(board) for _, board, _ in turns]
    thrown = [i for i in range(len(turns)) if before[i] >= enough > after[i]]
    kept = {i + 1 for i in range(len(turns)) if after[i] >= enough}
    assert judged.used == len(turns)
    won = published.result(game.start) == 1
    assert judged.optimum == (published.mates_in(game.start) if won else None)
    assert (judged.slip in THROWN) == bool(thrown)
    if judged.slip:
        assert judged.first_slip is not None
        assert judged.first_slip.number == thrown[0] + 1
        kept_by_better = turns[thrown[0]][0]
        kept_by_better.push_san(judged.first_slip.better)
        assert -published.result(kept_by_better) >= enough
    assert (judged.praise is not None) == bool(kept)
    assert judged.praise is None or judged.praise.number in kept


@FEW
@given(game=games())
def test_a_slow_move_costs_what_the_published_distances_say(game: Game, published: Published) -> None:
    judged = game.judged()
    if judged.slip or judged.first_slip is None:
        return
    before, after, _ = game.turns()[judged.first_slip.number - 1]
    first, then = published.mates_in(before), published.mates_in(after) + 1
    assert judged.first_slip.comment == f"Cost {then - first} moves: from mate in {first} to mate in {then}."
    assert then - first >= 3
    before.push_san(judged.first_slip.better)
    assert published.mates_in(before) + 1 < then


@FEW
@given(game=games())
def test_a_move_off_the_method_is_none_of_its_own(game: Game) -> None:
    judged = game.judged()
    turns = game.turns()
    for told in judged.off_method:
        before, _, move = turns[told.number - 1]
        assert game.method is not None
        chosen = choose(before, game.method)
        assert move not in chosen.moves
        assert chosen.rule is not None
        assert f"the rule “{chosen.rule.name}” says " in told.comment


def test_with_a_better_move_the_one_that_was_played_is_to_be_drawn_too() -> None:
    quick, slow = judge(OPEN_QUEEN, "Kg2 Ka2 Qc1", method="queen-box").off_method
    assert quick.played is None
    assert slow.played == Arrow(chess.D1, chess.C1, ArrowStyle.PLAYED)
    assert slow.arrow == Arrow(chess.D1, chess.D3)


@FEW
@given(game=games())
def test_with_colours_exchanged_a_game_is_judged_alike(game: Game) -> None:
    mirrored = [
        chess.Move(chess.square_mirror(m.from_square), chess.square_mirror(m.to_square), m.promotion)
        for m in game.moves
    ]
    one = game.judged()
    other = judge_play_out(game.start.mirror(), mirrored, game.goal, 16, game.method)
    assert (one.end, one.used, one.optimum, one.slip) == (other.end, other.used, other.optimum, other.slip)
    for mine, theirs in ((one.praise, other.praise), (one.first_slip, other.first_slip)):
        assert (mine and mine.number) == (theirs and theirs.number)
    assert [move.number for move in one.off_method] == [move.number for move in other.off_method]


@FEW
@given(start=st.sampled_from([*STARTS, *positions(parse_material("KRRK"), 10, seed=7)]))
def test_who_follows_the_method_made_no_slip(start: chess.Board) -> None:
    for method in methods_for(start):
        length = find_length(start, method)
        if length is None:
            continue
        line = start.copy(stack=False)
        for step in written_plan(start, method).steps:
            for san in filter(None, (step.move, step.reply)):
                line.push_san(san)
        goal = Goal.DRAW if method.aim is Aim.DRAW else Goal.WIN
        judged = judge_play_out(start, line.move_stack, goal, 50, method)
        assert (judged.slip, judged.first_slip, judged.off_method) == ("", None, ())
        assert judged.praise is not None
        if method.aim is Aim.MATE:
            assert judged.end is PlayOutEnd.MATE
            assert judged.used <= length
