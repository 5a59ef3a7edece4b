"""Where a text may mean a student: the name itself, and what comes near it.

Nothing is changed on the strength of this: it is shown to the coach, who decides. So it rather finds
too much: to list a word too many is a nuisance, to list one too few is a leak.
"""

import unicodedata
from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

from coachbook.club.mentions import Place, Span, is_unspaced, whole_names, words_of
from coachbook.club.names import JOINERS, name_key, plain_key
from coachbook.club.ordinary import ORDINARY

_BETWEEN = " ,.'\N{RIGHT SINGLE QUOTATION MARK}-_"
"""What may stand between the words of one name, as in "Okafor, Mina"."""

_WRITTEN_OUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})
_ENDINGS = "a\N{CYRILLIC SMALL LETTER A}\N{CYRILLIC SMALL LETTER YA}"
"""Last letters of a name that give way to another ending ("Hana", "Hany")."""

_CONNECTS, _COUNTS = 1, 2


# The same notes stand in every backup, and the same answers on many sheets.
@lru_cache(maxsize=100_000)
def find_spans(text: str, name: str, others: tuple[str, ...] = ()) -> tuple[Span, ...]:
    """Where a text names a student, or may do so, in order.

    Exact is the whole name: in any case if it has several words, else with the capitals that it has.
    Near misses are: other capitals; the name without its accents, or with an ending ("Minas"); one
    of its words alone, also joined or in another order ("Okafor, Mina"). Left out are initials and
    particles alone, ordinary words with a small letter ("White will win" says nothing of Will), and
    where the whole name of one of the `others` stands.
    """
    whole = []
    for start, end in whole_names(text, name, others):
        piece = text[start:end]
        if _is_ordinary(piece) and not _is_spelt_so(piece, name):
            continue
        is_as_written = _is_spelt_so(piece, name) or len(words_of(name)) > 1
        whole.append(Span(start, end, is_as_written and not _is_ordinary(piece)))
    near = _near(text, name, others, [(span.start, span.end) for span in whole])
    return tuple(sorted([*whole, *near], key=lambda span: span.start))


def _near(text: str, name: str, others: Iterable[str], taken: Sequence[Place]) -> list[Span]:
    parts = _parts_of(name)
    weights = {place: _weight_of(text[slice(*place)], name) for place in words_of(text)}
    found = {place: weight for place, weight in weights.items() if weight}
    found |= dict.fromkeys(_apart(_in_unspaced(text, name), found), _COUNTS)
    if _COUNTS not in found.values():
        return []
    left = _apart(sorted(found), [*taken, *_theirs(text, name, others, parts)])
    return [
        Span(group[0][0], group[-1][1], is_exact=False)
        for group in _side_by_side(text, left, len(words_of(name)))
        if any(found[place] == _COUNTS for place in group)
    ]


def _theirs(text: str, name: str, others: Iterable[str], parts: "_Parts") -> list[Place]:
    """Where names of others stand; not those that are no more than a word of this one."""
    apart = (other for other in others if name_key(other) != name_key(name) and not parts.are_no_less(other))
    return [place for other in apart for place in whole_names(text, other)]


def _side_by_side(text: str, places: Sequence[Place], most: int) -> list[list[Place]]:
    """Words that make one mention, such as "Okafor, Mina": no more of them than the name has."""
    groups = [[place] for place in places[:1]]
    for (_, end), place in pairwise(places):
        gap = text[end : place[0]]
        if len(groups[-1]) < most and len(gap) <= len(", ") and not gap.strip(_BETWEEN):
            groups[-1].append(place)
        else:
            groups.append([place])
    return groups


def _in_unspaced(text: str, name: str) -> list[Place]:
    """Two letters or more of the beginning or the end of a name, where no spaces tell words apart."""
    places: list[Place] = []
    for word in (name[start:end] for start, end in words_of(name)):
        if is_unspaced(word[0]):
            pieces = {word[:size] for size in range(2, len(word) + 1)}
            pieces |= {word[-size:] for size in range(2, len(word))}
            for piece in sorted(pieces, key=len, reverse=True):
                places += _apart(whole_names(text, piece), places)
    return places


def _apart(places: Iterable[Place], taken: Collection[Place]) -> list[Place]:
    """Those of the places that overlap with none that is taken."""
    return [
        (start, end)
        for start, end in places
        if not any(begin < end and start < after for begin, after in taken)
    ]


class _Parts:
    """The words of a name, and how much a word of a text is like them."""

    def __init__(self, name: str) -> None:
        words = [name[start:end] for start, end in words_of(name)]
        self._connecting = {form for word in words for form in _forms(word)}
        alone = [word for word in words if _counts_alone(word, name)]
        self._counting = {form for word in alone for form in _forms(word)}
        if len(words) > 1:
            self._counting |= {*_forms("".join(words)), *_forms("".join(reversed(words)))}

    def weight(self, word: str) -> int:
        """_COUNTS if the word may mean the student, _CONNECTS if only beside one that may, else 0."""
        forms = _forms(word)
        is_ordinary = _is_ordinary(word)
        if forms & self._counting and not is_ordinary:
            return _COUNTS
        if forms & self._connecting:
            return _CONNECTS
        if forms & ORDINARY:
            return 0
        inflected = any(_is_inflected(form, part, word) for form in forms for part in self._counting)
        return _COUNTS if inflected else 0

    def are_no_less(self, other: str) -> bool:
        """Whether another name is one of these words."""
        return bool(_forms(other) & self._counting)


@lru_cache(maxsize=1000)
def _parts_of(name: str) -> _Parts:
    return _Parts(name)


@lru_cache(maxsize=100_000)
def _weight_of(word: str, name: str) -> int:
    return _parts_of(name).weight(word)


def _counts_alone(word: str, name: str) -> bool:
    """Not an initial, a number, or a particle such as the "van" of a name that has capitals elsewhere."""
    is_particle = word[0].islower() and not name.islower()
    return len(name_key(word)) > 1 and not word.isdigit() and not is_particle


@lru_cache(maxsize=100_000)
def _forms(word: str) -> frozenset[str]:
    """The word without accents, and with the letters that are written in their place ("ue" for "ü")."""
    composed = unicodedata.normalize("NFC", word).casefold()
    return frozenset((plain_key(word), plain_key(composed.translate(_WRITTEN_OUT))))


def _is_inflected(form: str, part: str, word: str) -> bool:
    if form in (f"{part}s", f"{part}es"):
        return True
    if len(part) < 3 or word[0].islower():
        return False
    if word.lower() == word.upper():  # a script without capitals, where little words may come before
        return part in form and len(form) <= len(part) + 2
    stem = part[:-1] if len(part) > 3 and part[-1] in _ENDINGS else part
    return form.startswith(stem) and len(stem) < len(form) <= len(part) + 2


def _is_ordinary(piece: str) -> bool:
    words = [piece[start:end] for start, end in words_of(piece)]
    return all(word.islower() and word in ORDINARY for word in words)


def _is_spelt_so(piece: str, name: str) -> bool:
    return _without_joiners(piece) == _without_joiners(name)


def _without_joiners(text: str) -> str:
    seen = "".join(sign for sign in " ".join(text.split()) if sign not in JOINERS)
    return unicodedata.normalize("NFC", seen)
