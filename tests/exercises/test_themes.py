"""Items of a unit suit its themes, judged on the board by the rules of the package `chess` alone."""

from collections.abc import Callable
from dataclasses import replace

import chess
import numpy as np
import pytest
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.symmetry import symmetric_copies
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import make_exercises, supplies, supply, survey_of
from coachbook.exercises.themes import narrowed, suiting
from coachbook.model.claims import ReasonIs
from coachbook.model.known_themes import THEMES, Themes, ThemeValue
from coachbook.model.syllabus import KindUse
from coachbook.model.worksheet import Exercise
from tests.exercises import naive_methods
from tests.exercises.answers import placed, to_place
from tests.exercises.samples import USES, Use, sample, unit_with
from tests.judges import box
from tests.judges.published import Published

Judge = Callable[[chess.Board, ThemeValue, Published], bool]


def pawns(board: chess.Board) -> list[tuple[chess.Square, chess.Color]]:
    return [(at, man.color) for at, man in board.piece_map().items() if man.piece_type == chess.PAWN]


def rank_from(side: chess.Color, square: chess.Square) -> int:
    return chess.square_rank(square) + 1 if side else 8 - chess.square_rank(square)


def king(board: chess.Board, side: chess.Color) -> chess.Square:
    found = board.king(side)
    assert found is not None
    return found


def of_each_pawn(judge: Callable[[chess.Board, chess.Square, chess.Color, ThemeValue], bool]) -> Judge:
    def judged(board: chess.Board, value: ThemeValue, _: Published) -> bool:
        return bool(pawns(board)) and all(judge(board, at, side, value) for at, side in pawns(board))

    return judged


def on_files(_: chess.Board, at: chess.Square, __: chess.Color, value: ThemeValue) -> bool:
    name = chess.square_name(at)[0]
    return name in str(value) or "hgfedcba"["abcdefgh".index(name)] in str(value)


def on_ranks(_: chess.Board, at: chess.Square, side: chess.Color, value: ThemeValue) -> bool:
    return int(str(value)[0]) <= rank_from(side, at) <= int(str(value)[-1])


def on_edge(board: chess.Board, _: ThemeValue, __: Published) -> bool:
    return any(sign in chess.square_name(king(board, chess.BLACK)) for sign in "ah18")


def bishop(board: chess.Board, at: chess.Square, side: chess.Color, value: ThemeValue) -> bool:
    corner = chess.square(chess.square_file(at), 7 if side else 0)
    light = bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[corner])
    bishops = board.pieces(chess.BISHOP, side)
    can = any(bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[each]) == light for each in bishops)
    return chess.square_file(at) in (0, 7) and bool(bishops) and can == (value == "right")


def free(board: chess.Board, _: ThemeValue, __: Published) -> bool:
    """No pawn meets another one on its way, nor an attack of one, here or there."""
    for at, side in pawns(board):
        way = [chess.square(chess.square_file(at), rank) for rank in range(8)]
        way = [square for square in way if rank_from(side, square) >= rank_from(side, at)]
        others = board.pieces(chess.PAWN, not side)
        watched = {square for other in others for square in board.attacks(other)}
        if any(square in others or square in watched for square in way):
            return False
    return bool(pawns(board))


def blocked(board: chess.Board, _: ThemeValue, __: Published) -> bool:
    """Each pawn stands with its nose at one of the other side's."""
    ahead = ((at + (8 if side else -8), not side) for at, side in pawns(board))
    return bool(pawns(board)) and all(
        board.piece_at(square) == chess.Piece(chess.PAWN, other) for square, other in ahead
    )


def small_box(board: chess.Board, value: ThemeValue, _: Published) -> bool:
    size = len(box.walls(board)) if board.queens else len(box.region(board))
    return 0 < size <= int(value)


def kept_by(board: chess.Board, value: ThemeValue, published: Published) -> bool:
    """Whoever has something to keep can do so by such moves only."""
    keeping = published.keeping(board) if published.result(board) >= 0 else set()
    men = {
        chess.piece_name(board.piece_type_at(chess.Move.from_uci(uci).from_square) or 0) for uci in keeping
    }
    wanted = str(value).split()[0]
    return bool(men) and (men == {wanted} if wanted != "piece" else men.isdisjoint({"king", "pawn"}))


