"""Where a text may mean a student: the name itself, and what comes near it.

Nothing is changed on the strength of this: it is shown to the coach, who decides. So it rather finds
too much: to list a word too many is a nuisance, to list one too few is a leak.
"""

import unicodedata
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise

from coachbook.club.names import JOINERS, name_key, plain_key

_WORDS = """
a an and are as at be but by can did do for go had has have he her him his i in is it me my no not of on
or out she so some the then there these they this to up us was we were with you
al da das de den der di do dos du el la le les lo van von
art august april autumn bill chance chase cliff dale daisy dawn drew earl early east eve faith fern
fleet forest frank gale gene grace grant green grey guy hall harmony hope hunter iris ivy jack jade jewel
joy june lily long march mark marks may mercy miles north olive pat patience pearl penny ray rich rob
robin rose ruby sage sandy short skip sky south sterling storm summer sunny trinity victor violet wade
west will wills win winter wood young
bishop black board box castle check draw king knight mate pawn piece queen rook white
"""

ORDINARY = frozenset(_WORDS.split())
"""In lower case, without accents."""


_UNSPACED = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
"""Scripts that write words, or the little words after a name, without a space (by Unicode's letter names)."""

Place = tuple[int, int]
"""Where a name starts in a text, and where what follows it starts."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a text, from `start` to before `end`, that names a student, or (if not `is_exact`)
    may do so."""

    start: int
    end: int
    is_exact: bool


def whole_names(text: str, name: str, others: Iterable[str] = ()) -> list[Place]:
    """Each place where a text holds a name, whatever its case, spaces and Unicode form.

    It is there as a word (as `name_key` has it); within a longer name of the `others` it is theirs.
    Where a script puts no spaces between words, a name of two letters or more is found anywhere.
    """
    key = _key(name)
    if not key or key not in _key(text):
        return []
    longer = (other for other in others if key != _key(other) and key in _key(other))
    theirs = [place for other in longer for place in whole_names(text, other)]
    return [
        (start, after)
        for start, after in _words(text, *_folded(text), key)
        if not any(begin <= start and after <= end for begin, end in theirs)
    ]


def with_replaced(text: str, spans: Iterable[Span], by: str) -> str:
    """The text with each of the spans, which are in order, replaced."""
    end = 0
    parts = []
    for span in spans:
        parts += [text[end : span.start], by]
        end = span.end
    return "".join([*parts, text[end:]])


_key = lru_cache(maxsize=10_000)(name_key)


@lru_cache(maxsize=10_000)
def words_of(text: str) -> tuple[Place, ...]:
    """Where each word of a text is: letters and digits with what belongs to them."""
    places = []
    for is_word, signs in groupby(enumerate(text), lambda sign: is_of_a_word(sign[1])):
        if is_word:
            found = [at for at, _ in signs]
            places.append((found[0], found[-1] + 1))
    return tuple(places)


def is_unspaced(sign: str) -> bool:
    """Whether a letter is of a script that puts no spaces between words, or before little words."""
    return unicodedata.name(sign, "").startswith(_UNSPACED)


def _words(text: str, folded: str, starts: list[int | None], key: str) -> Iterator[Place]:
    at = folded.find(key)
    while at >= 0:
        start, after = starts[at], starts[at + len(key)]
        if start is not None and after is not None and _is_word(text, start, after):
            yield start, after
            at = folded.find(key, at + len(key))
        else:
            at = folded.find(key, at + 1)


def _folded(text: str) -> tuple[str, list[int | None]]:
    """The text as `name_key` would have it, and where each of its letters starts in the text; None
    for one that is the continuation of another. The last entry is the text's length."""
    folded, starts = "", list[int | None]()
    for start, piece in _letters(text):
        space = "" if folded.endswith(" ") else " "
        key = space if piece.isspace() else name_key(piece)
        folded += key
        starts += [start, *[None] * (len(key) - 1)] if key else []
    return folded, [*starts, len(text)]


def _letters(text: str) -> Iterator[tuple[int, str]]:
    """Each letter with the marks that belong to it, and where it starts."""
    start = 0
    for at in range(1, len(text) + 1):
        if at == len(text) or not _belongs_to_the_letter_before(text[at]):
            yield start, text[start:at]
            start = at


def _belongs_to_the_letter_before(sign: str) -> bool:
    is_rest_of_syllable = "\u1160" <= sign <= "\u11ff"  # Korean, written in its parts
    return is_rest_of_syllable or sign in JOINERS or unicodedata.category(sign).startswith("M")


def _is_word(text: str, start: int, after: int) -> bool:
    word = text[start:after]
    is_single = len(list(_letters(word))) == 1
    return not (
        (start > 0 and _are_joined(text[start - 1], word[0], is_single))
        or (after < len(text) and _are_joined(word[-1], text[after], is_single))
    )


def _are_joined(left: str, right: str, is_single: bool) -> bool:
    if not (is_of_a_word(left) and is_of_a_word(right)):
        return False
    return is_single or not (is_unspaced(left) or is_unspaced(right))


def is_of_a_word(sign: str) -> bool:
    """Whether a sign is a letter, a digit, or a mark on one."""
    return sign.isalnum() or unicodedata.category(sign).startswith("M") or sign in JOINERS


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
