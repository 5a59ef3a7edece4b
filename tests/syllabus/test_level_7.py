"""What level 7 tells a class about rook endings is true: by the rules of chess, and by the exact tables of
king, rook and pawn against king and rook, which are built in the long run only."""

import random
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from itertools import product

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from coachbook.model.syllabus import Goal, Unit
from coachbook.workflows.syllabus_truth import show_faults
from tests.judges.moves import can_take, placed
from tests.syllabus.boards import SYLLABUS, after, board_of, king_squares, mates, stalemates
from tests.syllabus.truth import DRAW, LOSS, WIN, mate_in, moves_to, result_of

UNITS = [unit for unit in SYLLABUS.units if unit.level == 7]
MANY = 2_000
Squares = tuple[int, int, int, int, int]
"""White's king, rook and pawn, then Black's king and rook."""


@pytest.fixture(autouse=True)
def tables_in_the_long_run(request: pytest.FixtureRequest) -> None:
    if request.node.get_closest_marker("long"):
        request.getfixturevalue("five_men")


each_unit = pytest.mark.parametrize("unit", UNITS, ids=lambda unit: str(unit.code))


def goals_of(unit: Unit) -> list[tuple[str, Goal]]:
    """The positions from which a unit is played, with what the side to move is to reach."""
    played = [(each.fen, each.goal) for each in unit.play_outs]
    return [(unit.demonstration, unit.demonstration_goal), *played]


def black(men: str) -> chess.Board:
    return placed(men, white_to_move=False)


@each_unit
def test_who_defends_is_black_and_who_attacks_is_white(unit: Unit) -> None:
    for fen, goal in goals_of(unit):
        assert chess.Board(fen).turn is (goal is Goal.WIN)


def test_white_threatens_mate_where_the_texts_say_so() -> None:
    assert "Rh8" in mates(placed("Ke6 Pe5 Rh4 rd2 ke8"))
    assert "Ra8" in mates(placed("Kb6 Pc6 Ra3 rf8 kc8"))
    assert "Ra8" in mates(placed("Kf6 Pe6 Ra3 re2 ke8"))
    assert "Ra8" in mates(placed("Kd6 Pe6 Ra3 re2 ke8"))
    assert "Rxc8" in mates(after(placed("Ke6 Pd6 Rb3 rc1 ke8"), "Rb8", "Rc8"))
    assert "Rb8" in mates(placed("Kc6 Pd6 Rb3 rg7 kd8"))
    assert "Re8" in mates(placed("Kc6 Pd6 Re4 rh7 kc8"))


def test_checks_what_comes_of_the_two_wrong_king_moves() -> None:
    assert "Ra8" in mates(after(black("Kf6 Pe6 Ra3 re2 ke8"), "Kf8"))
    assert king_squares(after(black("Kc6 Pd6 Rb3 rg7 kd8"), "Ke8", "Rb8")) == {"f7"}


def test_checks_the_rook_that_is_given_on_c7_makes_stalemate() -> None:
    assert stalemates(placed("Kc6 Pd6 Re4 rc7 kc8")) == {"dxc7"}


def test_passive_rook_who_can_take_or_mate_where_the_questions_ask() -> None:
    assert after(placed("Ke6 Pd5 Re2 rf8 kd8"), "Rf2").is_attacked_by(chess.BLACK, chess.F2)
    assert after(placed("Kc6 Pb6 Ra7 rf8 kb8"), "Ra8").is_attacked_by(chess.BLACK, chess.A8)
    assert mates(placed("Kc6 Pb6 Rg7 ra8 kb8")) == {"Rg8"}
    assert mates(after(placed("Ka6 Pb5 Rh2 rc4 ka8"), "Rh8", "Rc8")) == {"Rxc8"}
    assert "Rh8" in mates(placed("Kb6 Pb5 Rh2 ra4 ka8"))


