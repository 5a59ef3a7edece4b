"""The sentences that plans of version 0.1.0 hold as reasons, and the codes that stand for them now.

Read when a book is brought up to date, and where a group is renamed in a copy of an earlier version.
"""

import re
from collections.abc import Iterator

_PHRASES = {
    "review of earlier evenings comes first": "review",
    "nobody is due: a short warm-up on earlier evenings": "nobody due",
    "worksheet on what is new": "worksheet",
    "play-outs of what is new": "play-outs",
    "minutes to spare: play-outs of what the group knows": "spare cards",
    "minutes to spare: games among themselves": "spare games",
    "a quiet sheet on what the group knows": "quiet sheet",
    "games among themselves": "quiet games",
    "next in the syllabus": "next",
    "again: it was planned before and not done": "again",
    "pinned to this evening by the coach": "pinned",
    "the last evening: a mixed sheet and play-outs on what was taught": "last evening",
    "for a late start, a long question and tidying up": "buffer",
}
_BUILDS_ON = "; builds on "
_WITH_OTHERS = " while the coach is with "
_NUMBERED = {
    "goes on": re.compile(r"goes on: (\d+) minutes were left"),
    "level done": re.compile(r"level (\d+) is finished: a mixed sheet and play-outs on what was taught"),
}
_DUE = re.compile(r"students due( before the next evening)?: (.+?)(?: and (\d+) more)?")
_COUNTED = re.compile(r"(.+?) \((\d+)\)(?:, |$)")
_QUOTED = re.compile("\N{LEFT DOUBLE QUOTATION MARK}(.*?)\N{RIGHT DOUBLE QUOTATION MARK}")

Reason = dict[str, object]
"""A `model.term_plan.Reason` as JSON."""


def reason_of(sentence: str, groups: tuple[str, ...] = ()) -> Reason | None:
    """The reason that a sentence gives; of one that is not known, the sentence itself; None of none.

    `groups` are those that share a hall. Units are named by their titles: their codes were not kept.
    """
    if not sentence:
        return None
    found = next(_readings(sentence, groups), None)
    return found or _reason("as told", names=[sentence])


def with_group_renamed(sentence: str, old: str, new: str) -> str:
    """A sentence that names groups, with another name for one of them."""
    doing, phrase, groups = sentence.partition(_WITH_OTHERS)
    return doing + phrase + re.sub(rf"(?<!\w){re.escape(old)}(?!\w)", lambda _: new, groups)


def _readings(sentence: str, groups: tuple[str, ...]) -> Iterator[Reason]:
    if sentence in _PHRASES:
        yield _reason(_PHRASES[sentence])
    for why, pattern in _NUMBERED.items():
        if found := pattern.fullmatch(sentence):
            yield _reason(why, number=int(found[1]))
    for phrase, names_in in (
        (_BUILDS_ON, _QUOTED.findall),
        (_WITH_OTHERS, lambda text: _named(text, groups)),
    ):
        doing, named, names = sentence.partition(phrase)
        if named and doing in _PHRASES:
            yield _reason(_PHRASES[doing], names=names_in(names))
    if due := _DUE.fullmatch(sentence):
        counts = [[title, int(count)] for title, count in _COUNTED.findall(due[2])]
        yield _reason("students due", number=int(due[3] or 0), counts=counts, before_next=bool(due[1]))


def _named(text: str, groups: tuple[str, ...]) -> list[str]:
    """The groups in "Owls and Foxes"; the longest first, as one may be called that."""
    found = (
        re.findall("|".join(map(re.escape, sorted(groups, key=len, reverse=True))), text) if groups else []
    )
    return found if " and ".join(found) == text else [text]


def _reason(
    why: str,
    number: int = 0,
    names: list[str] | None = None,
    counts: list[list[str | int]] | None = None,
    *,
    before_next: bool = False,
) -> Reason:
    return {
        "why": why,
        "number": number,
        "names": names or [],
        "counts": counts or [],
        "before_next": before_next,
    }
