"""Exact truth about an ending, and proofs of its methods beside best play.

The figures in `method/proofs.json` come with coachbook, so that a lesson plan can print them at
once. A test proves again and compares; `coachbook ending prove` does so on the spot.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

import chess
from pydantic import TypeAdapter

from coachbook import method
from coachbook.endgame.build_large import (
    MEBIBYTES_OF_MEMORY,
    build_large,
    cost_of,
    figures_of,
    parts_missing,
    solved_large,
    spaces_of,
)
from coachbook.endgame.census import Census, Survey
from coachbook.endgame.large_table import check_can_be_large
from coachbook.endgame.material import Material, UnknownEndingError, material_of, parse_material
from coachbook.endgame.probe import JudgedMove, Outcome, judge_moves, probe, shortest_line
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import MOST_MEN, all_materials, build, is_ready, shared_tables
from coachbook.errors import CoachbookError
from coachbook.files.reading import FOLDER_VARIABLE, cache_folder
from coachbook.method.border import fits
from coachbook.method.loose import follow_loosely
from coachbook.method.methods import find_method
from coachbook.method.moves import Aim
from coachbook.method.positions import ending_name
from coachbook.method.proof import Optimum, Proof, prove
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rules import Method
from coachbook.method.starts import decode, legal_codes, looks_of, table_values
from coachbook.method.teaching_order import method_names
from coachbook.method.written_plan import find_length
from coachbook.model.position import check_names_side
from coachbook.wording.sentences import worth_in_words

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
    board = read_fen(fen)
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


def outcome_in_words(outcome: Outcome, *, white_to_move: bool) -> str:
    """What a position comes to, or a move: "White mates in 3"."""
    is_won = outcome.moves is not None
    return worth_in_words(white_to_move == (outcome.result > 0) if is_won else None, outcome.moves)


def tables_are_ready(board: chess.Board) -> bool:
    """Whether the tables can say at once what a position is worth, or that they don't know its ending."""
    material = material_of(board)
    return material.men > MOST_MEN or is_ready(material, shared_tables())


def ending_mistake(ending: str) -> str:
    """Why there can be no table of an ending such as "KRPKR"; "" where there can be one."""
    material = parse_material(ending)
    try:
        if material.men > MOST_MEN:
            check_can_be_large(material)
    except UnknownEndingError as error:
        return error.message
    return ""


def missing_table(ending: str) -> UnknownEndingError | None:
    """Why the table of an ending such as "KRPKR" can't be asked, and how to build it; None where it can, or
    is solved when it is needed."""
    material = parse_material(ending)
    try:
        if material.men > MOST_MEN:
            shared_tables().large(material)
    except UnknownEndingError as error:
        return error
    return None


def check_built(endings: Iterable[str]) -> None:
    """Raises UnknownEndingError if the table of one of these endings is to be built first."""
    for missing in filter(None, map(missing_table, endings)):
        raise missing


def get_tables_ready(fen: str, progress: Progress) -> None:
    """Solve and keep the ending of a position, with all that it leads to. Raises CoachbookError for text that
    is no FEN, and for more men than the tables have."""
    build([material_of(read_fen(fen))], shared_tables(), progress)


def look_at_table(name: str, progress: Progress) -> EndingTable:
    """The figures of the ending called `name`, such as KBNK or 'rook v knight'.

    Solves it, with all it needs, unless it is kept already; but not with five men. Raises CoachbookError for
    a name that is none, for more men than the tables have, and for five men where that was not built.
    """
    material = parse_material(name)
    if material.men > MOST_MEN:
        check_can_be_large(material)
        return EndingTable(material, *figures_of(material, cache_folder()))
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


@dataclass(frozen=True, slots=True)
class BuildAhead:
    """What it takes to build the table of an ending, roughly: how many `tables` are to be solved, and kept
    in a folder, in how much time, with how much room on disk and in memory. No tables: little or
    nothing."""

    material: Material
    tables: int
    minutes: int
    mebibytes: int
    mebibytes_of_memory: int
    folder: Path