def test_rooks_pawn_a_queen_at_once_would_be_mated_and_a_rook_that_is_taken_makes_a_check() -> None:
    assert "Rh8" in mates(black("Kd8 Qa8 Rb8 rh1 kd6"))
    taken = after(black("Kd8 Pa7 Rc6 rh1 kc5"), "Kxc6")
    assert after(taken, "a8=Q").is_check()


def test_rooks_pawn_with_him_on_c7_the_king_in_the_corner_cannot_move() -> None:
    assert king_squares(placed("Ka8 Pa7 Rb8 rb2 kc7")) == set()


def test_rooks_pawn_the_check_on_h7_wins_the_rook_on_a7() -> None:
    board = after(black("Kc5 Pa7 Ra8 ra2 kf6"), "Ke7", "Rh8", "Rxa7", "Rh7")
    assert board.is_check()
    assert board.attacks(chess.H7) & chess.BB_SQUARES[chess.E7]
    assert {chess.square_file(king) for king in map(chess.parse_square, king_squares(board))} <= {3, 4, 5}


@pytest.mark.long
@each_unit
def test_every_line_that_is_shown_is_true(unit: Unit) -> None:
    assert list(show_faults(SYLLABUS, unit)) == []


@pytest.mark.long
@each_unit
def test_every_position_is_won_or_held_as_it_is_said_to_be(unit: Unit) -> None:
    for fen, goal in goals_of(unit):
        assert probe(chess.Board(fen)).result is (WIN if goal is Goal.WIN else DRAW), fen


@pytest.mark.long
@each_unit
def test_an_allowance_is_the_longest_mate_and_a_third_of_it_or_more(unit: Unit) -> None:
    for each in unit.play_outs:
        moves = mate_in(chess.Board(each.fen))
        assert moves is None or moves * 4 / 3 <= each.allowance + 1, each.fen


ONLY_MOVES = [
    ("Kb5 Pc5 Rc3 rf6 ke8", True, "Rd3"),
    ("Kb3 Pb4 Rc1 rf8 ke7", True, "Rd1"),
    ("Kd4 Pd5 Rb1 rg3 kf8", True, "Re1"),
    ("Kb5 Pc5 Rg4 rf8 kd8", False, "Rf6"),
    ("Ke6 Pd6 Rg2 ra4 kb7", False, "Rh4"),
    ("Kc6 Pd6 Rb3 rg7 kd8", False, "Kc8"),
    ("Kf6 Pe6 Ra3 re2 ke8", False, "Rf2"),
    ("Ke8 Pd7 Rg7 rh4 kc7", False, "Rh8"),
    ("Ke6 Pd5 Re2 rf8 kd8", True, "Ra2"),
    ("Ka6 Pb5 Rh2 rc4 ka8", False, "Rc8"),
    ("Kf5 Pe5 Rh4 rd2 ke8", True, "Ke6"),
    ("Kb5 Pc5 Rg3 rf8 kc8", True, "Kb6"),
    ("Kb6 Pc5 Rg3 rf6 kc8", True, "c6"),
    ("Ke6 Pe5 Rh4 rd2 kf8", True, "Rf4"),
    ("Ka8 Pa7 Rd3 rb2 ke6", True, "Rd8"),
    ("Kc5 Pa7 Ra8 ra2 kf6", False, "Kg7"),
    ("Ke4 Pa6 Ra8 rf2 kg7", False, "Rf6"),
]


@pytest.mark.long
@pytest.mark.parametrize(("men", "white", "move"), ONLY_MOVES)
def test_where_a_text_says_that_one_move_does_it_no_other_does(men: str, white: bool, move: str) -> None:
    assert moves_to(placed(men, white_to_move=white), WIN if white else DRAW) == {move}
    assert white or not moves_to(placed(men, white_to_move=white), WIN)


