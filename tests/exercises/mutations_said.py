"""Exercises in which one thing that is said was made wrong: a fact, a code, or words that go with neither."""

from collections.abc import Callable, Iterator
from dataclasses import replace

import chess

from coachbook.endgame.probe import Result, keeping_moves, probe
from coachbook.model.claims import MethodRule
from coachbook.model.worksheet import NOTHING, Exercise, Fact, PlanStep, Saying, Solution
from coachbook.wording.exercises import SENTENCES, TASKS, say

Mutant = tuple[str, Exercise]
_Put = Callable[[Saying], Exercise]
_MEN = ("queen", "rook", "bishop", "knight", "pawn", "king")
_OTHERS = {"white": "black", "black": "white", "win": "draw", "draw": "loss", "loss": "win"}


def other_sayings(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """All of them. Every one is wrong whatever the position is."""
    for where, saying, put in _said(exercise):
        for what, other in _others(saying):
            yield f"{where}: {what}", put(other)
    yield from _other_tasks(exercise, board)
    yield from _other_keys(exercise, board)
    yield from _other_steps(exercise, board)


def _said(exercise: Exercise) -> Iterator[tuple[str, Saying, _Put]]:
    """All that is said, with what puts something else in its place."""
    solution = exercise.solution

    def with_solution(changed: Solution) -> Exercise:
        return replace(exercise, solution=changed)

    yield "task", exercise.task, lambda other: replace(exercise, task=other)
    yield "key", solution.text, lambda other: with_solution(replace(solution, text=other))
    for at, warning in enumerate(solution.watch_for):

        def put_warning(other: Saying, at: int = at) -> Exercise:
            warnings = (*solution.watch_for[:at], other, *solution.watch_for[at + 1 :])
            return with_solution(replace(solution, watch_for=warnings))

        yield f"warning {at}", warning, put_warning
    plan = solution.plan
    if plan is None:
        return
    yield (
        "source",
        plan.source,
        lambda other: with_solution(replace(solution, plan=replace(plan, source=other))),
    )
    for at, step in enumerate(plan.steps):
        for name, saying in (("rule", step.rule), ("achieved", step.achieved)):

            def put(other: Saying, at: int = at, step: PlanStep = step, name: str = name) -> Exercise:
                changed = replace(step, rule=other) if name == "rule" else replace(step, achieved=other)
                steps = (*plan.steps[:at], changed, *plan.steps[at + 1 :])
                return with_solution(replace(solution, plan=replace(plan, steps=steps)))

            yield f"{name} of step {at}", saying, put


def _others(saying: Saying) -> Iterator[tuple[str, Saying]]:
    """The sentence with one fact other, missing or too many, with an unknown code, or with other words."""
    if saying == NOTHING:
        yield "words without a code", Saying("", (), "It is so.")
        return
    for name, fact in saying.facts:
        rest = tuple(each for each in saying.facts if each[0] != name)
        if SENTENCES[saying.code].needs | SENTENCES[saying.code].implies.keys() >= {name}:
            yield f"without {name}", replace(saying, facts=rest)
        for other in _other_facts(name, fact):
            yield f"{name} is {other}", replace(saying, facts=tuple(sorted((*rest, (name, other)))))
        yield f"{name} twice", replace(saying, facts=(*saying.facts, (name, fact)))
    yield "a fact that nobody knows", replace(saying, facts=(*saying.facts, ("weather", "fine")))
    yield "a fact that is not its own", replace(saying, facts=(*saying.facts, ("at_most", 3)))
    yield "another code", replace(saying, code=f"{saying.code}_or_not")
    yield "no code", replace(saying, code="")
    yield "no code, and no facts", Saying("", (), saying.words)
    yield "other words", replace(saying, words=f"Not so: {saying.words}")


def _other_facts(name: str, fact: Fact) -> Iterator[Fact]:
    """Values that are not true if this one is."""
    if isinstance(fact, bool):
        yield not fact
        yield 7
    elif isinstance(fact, int):
        yield from (fact + 1, fact - 1, str(fact))
    elif isinstance(fact, tuple):
        yield from ((*fact, "h9"), (*fact, "Qa9"), ", ".join(fact))
        if fact and name != "stalemates":  # fewer of them are as true, with "others"
            yield fact[1:]
        if fact:
            yield (*fact, fact[0])
    elif fact in _MEN:
        yield from (man for man in _MEN if man != fact)
    else:
        yield _OTHERS.get(fact, "another")


def _other_tasks(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """The task of another kind, a sentence that is none, and the other side or result."""
    yield "no task", replace(exercise, task=NOTHING)
    own = SENTENCES[exercise.task.code].implies.items()
    for code in sorted(TASKS - {exercise.task.code}):
        if not SENTENCES[code].needs and SENTENCES[code].implies.items() <= own:
            continue  # it says less, and so is as true
        needs = {
            "man": "queen",
            "side": chess.COLOR_NAMES[board.turn],
            "result": "win",
            "decides": "king_to_lone_king",
            "counted_from": "e3",
        }
        task = say(code, **{name: needs[name] for name in SENTENCES[code].needs})
        yield f"the task '{task.words}'", replace(exercise, task=task)
    yield "a key for a task", replace(exercise, task=exercise.solution.text)


def _other_keys(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    outcome, solution = probe(board), exercise.solution
    far = next(name for name in chess.SQUARE_NAMES if name not in exercise.answer.accepted)
    keys = [
        say("white_mates", mates_in=(outcome.moves or 0) + 1),
        say("others_fail", others=board.legal_moves.count(), result="win"),
        say("stalemate_on", stalemate_on=(far,), taken_on=1),
        say("box_left", squares=77),
        say("box", files=7, ranks=11, squares=77),
        say("race_won", queens_first="white", queens_second="black", still_needs=9),
    ]
    keys += [] if outcome.result is Result.DRAW else [say("drawn")]
    keys += [] if board.is_checkmate() else [say("mated")]
    for key in keys:
        yield f"the key '{key.words}'", replace(exercise, solution=replace(solution, text=key))
    if any(board.legal_moves) and exercise.kind != "every_mate":
        warned = say("stalemates", stalemates=(board.san(next(iter(board.legal_moves))),), more=True)
        changed = replace(solution, watch_for=(warned,))
        yield f"the warning '{warned.words}'", replace(exercise, solution=changed)


def _other_steps(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """What the first step of the plan might say wrongly of mates, stalemates, draws and other moves."""
    solution, plan = exercise.solution, exercise.solution.plan
    if plan is None:
        return
    step, outcome, kept = plan.steps[0], probe(board), len(keeping_moves(board))
    after = board.copy()
    after.push_san(step.move)
    told = [say("does", winner="black" if board.turn else "white", mates_in=77)]
    told += [] if after.is_checkmate() else [say("it_is_mate"), say("mate"), say("does", mate=True)]
    told += [] if after.is_stalemate() else [say("does", stalemate=True), say("stalemate")]
    told += [] if outcome.result is Result.DRAW else [say("does", result="draw"), say("stays_a_draw")]
    told += [] if board.is_capture(after.peek()) else [say("does", takes="queen"), say("pawn_taken")]
    told += [] if after.is_check() else [say("does", gives_check=True)]
    rules = [
        say("some_draw", drawing=kept + 1),
        say("rule", rule="nobody"),
        say("stage", number=1, stage="mate"),
    ]
    rules += [] if kept == 1 else [say("only_move"), say("one_draws")]
    rules += [] if kept == board.legal_moves.count() else [say("all_draw")]
    if any(isinstance(claim, MethodRule) for claim in exercise.claims):
        rules.append(say("rule", rule="make_do"))
    steps = [replace(step, achieved=each) for each in told] + [replace(step, rule=each) for each in rules]
    for other in steps:
        changed = replace(solution, plan=replace(plan, steps=(other, *plan.steps[1:])))
        said = f"{other.rule.words}: {other.achieved.words}"
        yield f"the first step says '{said}'", replace(exercise, solution=changed)
