"""`coachbook ending`: exact truth about an ending, what to play, and the proof that it works."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from coachbook.cli.asking import YesOption, agrees, check_can_agree
from coachbook.cli.completing import methods_known
from coachbook.cli.console import print_json, progress_bar, show_table
from coachbook.cli.options import JsonOption, MethodArgument, noun
from coachbook.errors import CoachbookError
from coachbook.model.conversation import Say
from coachbook.model.print_options import Notation

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coachbook.endgame.census import Census
    from coachbook.endgame.probe import Outcome
    from coachbook.method.graph import Line
    from coachbook.method.proof import Proof
    from coachbook.workflows.endings import BuildAhead, EndingPosition, EndingTable, ListedEnding
    from coachbook.workflows.written_plans import PositionPlan


app = noun("Exact truth about endings: who wins, how fast, and why.", "show plan prove table build")

EndingArgument = Annotated[
    str | None, typer.Argument(metavar="NAME", help="Such as KBNK, or 'rook v knight'.", show_default=False)
]


@app.command("show")
def show(
    fen: Annotated[str, typer.Argument(metavar="FEN", help="The position, in quotes.")],
    as_json: JsonOption = False,
) -> None:
    """Say who wins a position, and in how many moves. It says what each move is worth, and the
    shortest line."""
    from coachbook.workflows.endings import look_at_position

    found = look_at_position(fen)
    if as_json:
        print_json(_position_as_json(found))
    else:
        _print_position(found)


@app.command("table")
def table(
    name: EndingArgument = None,
    is_list: Annotated[
        bool, typer.Option("--list", help="Show which endings there are, and which are solved.")
    ] = False,
    as_json: JsonOption = False,
) -> None:
    """Show the figures of a whole ending. You see its positions, the share won and the longest mate.
    If needed, coachbook solves the ending first, but one with five men only with 'coachbook ending build'."""
    from coachbook.workflows.endings import list_endings, look_at_table

    if is_list:
        _print_list(list_endings(), as_json=as_json)
        return
    if name is None:
        raise CoachbookError("Which ending is not said.", "Give its name, such as KBNK, or --list.")
    with progress_bar() as progress:
        found = look_at_table(name, progress)
    if as_json:
        print_json(_table_as_json(found))
    else:
        _print_table(found)


@app.command("build")
def build(name: EndingArgument = None, yes: YesOption = False) -> None:
    """Solve and keep every ending of up to four men, or one with five. After that you never wait for it.

    With five men, such as KRPKR, coachbook first says what it takes, and asks. Ctrl-C stops it; the same
    command goes on where it was. There can be one pawn at most.
    """
    from coachbook.workflows.endings import build_ahead, build_ending, build_tables

    if name is None:
        with progress_bar() as progress:
            count, folder = build_tables(progress)
        typer.echo(f"{count} endings are ready; they are kept in {folder}.")
        return
    ahead = build_ahead(name)
    if ahead.tables and not _wants_build(ahead, sure=yes):
        return
    try:
        with progress_bar() as progress:
            build_ending(ahead, progress)
    except KeyboardInterrupt:
        typer.echo("Stopped. What is finished is kept; the same command goes on from there.", err=True)
        raise
    typer.echo(f"{ahead.material.name} is ready; it is kept in {ahead.folder}.")


def _wants_build(ahead: "BuildAhead", *, sure: bool) -> bool:
    material = ahead.material
    typer.echo(f"{material.name}: {material.in_words}. {_counted(ahead.tables, 'table')} to solve.")
    typer.echo(
        f"Roughly {_counted(ahead.minutes, 'minute')} of one processor, {ahead.mebibytes} MiB in"
        f" {ahead.folder}, and {ahead.mebibytes_of_memory} MiB of memory while it lasts."
    )
    if sure:
        return True
    check_can_agree("Building")
    return agrees(Say.BUILD, "Nothing was built.")


def _print_list(found: "Sequence[ListedEnding]", *, as_json: bool) -> None:
    if as_json:
        print_json(
            [
                {"ending": each.material.name, "men": each.material.men, "solved": each.is_solved}
                for each in found
            ]
        )
        return
    show_table(
        ("Ending", "Men", "Solved", ""),
        [
            (
                each.material.name,
                str(each.material.men),
                "yes" if each.is_solved else "when needed",
                each.material.in_words,
            )
            for each in found
        ],
    )
    typer.echo("With five men: any ending with one pawn at most, with 'coachbook ending build KRPKR'.")


def _print_position(found: "EndingPosition") -> None:
    from coachbook.wording.counting import capitalised
    from coachbook.wording.sentences import ending_in_words, over_in_words
    from coachbook.workflows.endings import outcome_in_words

    typer.echo(f"{ending_in_words(found.material.in_words, white_to_move=found.white_to_move)}.")
    if not found.moves:
        typer.echo(over_in_words(white_to_move=found.white_to_move, in_check=found.in_check))
        return
    typer.echo(f"{capitalised(outcome_in_words(found.outcome, white_to_move=found.white_to_move))}.")
    typer.echo()
    show_table(
        ("Move", "Outcome"),
        [
            (judged.san, outcome_in_words(judged.outcome, white_to_move=found.white_to_move))
            for judged in found.moves
        ],
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
    from coachbook.wording.counting import plural

    return f"{number:,} {plural(number, what)}"


def _position_as_json(found: "EndingPosition") -> dict[str, Any]:
    return {
        "fen": found.fen,
        "ending": found.material.name,
        "to_move": "white" if found.white_to_move else "black",
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


_LOOSELY = "By the words of its card"
_REACHES = {
    "mate": "Mates from",
    "a safe queen": "Queens safely from",
    "a safe queen or a rook more": "Queens, or wins a rook, from",
    "a draw": "Holds the draw from",
}
_FIGURINES = str.maketrans("KQRBN", "♔♕♖♗♘")


@app.command()
def plan(
    fen: Annotated[str, typer.Argument(metavar="FEN", help="The position, in quotes.")],
    method: Annotated[
        str | None,
        typer.Option("--method", metavar="METHOD", help="Such as queen-box.", autocompletion=methods_known),
    ] = None,
    defence: Annotated[
        str, typer.Option("--defence", metavar="MOVES", help="The replies to it, such as 'Kd5 Ke4'.")
    ] = "",
    notation: Annotated[
        Notation, typer.Option("--notation", help="Moves with little pieces, or with English letters.")
    ] = Notation.LETTERS,
    as_json: JsonOption = False,
) -> None:
    """Write a plan for a position, step by step. Each step has the move, why, what it does, and a reply.

    First you see whether a method is proven from there against every defence, or whether this is one
    computed line. If the position is drawn or lost, it says that no plan wins. Then it says why the
    position is won or drawn, if one sentence can say so.
    """
    from coachbook.wording.counting import capitalised
    from coachbook.wording.reasons import why
    from coachbook.workflows.written_plans import plan_for

    found = plan_for(fen, method, defence.replace(",", " ").split())
    if as_json:
        print_json(_plan_as_json(found))
        return
    source = found.plan.source.words
    for sentence in (*found.preface, f"{capitalised(source)}."):
        typer.echo(sentence)
    if found.reason is not None:
        typer.echo(why(found.reason))
    typer.echo()

    def written(san: str) -> str:
        return san.translate(_FIGURINES) if notation is Notation.FIGURINE else san

    show_table(
        ("", "Move", "Why", "What it does", "Reply"),
        [
            (
                str(number),
                written(step.move),
                step.rule.words,
                step.achieved_besides.words,
                written(step.reply),
            )
            for number, step in enumerate(found.plan.steps, start=1)
        ],
    )


@app.command()
def prove(
    method: MethodArgument,
    as_json: JsonOption = False,
) -> None:
    """Prove a method from every position. Every defence is tried, and every move that the method
    leaves open."""
    from coachbook.workflows.endings import method_named, run_proofs

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
        if rule.card_words != rule.words:
            typer.echo(f"     On the card: {rule.card_words}")
    for proof in proofs:
        typer.echo()
        _print_proof(proof)


def _plan_as_json(found: "PositionPlan") -> dict[str, Any]:
    from coachbook.wording.reasons import why

    plan = found.plan
    return {
        "start": plan.start,
        "result": found.outcome.result.name.lower(),
        "mate_in": found.outcome.moves,
        "method": found.method or None,
        "proven": found.proven,
        "at_most": found.at_most,
        "told": found.preface,
        "reason": found.reason.because if found.reason else None,
        "why": why(found.reason) if found.reason else None,
        "source": plan.source.words,
        "steps": [
            {
                "move": step.move,
                "rule": step.rule.words,
                "achieved": step.achieved.words,
                "reply": step.reply,
            }
            for step in plan.steps
        ],
    }


def _print_proof(proof: "Proof") -> None:
    from coachbook.method.positions import ending_name

    best = (
        (f" (quickest possible: {proof.optimum.longest})", f" (quickest possible: {proof.optimum.mean:.2f})")
        if proof.optimum
        else ("", "")
    )
    rows = [
        ("Ending", ending_name(proof.ending)),
        ("Positions", f"{proof.positions:,} ({proof.up_to_symmetry:,} up to turning and mirroring)"),
        (_REACHES[proof.aim], _percent(proof.proven, proof.positions)),
        *((f"Pawn on rank {each.rank}", _percent(each.proven, each.positions)) for each in proof.by_rank),
        *((("Most moves", f"{proof.longest}{best[0]}"),) if proof.longest else ()),
        *((("Most moves, mean of all", f"{proof.mean:.2f}{best[1]}"),) if proof.longest else ()),
        *_followed_loosely(proof),
        *((f"Decided by '{name}'", f"{count:,}") for name, count in proof.rule_counts),
    ]
    show_table(("", ""), rows)
    typer.echo(f"{'A longest line' if proof.longest else 'One line'}: {_line(proof.hardest)}")
    if proof.counter_line is not None:
        typer.echo(f"It fails: {_line(proof.counter_line)} ({proof.counter_line.end})")


def _followed_loosely(proof: "Proof") -> list[tuple[str, str]]:
    found = proof.loosely
    if found is None:
        return []
    does = {
        "a draw": "holds",
        "a safe queen": "makes a safe queen in",
        "a safe queen or a rook more": "makes a safe queen, or wins a rook, in",
    }.get(proof.aim, "mates in")
    return [(_LOOSELY, f"{does} {_percent(found.reached, found.games)} of {found.games:,} games")]


def _percent(proven: int, positions: int) -> str:
    """Never rounded up to 100 %."""
    if proven == positions:
        return "100 %"
    return f"{min(100 * proven / positions, 99.99):.2f} %"


def _line(line: "Line") -> str:
    import chess

    board = chess.Board(line.fen)
    return f"{line.fen}  {board.variation_san([chess.Move.from_uci(move) for move in line.moves])}"