NAIVE: dict[str, Judge] = {
    "kept_by": kept_by,
    "pawn_files": of_each_pawn(on_files),
    "pawn_ranks": of_each_pawn(on_ranks),
    "to_move": lambda board, value, _: board.turn == (value == "white"),
    "result": lambda board, value, published: (
        published.result(board) * (1 if board.turn else -1) == (value == "win")
    ),
    "king_in_front": of_each_pawn(
        lambda board, at, side, _: rank_from(side, king(board, side)) > rank_from(side, at)
    ),
    "lone_king_in_front": of_each_pawn(
        lambda board, at, side, _: (
            chess.square_file(king(board, not side)) == chess.square_file(at)
            and rank_from(side, king(board, not side)) > rank_from(side, at)
        )
    ),
    "lone_king_near_pawn": of_each_pawn(
        lambda board, at, side, value: chess.square_distance(king(board, not side), at) <= int(value)
    ),
    "lone_king_far_from_pawn": of_each_pawn(
        lambda board, at, side, value: chess.square_distance(king(board, not side), at) >= int(value)
    ),
    "king_near_pawn": of_each_pawn(
        lambda board, at, side, value: chess.square_distance(king(board, side), at) <= int(value)
    ),
    "king_far_from_pawn": of_each_pawn(
        lambda board, at, side, value: chess.square_distance(king(board, side), at) >= int(value)
    ),
    "lone_king_near_piece": lambda board, value, _: any(
        chess.square_distance(king(board, not man.color), at) <= int(value)
        for at, man in board.piece_map().items()
        if man.piece_type not in (chess.KING, chess.PAWN)
    ),
    "kings_near_queening": of_each_pawn(
        lambda board, at, side, value: all(
            chess.square_distance(king(board, each), chess.square(chess.square_file(at), 7 if side else 0))
            <= int(value)
            for each in chess.COLORS
        )
    ),
    "lone_king_on_edge": on_edge,
    "kings_within": lambda board, value, _: (
        chess.square_distance(king(board, True), king(board, False)) <= int(value)
    ),
    "kings_apart": lambda board, value, _: (
        chess.square_distance(king(board, True), king(board, False)) >= int(value)
    ),
    "pawns_free": free,
    "pawns_blocked": blocked,
    "bishop": of_each_pawn(bishop),
    "box_at_most": small_box,
    "only_rule": lambda board, value, _: naive_methods.decide(board.fen())[0] == value,
}
EXAMPLES: list[tuple[str, ThemeValue, str, int]] = [
    ("pawn_files", "ah", "KPK", WHITE),
    ("pawn_files", "c", "KPKP", BLACK),
    ("pawn_ranks", "2-5", "KPK", BLACK),
    ("pawn_ranks", "7", "KQKP", WHITE),
    ("to_move", "white", "KPK", WHITE),
    ("to_move", "white", "KPK", BLACK),
    ("result", "win", "KPK", BLACK),
    ("result", "draw", "KBPK", WHITE),
    ("king_in_front", True, "KPK", WHITE),
    ("lone_king_in_front", True, "KQKP", WHITE),
    ("lone_king_near_pawn", 2, "KPK", WHITE),
    ("king_far_from_pawn", 4, "KPK", BLACK),
    ("king_far_from_pawn", 3, "KRKP", WHITE),
    ("king_near_pawn", 1, "KQKP", BLACK),
    ("king_near_pawn", 2, "KPPK", WHITE),
    ("lone_king_far_from_pawn", 3, "KRKP", WHITE),
    ("lone_king_far_from_pawn", 2, "KPKP", BLACK),
    ("king_in_front", True, "KQKP", BLACK),
    ("lone_king_near_piece", 1, "KRPK", BLACK),
    ("lone_king_near_piece", 2, "KQKP", WHITE),
    ("kings_near_queening", 3, "KPK", WHITE),
    ("kings_near_queening", 4, "KRKP", BLACK),
    ("kept_by", "king move", "KPK", WHITE),
    ("kept_by", "king move", "KRKP", BLACK),
    ("kept_by", "pawn move", "KPKP", WHITE),
    ("kept_by", "pawn move", "KQKP", BLACK),
    ("kept_by", "piece move", "KBPK", WHITE),
    ("pawns_free", True, "KPKP", WHITE),
    ("pawns_free", True, "KPKP", BLACK),
    ("pawns_blocked", True, "KPKP", WHITE),
    ("pawns_blocked", True, "KPKP", BLACK),
    ("kings_apart", 4, "KQRK", WHITE),
    ("kings_within", 2, "KPKP", BLACK),
    ("lone_king_on_edge", True, "KQK", WHITE),
    ("kings_within", 3, "KRK", WHITE),
    ("bishop", "wrong", "KBPK", WHITE),
    ("bishop", "right", "KBPK", BLACK),
    ("box_at_most", 6, "KQK", WHITE),
    ("box_at_most", 12, "KRK", WHITE),
    ("only_rule", "bring the king", "KQK", WHITE),
    ("only_rule", "wait with the rook", "KRK", WHITE),
]


