"""What students did, how they stand and why they are due, in English."""

from coachbook.model.facts import Doubt, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening, Missing, ReviewAdvice, Still
from coachbook.model.syllabus import Goal, PlayOut
from coachbook.wording.counting import plural
from coachbook.wording.days import how_long_ago
from coachbook.wording.slips import slips_in_words


def play_out_task(play_out: PlayOut) -> str:
    """Such as "mate within 16 moves"."""
    if play_out.goal is Goal.DRAW:
        return f"hold the draw for {play_out.allowance} moves"
    return f"mate within {play_out.allowance} moves"


def play_out_result(result: PlayOutResult) -> str:
    """Such as "mate in 14 moves (16 allowed)" or "gave up"."""
    if result.end is PlayOutEnd.MATE and result.used is not None:
        return f"mate in {result.used} moves ({result.allowance} allowed)"
    return "mate, moves not counted" if result.end is PlayOutEnd.MATE else result.end.value


def advice_in_words(advice: ReviewAdvice) -> str:
    """Such as "The queen's box: 3 weeks ago, 2 of 6; stalemated twice"."""
    return f"{advice.unit_title}: {last_time(advice)}"


def last_time(advice: ReviewAdvice) -> str:
    """When a student was last seen in the unit and how it went."""
    evening = advice.last
    words = [how_long_ago(advice.days_ago)]
    if evening.tried:
        words.append(f"{evening.right} of {evening.tried}")
    words += [f"play-out: {play_out_result(result)}" for result in evening.play_outs]
    words += [f"seen: {seen.impression.value}" for seen in evening.observations if seen.impression]
    slips = slips_in_words(evening.all_slips)
    return f"{', '.join(words)}; {slips}" if slips else ", ".join(words)


def evening_in_words(evening: Evening) -> str:
    """Such as "2026-09-10: 5 of 6, play-out mate in 14 moves (16 allowed)"."""
    words = [f"{evening.right} of {evening.tried}"] if evening.tried else []
    words += [f"play-out {play_out_result(result)}" for result in evening.play_outs]
    for seen in evening.observations:
        words.append(f"seen: {seen.note}{f' ({seen.impression.value})' if seen.impression else ''}")
    return f"{evening.on}: {', '.join(words)}"


def missing_in_words(missing: Missing) -> str:
    """Such as "2 more good evenings (2 of 4; 5 items or more, 80% right)"."""
    left, done = missing.asked - missing.done, f"{missing.done} of {missing.asked}" if missing.done else ""
    what = "good evening" if missing.what is Still.GOOD_EVENINGS else "play-out"
    if left == 1:
        count = f"one more {what}" if done else f"a {what}"
    else:
        count = f"{left}{' more' if done else ''} {plural(left, what)}"
    if missing.what is Still.PLAY_OUTS:
        return f"{count} within the allowance{f' ({done})' if done else ''}"
    asked = f"{missing.items} items or more, {missing.share:.0%} right"
    return f"{count} ({f'{done}; ' if done else ''}{asked})"


def doubt_in_words(doubt: Doubt) -> str:
    """Why a day may be a slip, in one sentence."""
    if not doubt.group:
        return f"{doubt.on} is still to come."
    near = f" (the nearest is {doubt.nearest})" if doubt.nearest else ""
    return f"No evening is planned on {doubt.on} for {doubt.group}{near}."
