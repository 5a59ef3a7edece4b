"""Where answers disagree with the scale of difficulty, and how much was compared to find it."""

from coachbook.model.scale import Against, Band, Disagreement, ScaleCheck
from coachbook.wording.counting import times

_SENTENCES = {
    Against.HIGHER_IS_EASIER: (
        "{kind}: {points} went better ({share}) than {other_points} ({other_share}). The higher numbers may"
        " be too high, or the lower ones too low."
    ),
    Against.EASIER_THAN_OTHERS: (
        "{kind}: {points} went better ({share}) than other kinds of the same numbers ({other_share}). Its"
        " numbers may be too high there."
    ),
    Against.HARDER_THAN_OTHERS: (
        "{kind}: {points} went worse ({share}) than other kinds of the same numbers ({other_share}). Its"
        " numbers may be too low there."
    ),
}


def disagreement_in_words(found: Disagreement) -> str:
    """Such as "every_mate: 41 to 60 went better (90% of 40) than 21 to 40 (60% of 50). ..."."""
    return _SENTENCES[found.against].format(
        kind=found.band.kind,
        points=band_in_words(found.band),
        share=_share(found.band),
        other_points=band_in_words(found.other),
        other_share=_share(found.other),
    )


def band_in_words(band: Band) -> str:
    """Such as "21 to 40"."""
    return f"{band.easiest} to {band.hardest}"


def comparisons_in_words(check: ScaleCheck) -> str:
    """How much was compared, and how much of it would differ by chance; or that there was too little."""
    if not check.comparisons:
        return f"There are too few answers to compare anything: it takes {check.fewest} on both sides."
    alone = f"{check.comparisons * check.by_chance:.2g}"
    return (
        f"Compared {times(check.comparisons)}, with {check.fewest} answers or more on both sides. Chance"
        f" alone would bring about {alone} such differences ({check.by_chance:.0%} each time)."
    )


def _share(band: Band) -> str:
    return f"{band.share:.0%} of {band.answers}"
