"""`coachbook ending`: exact truth about an ending."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from coachbook.cli.console import progress_bar, show_table
from coachbook.cli.options import JsonOption, noun
from coachbook.cli.reports import print_json

if TYPE_CHECKING:
    from coachbook.endgame.census import Census
    from coachbook.endgame.probe import Outcome
    from coachbook.workflows.ending import EndingPosition, EndingTable

app = noun("Exact truth about endings: who wins, how fast, and why.")


@app.command("show")
def show(
    fen: Annotated[str, typer.Argument(metavar="FEN", help="The position, in quotes.")],
    as_json: JsonOption = False,
) -> None:
    """Say who wins a position, in how many moves, what each move is worth, and the shortest line."""
    from coachbook.workflows.ending import look_at_position

    found = look_at_position(fen)
    if as_json:
        print_json(_position_as_json(found))
    else:
        _print_position(found)


@app.command("table")
def table(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Such as KBNK, or 'rook v knight'.")],
    as_json: JsonOption = False,
) -> None:
    """Give the figures of a whole ending: positions, share won, longest mate. Solves it if need be."""
    from coachbook.workflows.ending import look_at_table

    with progress_bar() as progress:
        found = look_at_table(name, progress)
    if as_json:
        print_json(_table_as_json(found))
    else:
        _print_table(found)


@app.command("build")
def build() -> None:
    """Solve and keep every ending of up to four men, so that nothing needs to be waited for later."""
    from coachbook.workflows.ending import build_tables

    with progress_bar() as progress:
        count, folder = build_tables(progress)
    typer.echo(f"{count} endings are ready; they are kept in {folder}.")


def _print_position(found: "EndingPosition") -> None:
    typer.echo(f"{_sentence(found.material.in_words)}, {_side(found.white_to_move)} to move.")
    if not found.moves:
        typer.echo(
            f"Checkmate: {_side(not found.white_to_move)} has won."
            if found.in_check
            else "Stalemate: a draw."
        )
        return
    typer.echo(f"{_sentence(_in_words(found.outcome, found.white_to_move))}.")
    typer.echo()
    show_table(
        ("Move", "Outcome"),
        [(judged.san, _in_words(judged.outcome, found.white_to_move)) for judged in found.moves],
    )
    if found.line:
        typer.echo()
        typer.echo(f"Shortest line: {found.line}")


def _print_table(found: "EndingTable") -> None:
    typer.echo(f"{found.material.name}: {found.material.in_words}.")
    typer.echo("Positions that differ by turning or mirroring the board count once.")
    if "P" in found.material.white and "P" in found.material.black:
        typer.echo("Positions with a capture en passant are left out.")
    typer.echo()
    white, black = found.white_to_move, found.black_to_move
    rows = [
        ("Positions", f"{white.positions:,}", f"{black.positions:,}"),
        ("White wins", _share(white.won, white.positions), _share(black.lost, black.positions)),
        ("Draw", _share(white.drawn, white.positions), _share(black.drawn, black.positions)),
        ("Black wins", _share(white.lost, white.positions), _share(black.won, black.positions)),
        ("Longest mate", _moves(white), _moves(black)),
    ]
    show_table(("", "White to move", "Black to move"), rows)
    for census in (white, black):
        if census.example is not None:
            typer.echo(f"Mate in {census.longest}, for example: {census.example}")


def _in_words(outcome: "Outcome", white_to_move: bool) -> str:
    if outcome.moves is None:
        return "draw"
    winner = _side(white_to_move == (outcome.result > 0))
    return f"{winner} mates in {outcome.moves}"


def _side(white: bool) -> str:
    return "White" if white else "Black"


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def _share(part: int, whole: int) -> str:
    """A percentage; "0.00 %" and "100.00 %" mean none and all, so that an exception shows."""
    if 0 < part / whole < 0.00005:
        return "below 0.01 %"
    if 0.99995 < part / whole < 1:
        return "over 99.99 %"
    return f"{100 * part / whole:.2f} %"


def _moves(census: "Census") -> str:
    if census.longest is None:
        return "none"
    return f"{_counted(census.longest, 'move')} ({_counted(census.longest_count, 'position')})"


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}" if number == 1 else f"{number:,} {what}s"


def _position_as_json(found: "EndingPosition") -> dict[str, Any]:
    return {
        "fen": found.fen,
        "ending": found.material.name,
        "to_move": _side(found.white_to_move).lower(),
        "outcome": _outcome_as_json(found.outcome),
        "moves": [
            {"san": judged.san, "uci": judged.move.uci(), "outcome": _outcome_as_json(judged.outcome)}
            for judged in found.moves
        ],
        "line": found.line,
    }


def _outcome_as_json(outcome: "Outcome") -> dict[str, Any]:
    return {"result": outcome.result.name.lower(), "mate_in": outcome.moves}


def _table_as_json(found: "EndingTable") -> dict[str, Any]:
    return {
        "ending": found.material.name,
        "white_to_move": found.white_to_move,
        "black_to_move": found.black_to_move,
    }