ANSWERS = [
    ("Kb5 Pc5 Rc3 rf6 ke8", True, "Rc1", {"Kd7", "Kd8"}),
    ("Kb5 Pc5 Rc3 rf6 ke8", True, "c6", {"Kd8"}),
    ("Kb5 Pc5 Rd3 rf1 ke8", True, "Re3", {"Kd7"}),
    ("Kb3 Pb4 Rc1 rf8 ke7", True, "b5", {"Kd7"}),
    ("Kd4 Pd5 Rb1 rg3 kf8", True, "Rf1", {"Ke7", "Ke8"}),
    ("Kf5 Pf7 Rd4 rf1 kb7", True, "Ke5", {"Rxf7"}),
    ("Ke7 Pf7 Rd4 re1 kb7", True, "Re4", {"Rxe4"}),
    ("Kb5 Pc5 Rg4 rf8 kd8", False, "Rf1", {"Kb6", "Kc6"}),
    ("Ke6 Pd6 Rg2 ra4 kb7", False, "Re4", {"Kd7"}),
    ("Ka6 Pb5 Rh2 rc4 ka8", False, "Ra4", {"Kb6"}),
]


@pytest.mark.long
@pytest.mark.parametrize(("men", "white", "move", "answers"), ANSWERS)
def test_a_wrong_move_is_answered_as_the_reply_says(
    men: str, white: bool, move: str, answers: set[str]
) -> None:
    assert moves_to(after(placed(men, white_to_move=white), move), DRAW if white else WIN) == answers


@pytest.mark.long
def test_the_other_answers_that_are_expected_are_so() -> None:
    assert moves_to(placed("Kf6 Pf7 Rd4 rf1 kb7"), DRAW) >= {"Ke5", "Kg5"}
    assert not {"Ke6", "Ke7", "Kg6", "Kg7"} - moves_to(placed("Kf6 Pf7 Rd4 rf1 kb7"), WIN)
    assert "Rf4" in moves_to(placed("Kf5 Pf7 Rd4 rf1 kb7"), WIN)
    assert moves_to(black("Kb5 Pc6 Rg7 rf6 kd8"), DRAW) == {"Rf1", "Rf2", "Rf3", "Rf4"}
    assert moves_to(black("Kb5 Pc5 Rg7 rf6 kd8"), DRAW) == {"Kc8", "Re6", "Rh6"}
    assert {"Rf6", "Rg6", "Rh6"} <= moves_to(black("Ke4 Pd5 Rb3 ra6 ke8"), DRAW)
    assert mate_in(board_of("cutting-off")) == 27


@pytest.mark.long
def test_who_wins_where_a_text_asks() -> None:
    won = "Kb4 Pc4 Rd1 rc8 ke7", "Kb8 Pb7 Rd1 ra3 ke7", "Kb6 Pc5 Rg4 rf8 kd8", "Ka8 Pa7 Re3 rb1 kf6"
    drawn = "Kc6 Pb6 Rg7 rf8 kb8", "Kb6 Pa6 Rg1 rf8 ka8", "Kb5 Pc5 Rg4 rf6 kd8", "Ka8 Pa7 Re3 rb1 kd6"
    lost = "Kb4 Pc4 Rd1 rc8 ke7", "Kb6 Pc5 Rg4 rf8 kd8", "Ke8 Pd7 Rg7 rf4 kc7"
    assert {result_of(men) for men in won} == {WIN}
    assert {result_of(men) for men in drawn} == {DRAW}
    assert {result_of(men, white_to_move=False) for men in lost} == {LOSS}


class Chance(random.Random):
    """Squares by chance."""

    def square(self, files: Iterable[int] = range(8), ranks: Iterable[int] = range(1, 9)) -> int:
        """A square on one of these files (0 to 7) and ranks (1 to 8)."""
        return chess.square(self.choice([*files]), self.choice([*ranks]) - 1)

    def beside(self, pawn: int, ranks: Iterable[int]) -> int:
        """A square next to the pawn on one of these ranks, counted from the pawn's own as 0."""
        near = chess.SquareSet(chess.BB_KING_ATTACKS[pawn])
        wanted = [chess.square_rank(pawn) + rank for rank in ranks]
        return self.choice([square for square in near if chess.square_rank(square) in wanted])

    def before(self, pawn: int) -> int:
        """A square on the last two ranks, on the pawn's file or the next."""
        file = chess.square_file(pawn)
        return self.square(range(max(file - 1, 0), min(file + 2, 8)), (7, 8))


