"""What students did, how they stand, why they are due, and what the log holds, in English."""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from coachbook.model.facts import (
    Doubt,
    EntryFacts,
    EntryKind,
    PlayOutEnd,
    PlayOutResult,
    Slip,
    slip_family,
    slower_by,
)
from coachbook.model.play_outs import HowGood
from coachbook.model.progress import Evening, Missing, ReviewAdvice, Standing, Still
from coachbook.model.syllabus import Goal, PlayOut, SecureRule
from coachbook.model.term_plan import PlanChange
from coachbook.wording.counting import capitalised, counted, how_long_ago, plural, shown_day, times

STANDING_LETTERS = {Standing.NEW: "", Standing.WORKING: "W", Standing.SECURE: "S", Standing.FADING: "F"}
"""The letters that stand in the pattern of a standing."""

STANDINGS = {
    Standing.NEW: "new",
    Standing.WORKING: "working",
    Standing.SECURE: "secure",
    Standing.FADING: "fading (was secure, needs review)",
}
"""What a pattern and its letter mean."""

HAPPENED: dict[str, str] = {
    Slip.NOT_TRIED: "left {n} blank",
    Slip.UNREADABLE: "wrote unreadably {times}",
    Slip.ILLEGAL: "wrote an illegal move {times}",
    Slip.MISREAD_SIDE: "misread the side to move {times}",
    Slip.STALEMATE: "stalemated {times}",
    Slip.PIECE_LOST: "lost a piece {times}",
    Slip.NOT_MATE: "took a wrong move for mate {times}",
    Slip.MISSED_MATE: "missed a mate {times}",
    Slip.NOT_STALEMATE: "took a wrong move for stalemate {times}",
    Slip.MISSED_STALEMATE: "missed a stalemate {times}",
    Slip.WRONG_COUNT: "miscounted the box {times}",
    Slip.NOT_QUICKEST: "was slower than need be {times}",
    Slip.WIN_THROWN_AWAY: "threw a win away {times}",
    Slip.DRAW_THROWN_AWAY: "threw a draw away {times}",
    Slip.WIN_NOT_SEEN: "did not see a win {times}",
    Slip.DRAW_NOT_SEEN: "did not see a draw {times}",
    Slip.MISJUDGED: "misjudged a position {times}",
    Slip.MISSED_DANGER: "missed a dangerous square {times}",
    Slip.BOX_GREW: "let the box grow {times}",
    Slip.MISSED_SMALLER_BOX: "missed a smaller box {times}",
    Slip.NOT_BEST_BOX: "missed the best box {times}",
    Slip.WRONG_SQUARE: "marked a wrong square {times}",
    Slip.MISSED_SQUARE: "missed a square {times}",
    Slip.NO_OPPOSITION: "missed the opposition {times}",
    Slip.WRONG_RULE: "chose the wrong rule {times}",
    Slip.AGAINST_RULE: "did not follow the rule {times}",
    Slip.MISCOUNTED_MOVES: "miscounted a pawn's moves {times}",
    Slip.LINE_UNFINISHED: "left a line unfinished {times}",
    Slip.RULE_NOT_KNOWN: "did not know how a rule goes on {times}",
}


def device_in_words(tablet: int) -> str:
    """Whose browser it is: "tablet 2", or "the coach" for 0."""
    return f"tablet {tablet}" if tablet else "the coach"


def changed_by(tablet: int) -> str:
    """Such as "Changed by tablet 2.", or "Changed by the coach." for 0."""
    return f"Changed by {device_in_words(tablet)}."


def board_in_words(board: int) -> str:
    """Such as "board 2"."""
    return f"board {board}"


def came_in(device: str) -> str:
    """Such as "Tablet 2 is in."."""
    return f"{capitalised(device)} is in."


def slip_in_words(slip: str) -> str:
    """A single slip by its short name, such as "stalemate" or "slower by 3 moves".

    A code that is no Slip (from another edition of coachbook) is told as it is written.
    """
    by = slower_by(slip)
    return str(slip) if by is None else f"slower by {counted(by, 'move')}"


def slip_and_count(slip: str, count: int) -> str:
    """A slip that happened `count` times, such as "stalemated twice" or "left 3 blank"."""
    words = HAPPENED.get(slip_family(slip), f"{slip} {{times}}")
    return words.replace("{n}", str(count)).replace("{times}", times(count))


def slips_in_words(slips: Iterable[str]) -> str:
    """All slips, with repeats: the most frequent first, then in the order of first sight."""
    families = Counter(map(slip_family, slips))
    return ", ".join(slip_and_count(slip, count) for slip, count in families.most_common())


def play_out_task(play_out: PlayOut) -> str:
    """Such as "mate within 16 moves"."""
    if play_out.goal is Goal.DRAW:
        return f"hold the draw for {play_out.allowance} moves"
    return f"mate within {play_out.allowance} moves"


def secure_in_words(rule: SecureRule) -> str:
    """Such as "2 evenings with at least 6 items answered and 80% of them right"."""
    evenings = counted(rule.evenings, "evening")
    return f"{evenings} with at least {rule.items} items answered and {rule.share:.0%} of them right"


_HOW_GOOD = {
    (HowGood.QUICKEST, Goal.WIN): "Nobody can mate faster from there.",
    (HowGood.CLEAN, Goal.WIN): "You never let the win go.",
    (HowGood.CLEAN, Goal.DRAW): "You never let the draw go.",
    (HowGood.REACHED, Goal.WIN): "There was a slip on the way, and you still won.",
    (HowGood.REACHED, Goal.DRAW): "There was a slip on the way, and you still held it.",
}


