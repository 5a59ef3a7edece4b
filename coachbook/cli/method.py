"""`coachbook ending plan` and `coachbook ending prove`: what to play, and the proof that it works."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from coachbook.cli.console import progress_bar, show_table
from coachbook.cli.options import JsonOption, NotationOption
from coachbook.cli.reports import print_json
from coachbook.paper.options import Notation

if TYPE_CHECKING:
    from coachbook.method.lines import Line
    from coachbook.method.proof import Proof
    from coachbook.workflows.position_plan import PositionPlan

_REACHES = {"mate": "Mates from", "a safe queen": "Queens safely from", "a draw": "Holds the draw from"}
_FIGURINES = str.maketrans("KQRBN", "♔♕♖♗♘")


def plan(
    fen: Annotated[str, typer.Argument(metavar="FEN", help="The position, in quotes.")],
    method: Annotated[
        str | None, typer.Option("--method", metavar="METHOD", help="Such as queen-box.")
    ] = None,
    defence: Annotated[
        str, typer.Option("--defence", metavar="MOVES", help="The replies to it, such as 'Kd5 Ke4'.")
    ] = "",
    notation: NotationOption = Notation.LETTERS,
    as_json: JsonOption = False,
) -> None:
    """Write a plan for a position, step by step: the move, why, what it does, and a reply.

    It says first whether a method is proven from there against every defence, or whether what follows is
    one computed line; and of a draw, or a lost position, that no plan wins it.
    """
    from coachbook.workflows.position_plan import plan_for

    found = plan_for(fen, method, defence.replace(",", " ").split())
    if as_json:
        print_json(_plan_as_json(found))
        return
    source = found.plan.source
    for sentence in (*found.told, f"{source[0].upper()}{source[1:]}."):
        typer.echo(sentence)
    typer.echo()

    def written(san: str) -> str:
        return san.translate(_FIGURINES) if notation is Notation.FIGURINE else san

    show_table(
        ("", "Move", "Why", "What it does", "Reply"),
        [
            (str(number), written(step.move), step.rule, step.achieved_besides, written(step.reply))
            for number, step in enumerate(found.plan.steps, start=1)
        ],
    )


def prove(
    method: Annotated[str, typer.Argument(metavar="METHOD", help="Such as queen-box.")],
    as_json: JsonOption = False,
) -> None:
    """Prove a method: from every position, against every defence, with every move that it leaves open."""
    from coachbook.workflows.proving import method_named, run_proofs

    chosen = method_named(method)
    with progress_bar() as progress:
        proofs = run_proofs(method, progress)
    if as_json:
        print_json(proofs)
        return
    typer.echo(chosen.title)
    typer.echo()
    for rule in chosen.told:
        typer.echo(f"  {chosen.number_of(rule)}. {rule.words}")
    for proof in proofs:
        typer.echo()
        _print_proof(proof)


def _plan_as_json(found: "PositionPlan") -> dict[str, Any]:
    plan = found.plan
    return {
        "start": plan.start,
        "result": found.outcome.result.name.lower(),
        "mate_in": found.outcome.moves,
        "method": found.method or None,
        "proven": found.proven,
        "at_most": found.at_most,
        "told": found.told,
        "source": plan.source,
        "steps": plan.steps,
    }


def _print_proof(proof: "Proof") -> None:
    best = (
        (f" (best play: {proof.optimum.longest})", f" (best play: {proof.optimum.mean:.2f})")
        if proof.optimum
        else ("", "")
    )
    rows = [
        ("Ending", f"K{proof.ending}K"),
        ("Positions", f"{proof.positions:,} ({proof.up_to_symmetry:,} up to turning and mirroring)"),
        (_REACHES[proof.aim], _percent(proof.proven, proof.positions)),
        *((f"Pawn on rank {each.rank}", _percent(each.proven, each.positions)) for each in proof.by_rank),
        *((("Most moves", f"{proof.longest}{best[0]}"),) if proof.longest else ()),
        *((("Most moves, mean of all", f"{proof.mean:.2f}{best[1]}"),) if proof.longest else ()),
        *((f"Decided by '{name}'", f"{count:,}") for name, count in proof.rule_counts),
    ]
    show_table(("", ""), rows)
    typer.echo(f"{'A longest line' if proof.longest else 'One line'}: {_line(proof.hardest)}")
    if proof.counter_line is not None:
        typer.echo(f"It fails: {_line(proof.counter_line)} ({proof.counter_line.end})")


def _percent(proven: int, positions: int) -> str:
    """Never rounded up to 100 %."""
    if proven == positions:
        return "100 %"
    return f"{min(100 * proven / positions, 99.99):.2f} %"


def _line(line: "Line") -> str:
    import chess

    board = chess.Board(line.fen)
    return f"{line.fen}  {board.variation_san([chess.Move.from_uci(move) for move in line.moves])}"
