"""Letters that papers cannot have: which they are, and what stands there instead."""

from collections.abc import Sequence

_MOST = 20


def lacking_in_words(letters: Sequence[str]) -> str:
    """In one line; "" if there is none."""
    if not letters:
        return ""
    more = f" and {len(letters) - _MOST} more" if len(letters) > _MOST else ""
    return (
        f"No font of coachbook's has {' '.join(letters[:_MOST])}{more}:"
        " on paper a question mark stands for each."
    )