def praise_in_words(how_good: HowGood, goal: Goal, reached: int | None) -> str:
    """What is said of a goal that was reached, for the `reached`-th time in its unit, None if nobody
    counts."""
    if reached is None:
        return _HOW_GOOD[how_good, goal]
    first = "This is the first time you have reached such a goal!"
    often = first if reached == 1 else f"You have reached such goals {times(reached)} now."
    return f"{_HOW_GOOD[how_good, goal]} {often}"


def played_in_words(student: str, title: str, reached: int, *, quickest: bool) -> str:
    """What a family is told of the goals that were reached at the board in a unit."""
    often = (
        "has reached the goal for the first time"
        if reached == 1
        else f"has reached the goal {times(reached)}"
    )
    told = f"{title}: playing it out at the board, {student} {often}"
    if not quickest:
        return f"{told}."
    return f"{told}, {'' if reached == 1 else 'once '}as fast as anybody can."


def play_out_result(result: PlayOutResult) -> str:
    """Such as "mate in 14 moves (16 allowed)" or "gave up"."""
    if not result.counts:
        return f"{result.end} (does not count)"
    if result.end is PlayOutEnd.MATE and result.used is not None:
        return f"mate in {result.used} moves ({result.allowance} allowed)"
    return "mate, moves not counted" if result.end is PlayOutEnd.MATE else result.end.value


def play_out_logged(result: PlayOutResult) -> str:
    """The same for the coach, who is told if it was against coachbook."""
    return f"{play_out_result(result)}{', against coachbook' if result.against_coachbook else ''}"


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
    words += [f"play-out {play_out_logged(result)}" for result in evening.play_outs]
    for seen in evening.observations:
        words.append(f"seen: {seen.note}{f' ({seen.impression.value})' if seen.impression else ''}")
    return f"{shown_day(evening.on)}: {', '.join(words)}"


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
        return f"{shown_day(doubt.on)} is still to come."
    near = f" (the nearest is {shown_day(doubt.nearest)})" if doubt.nearest else ""
    return f"No evening is planned on {shown_day(doubt.on)} for {doubt.group}{near}."


_CHANGES = {
    PlanChange.PLANNED: "a term plan for",
    PlanChange.REPLANNED: "the rest of the term planned again for",
    PlanChange.PINNED: "a pin in the plan of",
    PlanChange.UNPINNED: "a pin taken out of the plan of",
    PlanChange.LOCKED: "an evening locked in the plan of",
    PlanChange.UNLOCKED: "an evening unlocked in the plan of",
    PlanChange.NOT_DONE: "what was not done, in the plan of",
}


def entry_in_words(entry: EntryFacts) -> str:
    """Such as "6 answers of Noor on sheet QB-4K7M2"."""
    match entry.kind:
        case EntryKind.ATTENDANCE:
            return _attendance(entry)
        case EntryKind.ANSWERS:
            return _answers(entry)
        case EntryKind.PLAY_OUT:
            moves = "" if entry.used is None else f" after {counted(entry.used, 'move')}"
            on = shown_day(entry.evenings[0])
            return f"a play-out of {_one(entry)} in {entry.unit} on {on}: {entry.end}{moves}"
        case EntryKind.NOTE:
            unit = f" in {entry.unit}" if entry.unit else ""
            return f"a note on {_one(entry)}{unit} on {shown_day(entry.evenings[0])}"
        case EntryKind.PLAN if entry.change is not None and entry.days is not None:
            groups = " and ".join(entry.groups)
            days = f"{shown_day(entry.days.first)} to {shown_day(entry.days.last)}"
            return f"{_CHANGES[entry.change]} {groups}, {days}"
    return "nothing that is left"


_MOST_NAMED = 3


def who_in_words(entry: EntryFacts, group: str) -> str:
    """Whom an entry is about: a few by their names, many as the `group` that all of them are in ("" for
    none), or by their number."""
    if entry.groups:
        return ", ".join(entry.groups)
    if len(entry.students) <= _MOST_NAMED:
        return ", ".join(entry.students)
    return group or counted(len(entry.students), "student")


def evenings_in_words(days: Iterable[date]) -> str:
    """Such as "evening of 2027-01-12" or "12 evenings from 2027-01-12 to 2027-03-30"; of at least one."""
    first, *more = map(shown_day, sorted(set(days)))
    if not more:
        return f"evening of {first}"
    if len(more) == 1:
        return f"evenings of {first} and {more[0]}"
    return f"{len(more) + 1} evenings from {first} to {more[-1]}"


def _one(entry: EntryFacts) -> str:
    return entry.students[0]


def _attendance(entry: EntryFacts) -> str:
    if len(entry.evenings) > 1:
        if entry.with_evenings:
            return f"attendance, {evenings_in_words(entry.evenings)}"
        return f"attendance on {counted(len(entry.evenings), 'evening')}"
    on = shown_day(entry.evenings[0])
    if entry.count == 1:
        there = "there, late" if entry.late else "there"
        return f"attendance of {_one(entry)} on {on}: {there if entry.present else 'absent'}"
    return f"attendance on {on}: {entry.present} of {entry.count} there"


def _answers(entry: EntryFacts) -> str:
    who = _one(entry) if len(entry.students) == 1 else f"{len(entry.students)} students"
    where = f"sheet {entry.sheets[0]}" if len(entry.sheets) == 1 else f"{len(entry.sheets)} sheets"
    words = f"{counted(entry.count, 'answer')} of {who} on {where}"
    words += "" if entry.item is None else f", item {entry.item} ({_became(entry)})"
    return f"{words}, {evenings_in_words(entry.evenings)}" if entry.with_evenings else words


def _became(entry: EntryFacts) -> str:
    if entry.right:
        return "right"
    return "left blank" if entry.slip == Slip.NOT_TRIED else slip_in_words(entry.slip) or "wrong"