Picture = Callable[[Chance], Squares]


def outcomes(picture: Picture, *, white: bool) -> Counter[str]:
    """How White fares in `MANY` positions of a picture by chance, with this side to move."""
    words = {WIN: "won", DRAW: "drawn", LOSS: "lost"}
    found = Counter[str]()
    for board in _quiet_boards(picture):
        board.turn = white
        result = probe(board).result
        found[words[result if white else Result(-result)]] += 1
    return found


def _quiet_boards(picture: Picture) -> Iterator[chess.Board]:
    """None twice, no check, and nobody can take anything; fewer than `MANY` where there are no more."""
    chance, seen, left = Chance(7), set[Squares](), MANY
    for _ in range(MANY * 100):
        men = picture(chance)
        if left and men not in seen and len(set(men)) == len(men):
            seen.add(men)
            board = chess.Board(None)
            for square, letter in zip(men, "KRPkr", strict=True):
                board.set_piece_at(square, chess.Piece.from_symbol(letter))
            if all(_is_quiet(board, turn) for turn in chess.COLORS):
                left -= 1
                yield board


def _is_quiet(board: chess.Board, turn: chess.Color) -> bool:
    board.turn = turn
    return board.is_valid() and not board.is_check() and not can_take(board)


def cut_off(rank: int, files: int, pawns: range) -> Picture:
    """White's rook so many files to the right of the pawn, his king beyond it, White's king with its pawn."""

    def picture(chance: Chance) -> Squares:
        pawn = chance.square(pawns, (rank,))
        wall = chess.square_file(pawn) + files
        king = chance.beside(pawn, (0, 1))
        return king, chance.square((wall,)), pawn, chance.square(range(wall + 1, 8)), chance.square()

    return picture


@pytest.mark.long
def test_cutting_off_a_king_in_front_of_the_pawn_mostly_draws() -> None:
    def picture(chance: Chance) -> Squares:
        pawn = chance.square(ranks=range(2, 6))
        file, rank = chess.square_file(pawn), chess.square_rank(pawn) + 1
        his = chance.square((file,), range(rank + 1, 9))
        return chance.beside(pawn, (-1, 0, 1)), chance.square(), pawn, his, chance.square()

    found = outcomes(picture, white=True)
    assert found["drawn"] > 0.85 * found.total()


@pytest.mark.long
def test_cutting_off_how_many_files_it_takes() -> None:
    assert set(outcomes(cut_off(4, 2, range(1, 5)), white=True)) == {"won"}
    assert set(outcomes(cut_off(3, 3, range(1, 4)), white=True)) == {"won"}
    found = outcomes(cut_off(5, 1, range(1, 4)), white=True)
    assert found["won"] > 0.99 * found.total()
    assert outcomes(cut_off(5, 1, range(4, 6)), white=True)["drawn"] > 0.1 * MANY


@pytest.mark.long
def test_bridge_the_picture_is_won() -> None:
    def picture(chance: Chance) -> Squares:
        pawn = chance.square(range(1, 6), (7,))
        wall = chance.choice(range(chess.square_file(pawn) + 1, 7))
        his = chance.square(range(wall + 1, 8))
        return pawn + 8, chance.square((wall,)), pawn, his, chance.square()

    assert set(outcomes(picture, white=True)) == {"won"}


@pytest.mark.long
@pytest.mark.parametrize("white", [True, False])
def test_third_rank_it_nearly_always_holds(white: bool) -> None:
    def picture(chance: Chance) -> Squares:
        pawn = chance.square(ranks=(3, 4, 5))
        king = chance.square(ranks=range(1, 6))
        return king, chance.square(), pawn, chance.before(pawn), chance.square(ranks=(6,))

    found = outcomes(picture, white=white)
    assert found["won"] < 0.02 * found.total()


