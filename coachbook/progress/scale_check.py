"""Whether the scale of difficulty holds what it says, by what was answered.

Two things are expected of it: of one kind, what is called harder is not answered better; and in one band no
kind is answered better or worse than the others. Each is compared where there are answers enough. The bounds
are coachbook's own choice, no source.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import erfc, sqrt
from statistics import NormalDist

from coachbook.model.scale import Against, Answered, Band, Disagreement, ScaleCheck

WIDTH = 20
"""Points of difficulty in a band: 1 to 20, 21 to 40 and so on."""
FEWEST = 20
"""Answers on each side of a comparison."""
BY_CHANCE = 0.01
"""What differs is called a disagreement only if its chance is below."""


def check_scale(answers: Iterable[Answered], left_blank: int = 0) -> ScaleCheck:
    """The answers by kind and band, compared with the scale and with each other."""
    bands = _bands(answers)
    enough = [band for band in bands if band.answers >= FEWEST]
    pairs = [*_within_kinds(enough), *_among_kinds(enough, bands)]
    found = filter(None, (_disagreement(*pair) for pair in pairs))
    return ScaleCheck(tuple(bands), left_blank, FEWEST, len(pairs), BY_CHANCE, tuple(found))


def _bands(answers: Iterable[Answered]) -> list[Band]:
    marks: defaultdict[tuple[str, int], list[bool]] = defaultdict(list)
    for each in answers:
        marks[each.kind, (each.difficulty - 1) // WIDTH].append(each.right)
    return [_band(kind, number, sum(right), len(right)) for (kind, number), right in sorted(marks.items())]


def _band(kind: str, number: int, right: int, tried: int) -> Band:
    low, high = likely_share(right, tried)
    return Band(kind, number * WIDTH + 1, (number + 1) * WIDTH, right, tried, low, high)


def _within_kinds(enough: Sequence[Band]) -> Iterator[tuple[Band, Band]]:
    """Each band with each easier one of its kind."""
    for easier, harder in combinations(enough, 2):
        if easier.kind == harder.kind:
            yield harder, easier


def _among_kinds(enough: Sequence[Band], bands: Sequence[Band]) -> Iterator[tuple[Band, Band]]:
    """Each kind with all others together in the same band, be their answers ever so few."""
    for band in enough:
        same = [each for each in bands if each.easiest == band.easiest and each.kind != band.kind]
        right, tried = sum(each.right for each in same), sum(each.answers for each in same)
        if tried >= FEWEST:
            yield band, _band("", band.easiest // WIDTH, right, tried)


def _disagreement(band: Band, other: Band) -> Disagreement | None:
    """That of one kind what is called harder is answered worse is as it should be."""
    chance = chance_of_difference(band.right, band.answers, other.right, other.answers)
    easier = band.share > other.share
    if chance >= BY_CHANCE or (other.kind and not easier):
        return None
    if other.kind:
        return Disagreement(Against.HIGHER_IS_EASIER, band, other, chance)
    return Disagreement(
        Against.EASIER_THAN_OTHERS if easier else Against.HARDER_THAN_OTHERS, band, other, chance
    )


CONFIDENCE = 0.95


def likely_share(right: int, tried: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """The lowest and the highest share (0 to 1) that answers of which so many were right are likely to come
    from: the score interval of E. B. Wilson, "Probable inference, the law of succession, and statistical
    inference", 1927 (from memory). Without any answer all is likely."""
    if not tried:
        return 0.0, 1.0
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, weight = right / tried, z * z / tried
    middle = (share + weight / 2) / (1 + weight)
    reach = sqrt(share * (1 - share) * weight + weight * weight / 4) / (1 + weight)
    return max(0.0, middle - reach), min(1.0, middle + reach)


def chance_of_difference(right: int, tried: int, other_right: int, other_tried: int) -> float:
    """How likely (0 to 1) shares are to differ at least so much, in either direction, if both come from the
    same: the two-proportion z-test with the share of both together (textbooks, no source). There must be
    answers on both sides; it is rough for fewer than about twenty."""
    share = (right + other_right) / (tried + other_tried)
    spread = sqrt(share * (1 - share) * (1 / tried + 1 / other_tried))
    if not spread:
        return 1.0
    return erfc(abs(right / tried - other_right / other_tried) / spread / sqrt(2))
