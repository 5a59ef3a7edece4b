"""Why a student stands in a unit as they do and when it is due, in a paragraph that a parent understands."""

from collections.abc import Iterator

from coachbook.model.facts import PlayOutResult
from coachbook.model.progress import DecidedBy, Evening, Missing, Standing, Still, Went, WhyDue
from coachbook.model.syllabus import Goal, SecureRule
from coachbook.wording.counting import counted, day_in_words, listed, number_word, plural, quoted, times

_MOST_TOLD = 4

_NOTHING = "no answers, play-outs or notes are logged yet"

_BADLY = {
    DecidedBy.ANSWERS: "fewer than half of the answers were right",
    DecidedBy.PLAY_OUT: "the last play-out did not reach its goal",
}
_WITH_TROUBLE = {
    DecidedBy.ANSWERS: "fewer than three quarters of the answers were right",
    DecidedBy.PLAY_OUT: "the last play-out was not shown to be within the moves allowed",
    DecidedBy.SEEN: "the coach saw that it was hard",
}


def why_in_words(why: WhyDue) -> str:
    """What was done and when, what the unit's rule asks for and what is missing, how it counts, when it is
    due and why then, and on how little that rests."""
    return " ".join(_sentences(why))


def _sentences(why: WhyDue) -> Iterator[str]:
    progress = why.progress
    yield f"{progress.student} and {quoted(why.title)}, {day_in_words(why.today)}:"
    if why.last_on is None:
        logged = "nothing that is logged yet tells how it goes" if progress.evenings else _NOTHING
        yield f"{logged}, so the unit is new and not due."
        yield f"The unit's rule asks for {_rule(why.rule)}."
        return
    yield f"{_done(progress.evenings)}."
    yield f"The unit's rule asks for {_rule(why.rule)}."
    yield _standing(why)
    yield from _due(why)
    if not progress.is_sure:
        yield _how_little(why)


def _done(evenings: tuple[Evening, ...]) -> str:
    """The last evenings one by one, and those before them together."""
    before, last = evenings[:-_MOST_TOLD], evenings[-_MOST_TOLD:]
    told = [f"on {day_in_words(evening.on)} {_evening(evening)}" for evening in last]
    if before:
        right, tried = sum(each.right for each in before), sum(each.tried for each in before)
        answers = f" with {right} of {tried} answers right" if tried else ""
        told.insert(0, f"{counted(len(before), 'earlier evening')}{answers}")
    return "; ".join(told)


def _evening(evening: Evening) -> str:
    parts = []
    if evening.tried:
        were = "was" if 1 in (evening.right, evening.tried) else "were"
        parts.append(f"{evening.right} of {counted(evening.tried, 'answer')} {were} right")
    parts += [f"a play-out {_played(played)}" for played in evening.play_outs]
    noted = (seen.impression for seen in evening.observations if seen.impression)
    parts += [f"the coach noted {quoted(impression)}" for impression in noted]
    return listed(parts) or "the coach only took a note"


def _played(played: PlayOutResult) -> str:
    if not played.counts:
        return "stopped before its end, which does not count"
    if not played.reached:
        return "did not reach its goal"
    if not played.within and played.used is None:
        return "reached its goal, but nobody counted the moves"
    if not played.within:
        return f"reached its goal late (in {played.used} moves, {played.allowance} are allowed)"
    if played.goal is Goal.DRAW or played.used is None:
        return "reached its goal"
    return f"reached its goal in {counted(played.used, 'move')}"


def _rule(rule: SecureRule) -> str:
    evenings = f"{number_word(rule.evenings)} {plural(rule.evenings, 'evening')}"
    each = "" if rule.evenings == 1 else " each"
    share = "all of them" if rule.share == 1 else f"at least {round(100 * rule.share)} of 100"
    asked = f"{evenings}{each} with at least {counted(rule.items, 'answer')}, {share} right"
    if not rule.play_outs:
        return asked
    if rule.play_outs == 1:
        return f"{asked}, and a play-out that reaches its goal in the moves allowed"
    return f"{asked}, and {number_word(rule.play_outs)} play-outs that reach their goal in the moves allowed"


def _standing(why: WhyDue) -> str:
    match why.progress.standing:
        case Standing.SECURE:
            return "All of that is done, and review is not due yet, so the unit is secure."
        case Standing.FADING:
            return "All of that was done, but review is due, so the unit is fading."
        case _:
            missing = listed(map(_missing, why.progress.missing))
            return f"Still missing: {missing}; so the unit is being worked on."


def _missing(missing: Missing) -> str:
    left = missing.asked - missing.done
    number = number_word(left) if left > 1 or missing.done else "one"
    more = " more" if missing.done else ""
    what = "such evening" if missing.what is Still.GOOD_EVENINGS else "such play-out"
    return f"{number}{more} {plural(left, what)}"


def _due(why: WhyDue) -> Iterator[str]:
    due, last = why.progress.due_on, why.last_on
    if due is None or last is None or why.decided_by is None:
        return
    day, on = day_in_words(due), day_in_words(last)
    is_ahead = why.today < due
    if why.progress.last_went is Went.BADLY:
        yield f"On {on} {_BADLY[why.decided_by]}, so the unit comes back soon: it is due from {day} on."
        return
    if why.progress.last_went is Went.WITH_TROUBLE:
        since = "it is due from" if is_ahead else "it has been due from"
        told = f"On {on} {_WITH_TROUBLE[why.decided_by]}, so the unit comes back sooner than otherwise"
        yield f"{told}: {since} {day} on."
    else:
        wait = "can wait" if is_ahead else "could wait, but only"
        often = "" if why.well_in_a_row == 1 else f" {times(why.well_in_a_row)} in a row, the last time"
        yield f"It went well{often} on {on}, so the unit {wait} until {day}."
    one_in = number_word(round(1 / (1 - why.target)))
    yield (
        f"After that day, expect more than one failure in {one_in} tries. The more often a unit goes well,"
        " and the longer the breaks between, the longer it can wait. This is how people forget in general;"
        f" nobody has measured it for {why.progress.student}."
    )


def _how_little(why: WhyDue) -> str:
    evenings = why.progress.evenings
    tried = sum(evening.tried for evening in evenings)
    answers = counted(tried, "answer") if tried else "no answers"
    only = f"{counted(len(evenings), 'evening')} and {answers}"
    return f"All this rests on only {only}, so take the day as a guess."