@pytest.mark.long
def test_checks_from_behind_hold_if_it_is_his_move() -> None:
    def picture(chance: Chance) -> Squares:
        pawn = chance.square(ranks=(6,))
        king = chance.beside(pawn, (-1, 0))
        return king, chance.square(), pawn, chance.before(pawn), chance.square(ranks=(1, 2))

    assert outcomes(picture, white=False)["won"] == 0


@pytest.mark.long
def test_checks_from_the_side_hold_from_three_files_away_and_not_always_from_two() -> None:
    def side(files: Iterable[int]) -> Picture:
        def picture(chance: Chance) -> Squares:
            pawn = chance.square(range(1, 4), (6, 7))
            file = chess.square_file(pawn)
            king = chance.choice([pawn + step for step in (1, 8, 9) if pawn + step < 64])
            rook = chance.square([file + away for away in files if file + away < 8])
            return king, chance.square(), pawn, chess.square(file - 1, 6), rook

        return picture

    assert outcomes(side((3, 4, 5, 6)), white=False)["won"] == 0
    assert outcomes(side((2,)), white=False)["won"] > 0


def passive(file: int, rooks: range) -> Picture:
    """His king and his rook on the last rank, the king on the pawn's file; White's king on its sixth rank."""

    def picture(chance: Chance) -> Squares:
        pawn = chance.square((file,), (5, 6))
        king = chance.beside(pawn, (5 - chess.square_rank(pawn),))
        return king, chance.square(), pawn, chess.square(file, 7), chance.square(rooks, (8,))

    return picture


@pytest.mark.long
def test_passive_rook_it_holds_at_the_edge_and_mostly_loses_nearer_the_middle() -> None:
    for file in (0, 1):
        found = outcomes(passive(file, range(file + 1, 8)), white=True)
        assert found["drawn"] > 0.98 * found.total()
    for file in (2, 3):
        found = outcomes(passive(file, range(8)), white=True)
        assert 0.65 * found.total() < found["won"] < 0.85 * found.total()


@pytest.mark.long
def test_pushing_early_a_king_behind_the_pawn_nearly_always_draws() -> None:
    def picture(chance: Chance) -> Squares:
        pawn = chance.square(ranks=(6,))
        return (
            chance.beside(pawn, (-1,)),
            chance.square(),
            pawn,
            chance.before(pawn),
            chance.square(ranks=(1, 2)),
        )

    found = outcomes(picture, white=True)
    assert found["drawn"] > 0.99 * found.total()


@pytest.mark.long
def test_rooks_pawn_how_far_away_his_king_must_be() -> None:
    def shut_in(file: int, ranks: range) -> Picture:
        def picture(chance: Chance) -> Squares:
            his = chance.square((file,), ranks)
            return chess.A8, chance.square(), chess.A7, his, chance.square((1,))

        return picture

    for file in (5, 6, 7):
        assert set(outcomes(shut_in(file, range(1, 9)), white=True)) == {"won"}
    for file in (2, 3):
        found = outcomes(shut_in(file, range(6, 9)), white=True)
        assert found["drawn"] > 0.8 * found.total()
    found = outcomes(shut_in(4, range(6, 9)), white=True)
    assert min(found["won"], found["drawn"]) > 0.2 * found.total()


@pytest.mark.long
def test_rooks_pawn_a_rook_in_the_corner_before_it_is_shut_in() -> None:
    found = Counter[Result]()
    for king, his, rook in product(range(64), (chess.G7, chess.H7), (chess.A1, chess.A2, chess.A3)):
        board = chess.Board(None)
        for square, letter in zip((king, chess.A8, chess.A7, his, rook), "KRPkr", strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        board.turn = chess.BLACK
        if len(board.piece_map()) == 5 and board.is_valid():
            found[probe(board).result] += 1
    assert found[LOSS] == 0
