"""What a new plan changes, evening by evening, in words."""

from collections.abc import Mapping

from coachbook.model.term import TermPlan
from coachbook.term.told import shape, told_evenings


def differences(old: TermPlan, new: TermPlan, titles: Mapping[str, str]) -> tuple[str, ...]:
    """One line for each evening that changed, then what fits no longer or fits now; none if nothing
    changed. `titles` gives the titles of unit codes."""
    before, after = told_evenings(old, titles), told_evenings(new, titles)
    shapes = {session.on: shape(session) for session in old.sessions}
    lines, other_minutes = [], []
    for session in new.sessions:
        was, now = before.get(session.on), after[session.on]
        if was is None:
            lines.append(f"{session.on}: now {now}")
        elif was != now:
            lines.append(f"{session.on}: was {was}, now {now}")
        elif shapes[session.on] != shape(session):
            other_minutes.append(str(session.on))
    lines += [f"{on}: was {was}, now cancelled" for on, was in before.items() if on not in after]
    lines += _locks(old, new)
    lines.sort()
    if other_minutes:
        lines.append(f"As before, with other minutes: {', '.join(other_minutes)}")
    return (*lines, *_joined_and_left(old, new, titles))


def _locks(old: TermPlan, new: TermPlan) -> list[str]:
    locked = {session.on: session.locked for session in old.sessions}
    return [
        f"{session.on}: {'locked' if session.locked else 'no longer locked'}"
        for session in new.sessions
        if session.locked != locked.get(session.on, session.locked)
    ]


def _joined_and_left(old: TermPlan, new: TermPlan, titles: Mapping[str, str]) -> list[str]:
    left = [titles.get(code, code) for code in new.left_over if code not in old.left_over]
    joined = [
        titles.get(code, code)
        for code in old.left_over
        if code not in new.left_over and code not in new.known
    ]
    lines = [f"No longer fits: {', '.join(left)}."] if left else []
    return [*lines, f"Fits now: {', '.join(joined)}."] if joined else lines
