"""Exact truth about an ending: one position, a whole table, or all tables at once."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import chess

from coachbook.endgame.cache import FOLDER_VARIABLE, cache_folder
from coachbook.endgame.census import Census, Survey
from coachbook.endgame.material import Material, material_of, parse_material
from coachbook.endgame.probe import JudgedMove, Outcome, judge_moves, probe, shortest_line
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import all_materials, build, shared_tables
from coachbook.errors import CoachbookError
from coachbook.model.position import check_side_told

Progress = Callable[[int, int, str], None]
"""Told how many tables are done, of how many, and which is next."""


@dataclass(frozen=True, slots=True)
class EndingPosition:
    """The truth about one position: `outcome` is for the side to move, `moves` best first.

    `line` is the shortest line to mate as numbered SAN, empty for a draw.
    """

    fen: str
    material: Material
    white_to_move: bool
    in_check: bool
    outcome: Outcome
    moves: tuple[JudgedMove, ...]
    line: str


@dataclass(frozen=True, slots=True)
class EndingTable:
    """The figures of one ending, with either side to move."""

    material: Material
    white_to_move: Census
    black_to_move: Census


def look_at_position(fen: str) -> EndingPosition:
    """Who wins, in how many moves, every legal move with its outcome, and the shortest line.

    Raises CoachbookError for text that is no FEN, castling rights, more men than the tables
    have, and positions that can't arise.
    """
    board = _read(fen)
    outcome = probe(board)
    if not board.is_valid():
        raise CoachbookError(
            f"'{fen}' is not a position that can arise.", "No move could have given this check."
        )
    return EndingPosition(
        fen=board.fen(),
        material=material_of(board),
        white_to_move=board.turn,
        in_check=board.is_check(),
        outcome=outcome,
        moves=judge_moves(board),
        line=board.variation_san(shortest_line(board)),
    )


def look_at_table(name: str, progress: Progress) -> EndingTable:
    """The figures of the ending called `name`, such as KBNK or 'rook v knight'.

    Solves it, with all it needs, unless it is kept already. Raises CoachbookError for a name
    that is none, and for more men than the tables have.
    """
    material = parse_material(name)
    tables = shared_tables()
    build([material], tables, progress)
    white, black = (Survey(material, side, tables).census() for side in (WHITE, BLACK))
    return EndingTable(material, white, black)


def build_tables(progress: Progress) -> tuple[int, Path]:
    """Solve and keep every ending: how many there are, and the folder that keeps them.

    Raises CoachbookError if they can't be kept.
    """
    materials, tables, folder = all_materials(), shared_tables(), cache_folder()
    build(materials, tables, progress)
    if not all(tables.lasting(material) for material in materials):
        raise CoachbookError(
            f"The tables cannot be kept in {folder}.",
            f"Make room there, or name another folder in {FOLDER_VARIABLE}.",
        )
    return len(materials), folder


def _read(fen: str) -> chess.Board:
    check_side_told(fen)
    try:
        return chess.Board(fen.strip())
    except ValueError as error:
        raise CoachbookError(
            f"'{fen}' is not a position in FEN.",
            "It needs the eight ranks from the top, then w or b for the side to move, then '- -'.",
        ) from error
