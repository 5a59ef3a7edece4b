"""Shares of right answers: how far a few answers can be relied on, and whether two shares differ.

Both estimates take answers as independent of each other, which those of one student are not: they are surer
than they should be.
"""

from math import erfc, sqrt
from statistics import NormalDist

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