def build_ahead(name: str) -> BuildAhead:
    """What is still to be done for the ending called `name`. Raises CoachbookError for a name that is none,
    and for an ending that would take too much."""
    material, folder = parse_material(name), cache_folder()
    if material.men <= MOST_MEN:
        return BuildAhead(material, 0, 0, 0, 0, folder)
    missing = parts_missing(material, folder)
    seconds, mebibytes = cost_of(missing)
    minutes = -(-seconds // 60)
    return BuildAhead(material, len(spaces_of(missing)), minutes, mebibytes, MEBIBYTES_OF_MEMORY, folder)


def build_ending(ahead: BuildAhead, progress: Progress) -> None:
    """Solve and keep one ending, with all that it leads to. Raises CoachbookError if it can't be kept."""
    if ahead.material.men <= MOST_MEN:
        build([ahead.material], shared_tables(), progress)
    else:
        build_large(ahead.material, ahead.folder, progress)


@dataclass(frozen=True, slots=True)
class ListedEnding:
    """An ending, and whether its table is at hand, so that nobody waits for it."""

    material: Material
    is_solved: bool


def list_endings() -> tuple[ListedEnding, ...]:
    """All endings of up to four men, and those of five that were built."""
    tables = shared_tables()
    small = tuple(ListedEnding(each, tables.lasting(each)) for each in all_materials())
    return small + tuple(ListedEnding(each, True) for each in endings_built())


def endings_built() -> tuple[Material, ...]:
    """Those of five men that were built."""
    return solved_large(cache_folder())


def read_fen(fen: str) -> chess.Board:
    """The position that a FEN means, legal or not. Raises CoachbookError for text that is none."""
    check_names_side(fen)
    try:
        return chess.Board(fen.strip())
    except ValueError as error:
        raise CoachbookError(
            f"'{fen}' is not a position in FEN.",
            "It needs the eight ranks from the top, then w or b for the side to move, then '- -'.",
        ) from error


_PROOFS = TypeAdapter(tuple[Proof, ...])
_SHIPPED = Path(method.__file__).with_name("proofs.json")


def method_named(name: str) -> Method:
    """The method of this name. Raises CoachbookError if there is none."""
    found = find_method(name)
    if found is None:
        raise CoachbookError(f"There is no method '{name}'.", f"Choose one of: {', '.join(method_names())}.")
    return found


def run_proofs(name: str, progress: Progress) -> tuple[Proof, ...]:
    """Prove a method in each of its endings. Raises CoachbookError for an unknown method."""
    chosen = method_named(name)
    proofs = []
    for ending in chosen.endings:
        proof = prove(chosen, ending, partial(_report, progress, f"{chosen.title}: {ending_name(ending)}"))
        if proof.aim is Aim.MATE:
            proof = replace(proof, optimum=optimum_of(ending))
        proofs.append(replace(proof, loosely=follow_loosely(chosen, ending)))
    return tuple(proofs)


def _report(progress: Progress, what: str, done: int, of: int) -> None:
    progress(done, of, what)


def shipped_proofs(name: str) -> tuple[Proof, ...]:
    """The proofs of a method that came with coachbook; none if it has none."""
    return tuple(proof for proof in _shipped() if proof.method == name)


def proof_line(name: str) -> str:
    """The figures of a method's proof in a line for a lesson plan; "" without a proof."""
    return " ".join(_in_a_line(proof) for proof in shipped_proofs(name))


def poster_line(name: str) -> str:
    """What a poster says of a method's proof, in a few words; "" without one."""
    proofs = shipped_proofs(name)
    if not proofs:
        return ""
    if not all(proof.is_complete for proof in proofs):
        share = min(proof.share for proof in proofs)
        such = "won" if proofs[0].aim is Aim.QUEEN else "drawn"
        return f"Proven from {100 * share:.1f} of 100 {such} positions, against every defence."
    longest = max(proof.longest for proof in proofs)
    every = "every position of its picture" if proofs[0].aim is Aim.QUEEN_OR_ROOK else "every position"
    return f"Proven from {every}, against every defence: {proofs[0].aim} in at most {longest} moves."


def most_moves_to_mate(board: chess.Board, method: Method) -> int | None:
    """The most moves to mate from here by a method, and by the queen's box once it has made a safe queen.

    None where the method does not fit, is not proven from here, or does not win; and where other pieces may
    stand beside the queen, for then no proof goes on.
    """
    length = find_length(board, method) if fits(board, method) else None
    if length is None or method.aim in (Aim.DRAW, Aim.QUEEN_OR_ROOK):
        return None
    # A safe queen cannot be taken, nor is it stalemate: what comes is a position of the queen's proof.
    mating = max(proof.longest for proof in shipped_proofs(QUEEN_BOX.name))
    return length + mating if method.aim is Aim.QUEEN else length


def optimum_of(ending: str) -> Optimum:
    """Best play over all positions of an ending ("Q": king and queen against king)."""
    positions = decode(ending, legal_codes(ending))
    moves = 127 - table_values(positions, WHITE)
    copies = looks_of(positions)
    won = moves < 127
    return Optimum(int(moves[won].max()), float((moves * copies)[won].sum() / copies[won].sum()))


def write_shipped(*changed: str) -> None:
    """Run the proofs of these methods, or of all, and keep their figures: for contributors, after a change
    of a rule. Raises CoachbookError for an unknown method."""
    again = [method_named(name).name for name in changed] or method_names()
    proofs = tuple(
        proof
        for name in method_names()
        for proof in (run_proofs(name, lambda *_: None) if name in again else shipped_proofs(name))
    )
    _SHIPPED.write_bytes(_PROOFS.dump_json(proofs, indent=1) + b"\n")


@cache
def _shipped() -> tuple[Proof, ...]:
    return _PROOFS.validate_json(_SHIPPED.read_bytes())


def _in_a_line(proof: Proof) -> str:
    pieces = ending_name(proof.ending)
    best = f" (quickest possible: {proof.optimum.longest})" if proof.optimum else ""
    loosely = f" {proof.loosely.in_words(proof.aim)}" if proof.loosely else ""
    if proof.aim is Aim.MATE and proof.is_complete:
        return (
            f"{pieces}: followed to the letter it mates from every one of {proof.positions:,} positions,"
            f" against every defence, in {proof.longest} moves at most{best}.{loosely}"
        )
    return f"{pieces}: {proof.in_words}{best}.{loosely}"