SMALL = [example for example in EXAMPLES if example[2] in ("KPK", "KQK", "KRK")]


def test_every_theme_has_an_example_that_it_takes_and_a_naive_judge_or_is_about_the_answer() -> None:
    assert {theme.name for theme in THEMES} == NAIVE.keys() | {"answer_is", "decided_by", "picture"}
    assert NAIVE.keys() == {name for name, *_ in EXAMPLES}
    for theme in THEMES:
        example = theme.example.strip('"')
        value = {"true": True}.get(example, int(example) if example.isdecimal() else example)
        assert theme.fits(value if theme.example[0] != '"' else example)
        assert not theme.fits("nonsense" if theme.name != "only_rule" else 3)
        assert not theme.fits(0)
        assert not theme.fits([])


def left(survey: Survey, cells: NDArray[np.intp], themes: Themes) -> NDArray[np.bool_]:
    """Which of the cells the themes leave."""
    words = narrowed(survey, themes).legal[tuple(cells[:, :-1].T)]
    standing: NDArray[np.bool_] = (words >> cells[:, -1].astype(np.uint64)) & np.uint64(1) == 1
    standing[standing] = suiting(survey, cells[standing], themes)
    return standing


def asked_cells(survey: Survey) -> NDArray[np.intp]:
    """All cells in which no pawn may be taken en passant; of large endings an even part."""
    cells = survey.cells(survey.legal, 40_000)
    for man in survey.space.men:
        if man.is_pawn:
            cells = cells[cells[:, man.axis] // 8 != (0 if man.side == WHITE else 7)]
    return cells


@pytest.mark.parametrize(("name", "value", "ending", "side"), EXAMPLES)
def test_a_theme_leaves_the_positions_that_a_naive_count_leaves(
    name: str, value: ThemeValue, ending: str, side: int, published: Published
) -> None:
    survey = survey_of(ending, side)
    cells = asked_cells(survey)
    found = left(survey, cells, ((name, value),))
    for kept in (True, False):
        some = cells[found == kept]
        for cell in some[np.random.default_rng(4).permutation(len(some))[:100]]:
            board = survey.board(cell)
            if board.is_valid():
                assert NAIVE[name](board, value, published) == kept, board.fen()


@pytest.mark.long
@pytest.mark.parametrize(("name", "value", "ending", "side"), SMALL)
def test_a_theme_leaves_what_a_naive_count_leaves_in_the_whole_of_a_small_ending(
    name: str, value: ThemeValue, ending: str, side: int, published: Published
) -> None:
    survey = survey_of(ending, side)
    cells = asked_cells(survey)
    for cell, kept in zip(cells, left(survey, cells, ((name, value),)), strict=True):
        board = survey.board(cell)
        if board.is_valid():
            assert NAIVE[name](board, value, published) == kept, board.fen()


@pytest.mark.parametrize(("name", "value", "ending", "side"), EXAMPLES)
def test_a_mirrored_position_suits_the_same_themes(
    name: str, value: ThemeValue, ending: str, side: int, published: Published
) -> None:
    survey = survey_of(ending, side)
    cells = asked_cells(survey)
    for cell in cells[np.random.default_rng(5).integers(0, len(cells), 20)]:
        copies = symmetric_copies(survey.board(cell))
        assert len({NAIVE[name](copied, value, published) for copied in copies}) == 1


def test_a_rule_that_no_method_has_is_named_with_those_there_are() -> None:
    with pytest.raises(CoachbookError, match="No method has a rule 'dance'") as told:
        supply("every_mate", "KQK", WHITE, (("only_rule", "dance"),))
    assert "bring the king" in str(told.value.hint)


def suits(exercise: Exercise, name: str, value: ThemeValue, published: Published) -> bool:
    board = chess.Board(exercise.position.fen)
    if name == "answer_is":
        moves = [board.parse_san(san) for san in exercise.answer.accepted]
        men = {chess.piece_name(board.piece_type_at(move.from_square) or 0) for move in moves}
        wanted = str(value).split()[0]
        return men == {wanted} if wanted != "piece" else men.isdisjoint({"king", "pawn"})
    if name == "decided_by" and value == "cut off":
        return "can go to a rank between" in exercise.solution.text.words
    if name == "decided_by":
        (reason,) = (claim.reason.because for claim in exercise.claims if isinstance(claim, ReasonIs))
        return reason.name in DECIDED[str(value)]
    if exercise.kind == "build_position":  # its theme is about the position that is to be built
        man, _ = to_place(exercise.task.words)
        board = placed(board.fen(), man, chess.parse_square(exercise.answer.accepted[0]))
    return NAIVE[name](board, value, published)


DECIDED = {
    "square": {f"{side}SIDE_SQUARE{move}" for side in ("IN", "OUT") for move in ("", "_TO_MOVE")},
    "key square": {"KEY_SQUARE", "KEY_SQUARE_TO_MOVE"},
    "opposition": {"OPPOSITION", "OPPOSITION_TO_MOVE", "AHEAD_WITH_OPPOSITION"},
    "corner": {"ROOK_PAWN_CORNER", "BEFORE_ROOK_PAWN", "SHUT_IN", "ROOK_PAWN_KEY_SQUARE"},
}
"""Names of verdicts, by what decides."""
THEMED = [use for use in USES if use.use.themes]


@pytest.mark.parametrize("use", THEMED, ids=str)
def test_the_items_of_a_unit_suit_its_themes(use: Use, published: Published) -> None:
    for exercise in sample(use, 4):
        assert all(suits(exercise, name, value, published) for name, value in use.use.themes)


@pytest.mark.long
@pytest.mark.parametrize("use", THEMED, ids=str)
def test_five_hundred_items_of_a_unit_suit_its_themes(use: Use, published: Published) -> None:
    for exercise in sample(use, 500):
        assert all(suits(exercise, name, value, published) for name, value in use.use.themes)


@pytest.mark.long
@pytest.mark.parametrize(
    "use", [use for use in THEMED if use.use.kind == "win_or_draw"], ids=lambda use: str(use.unit.code)
)
def test_wins_and_draws_stay_even_under_themes(use: Use) -> None:
    drawn = [exercise.answer.accepted == ("draw",) for exercise in sample(use, 24)]
    assert 6 <= sum(drawn) <= 18


@pytest.mark.long
@pytest.mark.parametrize("use", THEMED, ids=str)
def test_no_theme_of_a_unit_says_what_is_so_in_any_case(use: Use) -> None:
    def cells(themes: Themes) -> list[NDArray[np.intp]]:
        return [each.cells for each in supplies(use.use.kind, use.unit.endings, themes)]

    for name in [name for name, _ in use.use.themes if name not in ("answer_is", "decided_by")]:
        fewer = replace(use.use, themes=tuple(each for each in use.use.themes if each[0] != name))
        pairs = zip(cells(use.use.themes), cells(fewer.themes), strict=True)
        assert not all(np.array_equal(one, other) for one, other in pairs), name


@pytest.mark.parametrize("told", ["square", "key square", "opposition", "corner"])
def test_what_decides_stands_in_the_key(told: str) -> None:
    use = KindUse("win_or_draw", 1, 100, (("decided_by", told),))
    words = {"square": "SQUARE", "key square": "KEY_SQUARE", "opposition": "OPPOSITION", "corner": ""}[told]
    for exercise in make_exercises(unit_with("win_or_draw", "KPK"), use, 2, 1, frozenset()):
        (reason,) = (claim.reason.because for claim in exercise.claims if isinstance(claim, ReasonIs))
        assert words in reason.name
        assert told != "square" or "KEY" not in reason.name
