"""Whether the lines that a unit shows are true: no result given away, no rule broken, every claim so."""

from collections.abc import Iterator

from coachbook.endgame.probe import Result, probe
from coachbook.exercises.show_claims import Moment, is_true, moments_of
from coachbook.method.border import choose, fits
from coachbook.method.methods import find_method
from coachbook.method.rules import Method
from coachbook.method.written_plan import find_length
from coachbook.model.shown_claims import claims_in, read_claim
from coachbook.model.syllabus import Goal, Syllabus, Unit


def show_faults(syllabus: Syllabus, unit: Unit) -> Iterator[tuple[str, str]]:
    """Where in the unit and what; the moves are legal and the claims of forms that are known."""
    methods = _taught(syllabus, unit)
    wanted = Result.WIN if unit.demonstration_goal is Goal.WIN else Result.DRAW
    for number, show in enumerate(unit.shows, start=1):
        key = f"show[{number}]"
        moments = moments_of(show)
        for at, moment in enumerate(moments, start=1):
            faults = [*_untrue(moment, show.line[at - 1].words)]
            if moment.before.turn == moment.student:
                faults += [*_given_away(moment, wanted), *_broken_rules(moment, methods)]
            yield from ((f"{key}.line[{at}]", fault) for fault in faults)
        until = read_claim(show.until)
        if until is None or not is_true(until, moments[-1]):
            yield f"{key}.until", f"the line does not end with '{show.until}'"


def _taught(syllabus: Syllabus, unit: Unit) -> tuple[Method, ...]:
    """The methods of the unit and of those before it."""
    before = syllabus.units[: syllabus.units.index(unit) + 1]
    found = (find_method(each.method) for each in before)
    return tuple(dict.fromkeys(method for method in found if method is not None))


def _untrue(moment: Moment, words: str) -> Iterator[str]:
    for text in claims_in(words):
        claim = read_claim(text)
        if claim is None or not is_true(claim, moment):
            yield f"{{{text}}} is not so after {moment.before.san(moment.move)}"


def _given_away(moment: Moment, wanted: Result) -> Iterator[str]:
    if -probe(moment.after).result < wanted:
        yield f"{moment.before.san(moment.move)} gives the {'win' if wanted is Result.WIN else 'draw'} away"


def _broken_rules(moment: Moment, methods: tuple[Method, ...]) -> Iterator[str]:
    """The methods proven from this position that were taught, and would have had another move."""
    for method in methods:
        if fits(moment.before, method):
            chosen = choose(moment.before, method)
            if chosen.moves and moment.move not in chosen.moves and find_length(moment.before, method):
                good = " or ".join(sorted(map(moment.before.san, chosen.moves)))
                yield f"{moment.before.san(moment.move)} is no move of {method.name}; it has {good}"
