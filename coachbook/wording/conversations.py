"""What is said and asked while something is typed in, in English. Nothing here names a command."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from coachbook.model.conversation import Alone, Question, Say, Told
from coachbook.model.facts import Doubt, EntryFacts, Impression, ItemResult, PlayOutResult
from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
from coachbook.model.progress import ReviewAdvice
from coachbook.model.term_plan import PlanDifference
from coachbook.model.worksheet import Exercise
from coachbook.wording.answer_forms import form_in_words
from coachbook.wording.counting import (
    counted,
    counted_off,
    day_in_words,
    listed,
    listed_off,
    plural,
    shown_day,
)
from coachbook.wording.people import doubt_in_words, entry_in_words, last_time, play_out_result, slip_in_words
from coachbook.wording.plans import differences_in_words, unmistakable

_CHOICES = {Alone.YES: " [Y/n] ", Alone.NO: " [y/N] ", Alone.OTHER: ""}
_MOST_OFF = 3
"""The most moves off the rule that are told, as on paper."""


def in_words(told: Told) -> str:
    """What is said, in one line or several; or a question, as it stands before what is typed."""
    words = _WORDS[told.code]
    text = words if isinstance(words, str) else words(**told.values)
    return f"{text}{_CHOICES[told.alone]}" if isinstance(told, Question) else text


def names_or_nobody(names: Sequence[str]) -> str:
    """Such as "Ana, Ben"; "nobody" for none."""
    return ", ".join(names) or "nobody"


def lines_in_words(count: int, days: Iterable[date]) -> str:
    """How many lines of which evenings: "11 lines of 2027-01-12"."""
    return f"{counted(count, 'line')} for {' and '.join(map(shown_day, sorted(set(days))))}"


def judged_in_words(judged: JudgedPlayOut) -> list[str]:
    """The best moment, the first slip or else the slowest move, and the first moves off the rule."""
    lines = []
    if judged.praise is not None:
        lines.append(f"Best moment:  {_move(judged.praise)}")
    if judged.first_slip is not None:
        lines.append(f"{'First slip:  ' if judged.slip else 'Quicker way: '} {_move(judged.first_slip)}")
    lines += [f"Off the rule: {_move(move)}" for move in judged.to_mend[:_MOST_OFF]]
    more = len(judged.to_mend) - _MOST_OFF
    return [*lines, f"              and {more} more"] if more > 0 else lines


def _move(move: PlayedMove) -> str:
    return f"{move.number}. {move.san}: {move.comment}"


def _numbered(names: Sequence[str]) -> str:
    """A list to pick from by number."""
    width = len(str(len(names)))
    return "\n".join(f"  {number:>{width}}  {name}" for number, name in enumerate(names, start=1))


def _lines(*lines: str) -> str:
    return "\n".join(line for line in lines if line)


def _kept(what: EntryFacts) -> str:
    return f"Kept: {entry_in_words(what)}."


def _go_on(count: int, days: Iterable[date]) -> str:
    were, them = ("was", "it") if count == 1 else ("were", "them")
    return f"{lines_in_words(count, days)} {were} typed but not kept. Go on with {them}?"


def _log_anyway(doubt: Doubt) -> str:
    what = "it for that day" if doubt.group else "it"
    return f"{doubt_in_words(doubt)} Log {what} anyway?"


def _still_absent(student: str, answers: int) -> str:
    return f"{student} has {counted(answers, 'answer')} from this evening. Still mark as absent?"


def _attendance_logged(group: str, on: date, away: Sequence[str], students: Sequence[str]) -> str:
    return _lines(
        f"{group} on {shown_day(on)}: attendance is logged. Absent: {names_or_nobody(away)}.",
        _numbered(students),
        "If somebody is in the wrong place, type the name or number: there and absent change over.",
    )


def _there_now(there: Sequence[str], away: Sequence[str]) -> str:
    return f"There: {names_or_nobody(there)}. Absent: {names_or_nobody(away)}."


def _tally(label: str, right: int, tried: int, slips: str) -> str:
    of = f"{label}: " if label else ""
    return f"  {of}{right} of {tried} right{f': {slips}' if slips else ''}"


def _sheet(code: str, title: str, items: int, first: bool) -> str:
    return f"{'' if first else chr(10)}Sheet {code}, {title}: {items} items. '?' shows help."


def _line(student: str, missing: Sequence[int], again: bool) -> str:
    only = f" ({counted_off('item', missing)})" if missing else ""
    return f"{student}{only}{', again (Enter: as it was)' if again else ''}: "


def _fewer(answers: int, items: int) -> str:
    these = f"{'This is' if answers == 1 else 'These are'} {counted(answers, 'answer')}"
    return f"  {these}, but the sheet has {items} items."


def _unreadable(item: int, written: str, meant: Sequence[str], exercise: Exercise, letters: str) -> str:
    why = f": {' or '.join(meant)}?" if meant else f" cannot be read. {form_in_words(exercise, letters)}"
    return f"  Item {item}: '{written}'{why}"


def _marks(results: Sequence[ItemResult]) -> str:
    width = max(len(result.written) for result in results)
    return _lines(*(f"  {each.item:>2}  {each.written:<{width}}  {_verdict(each)}" for each in results))


def _verdict(result: ItemResult) -> str:
    return "✓ right" if result.right else f"✗ {slip_in_words(result.slip) or 'wrong'}"


def _answers(answers: int, students: Sequence[str]) -> str:
    """How many answers of whom."""
    of = students[0] if len(students) == 1 else f"{len(students)} students"
    return f"{counted(answers, 'answer')} of {of}"


def _stopped(student: str, answers: int, students: Sequence[str]) -> str:
    where, are = f" at {student}" if student else "", plural(answers, "is", "are")
    return f"\nStopped{where}. {_answers(answers, students)} {are} typed."


def _choice(number: int, of: int, label: str, tally: Sequence[Told]) -> str:
    did = in_words(tally[0]).strip() if tally else "nothing typed"
    return f"  {number:>{len(str(of))}}  {label}: {did}"


def _all_logged(away: Sequence[str]) -> str:
    of = f" of those who were there is logged. Absent: {', '.join(away)}." if away else " is logged."
    return f"Every sheet{of}\n"


def _play_outs(cards: Sequence[tuple[str, str]], example: str, other: str) -> str:
    if not cards:
        return f"Play-outs. Type name, card and how it went, or the moves ({example})."
    return _lines(
        "Play-outs. Type a number and how it went (1 mated in 14; 1 stalemate; 1 and the moves).",
        _numbered([f"{name}: {card}" for name, card in cards]),
        f"For another card: name, code and how it went ({other}).",
    )


def _played(result: PlayOutResult, judged: JudgedPlayOut | None) -> str:
    more = [] if judged is None else judged_in_words(judged)
    what = f"{result.student}: {play_out_result(result)}, evening of {shown_day(result.on)}"
    return _lines(f"  Kept: {what}.", *(f"    {line}" for line in more))


def _notes(
    units: Sequence[tuple[str, str]], students: Sequence[str], example: str, of_evening: str, signed: str
) -> str:
    return _lines(
        f"Notes. Type a name or number, the unit, a colon, and what you saw ({example}).",
        f"With + before the colon ({signed}: ...) it says that the student can do it; with -, has trouble.",
        f"Without a unit it is a note on the evening ({of_evening}).",
        _numbered(students),
        "Units:" if units else "",
        _numbered([f"{title} ({code})" for code, title in units]),
    )


def _noted(what: EntryFacts, impression: Impression) -> str:
    return f"  Kept: {entry_in_words(what)}{f': {impression}' if impression else ''}."


def _what_is_left(units: Sequence[tuple[str, str]]) -> str:
    listed = [f"  {number:>2}  {title}" for number, (_, title) in enumerate(units, start=1)]
    return _lines("Which units were not finished, and need another evening?", *listed)


def _said_before(unfinished: Sequence[str]) -> str:
    told = "everything was done"
    if unfinished:
        was = plural(len(unfinished), "was", "were")
        told = f"{listed(map(unmistakable, unfinished))} {was} not finished"
    return f"Of the joint lesson you have said already: {told}."


def _not_finished(noted: Sequence[str]) -> str:
    so_far = f"so far: {', '.join(map(unmistakable, noted))}"
    return f"Not finished ({so_far if noted else 'numbers; Enter: everything was done'}): "


def _closed(group: str, ahead: date | None) -> str:
    return f"\n{group}: closed; {f'next on {shown_day(ahead)}' if ahead else 'the last evening of the plan'}."


def _moved(changes: Sequence[PlanDifference], titles: Mapping[str, str]) -> str:
    return _lines(*(f"  {line}" for line in differences_in_words(changes, titles)))


def _catch_up(absent: Sequence[str], missed: Sequence[str]) -> str:
    return f"  To catch up: {', '.join(absent)} missed {', '.join(map(unmistakable, missed))}."


def _half_logged(student: str, sheet: str, items: Sequence[int]) -> str:
    missing = f"{plural(len(items), 'is', 'are')} missing"
    return f"  Half logged: {counted_off('item', items)} of sheet {sheet} of {student} {missing}."


def _bring_back(student: str, units: Sequence[ReviewAdvice]) -> str:
    due = ", ".join(f"{unmistakable(each.unit_title)} ({last_time(each)})" for each in units)
    return f"    {student}: {due}"


_PLAY_OUTS_HELP = """\
  How it went: {ends}; or a number alone, if the goal was reached in so many moves.
  Or all the moves, from the position on the card: 1. Qc5 Kd3 2. Qe5 ... Then coachbook judges them.
  Who played: the number in the list (1: stalemate), or a name and the code on the card."""
_NOTES_HELP = """\
  Type who, the unit, a colon, and what you saw. Notes help you; only + or - counts as seen."""

_WORDS: dict[Say, str | Callable[..., str]] = {
    Say.BLANK: "",
    Say.NUMBERED: lambda names: _numbered(names),
    Say.KEPT: _kept,
    Say.KEEP: "Keep these?",
    Say.TYPE_KEEP: lambda other: f"  Type {', '.join(('y', *other))} or n.",
    Say.GO_ON: _go_on,
    Say.PLAN_ANEW: "Replan these evenings?",
    Say.TAKE_BACK: "Take it back?",
    Say.BUILD: "Build it now?",
    Say.REMOVE: "Remove it?",
    Say.LETTERS_RIGHT: "Is that right?",
    Say.TAKE_LAST: lambda day, group, last: (
        f"No evening is planned today, {shown_day(day)}, for {group}. Take the last, {shown_day(last)}?"
    ),
    Say.CLOSE_EVENING: lambda on: f"Close the evening of {day_in_words(on)}?",
    Say.LOG_ANYWAY: _log_anyway,
    Say.WHO_IS_ABSENT: lambda group, on: (
        f"{group} on {shown_day(on)}: who is absent? Numbers or names, with commas between."
    ),
    Say.ABSENT: "Absent (Enter: all are there): ",
    Say.STILL_ABSENT: _still_absent,
    Say.THERE: lambda there, of, absent: f"There: {there} of {of}. Absent: {names_or_nobody(absent)}.",
    Say.TYPED_ABSENT: "who was absent",
    Say.ATTENDANCE_LOGGED: _attendance_logged,
    Say.WRONG: "Wrong (numbers or names; Enter: all is right): ",
    Say.THERE_NOW: _there_now,
    Say.TALLY: _tally,
    Say.SHEET: _sheet,
    Say.LINE: _line,
    Say.NO_ONE_BEFORE: "  This is the first student of the list.",
    Say.FEWER: _fewer,
    Say.REST: lambda blank: (
        f"  The line again (Enter: {listed_off(blank)} {plural(len(blank), 'was', 'were')} left blank): "
    ),
    Say.UNREADABLE: _unreadable,
    Say.ITEM_AGAIN: lambda back: f"  Again (Enter: the student wrote that; {back}: the whole line): ",
    Say.MARKS: _marks,
    Say.WAS: lambda item, before, now: (
        f"  Item {item}: was {before or 'left blank'}, now {now or 'left blank'}."
    ),
    Say.STOPPED: _stopped,
    Say.TYPED_ANSWERS: _answers,
    Say.NO_ANSWERS: "No answers typed.",
    Say.DROPPED: lambda answers, students: f"Not kept: {_answers(answers, students)}.",
    Say.CHOICE: _choice,
    Say.WHICH_AGAIN: "Which one again? Number or name (Enter: keep them all; drop: keep nothing): ",
    Say.ALL_LOGGED: _all_logged,
    Say.PLAY_OUTS: _play_outs,
    Say.PLAY_OUT: "Play-out (Enter: go on; ?: help): ",
    Say.PLAY_OUTS_HELP: _PLAY_OUTS_HELP.format,
    Say.PLAYED: _played,
    Say.HOW_IT_WENT: "How did it go? (mated in 14, stalemate, gave up ..., or the moves) ",
    Say.HOW_MANY_MOVES: "After how many moves? (Enter: not counted) ",
    Say.NOTES: _notes,
    Say.NOTE: "Note (Enter: go on; ?: help): ",
    Say.NOTES_HELP: _NOTES_HELP,
    Say.NOTED: _noted,
    Say.AGAIN: lambda question, text: f"{in_words(question)}{text}",
    Say.WHAT_IS_LEFT: _what_is_left,
    Say.SAID_BEFORE: _said_before,
    Say.NOT_FINISHED: _not_finished,
    Say.CLOSED: _closed,
    Say.MOVED: _moved,
    Say.MOVED_WITH_IT: lambda groups: f"  Replanned with it: {listed(groups)}.",
    Say.APART: lambda groups: (
        f"  From then on it mostly learns apart from {listed(groups)}. If they did not finish either, say so"
        " when you close their evening: then they learn together again."
    ),
    Say.CATCH_UP: _catch_up,
    Say.NOT_LOGGED: lambda student, sheet: f"  Not logged: sheet {sheet} of {student}.",
    Say.HALF_LOGGED: _half_logged,
    Say.BRING_BACK_BY: lambda on: f"  To bring back by {shown_day(on)}:",
    Say.BRING_BACK: _bring_back,
    Say.DUE_AND_FINE: lambda on, students: (
        f"  Also due by {shown_day(on)}, but right the last time: {', '.join(students)}."
    ),
}
