"""The checksum that a stored text carries: one flipped bit, and it is known to be damaged.

It is the first member of the JSON object, so that the text stays JSON. Texts that coachbook 0.1.0 wrote
have none.
"""

from hashlib import sha256

_BEGINNING = '{"sha256":"'
_LENGTH = 64


def sealed(text: str) -> str:
    """A JSON object, with the checksum of all that it says as its first member."""
    return f'{_BEGINNING}{_checksum(text)}",{text[1:]}'


def is_sealed(text: str) -> bool:
    """Whether a text carries a checksum, right or wrong."""
    return text.startswith(_BEGINNING)


def opened(text: str) -> str | None:
    """What was sealed; None if that is not what it was. A text without a checksum is given back as it is."""
    if not is_sealed(text):
        return text
    end = len(_BEGINNING) + _LENGTH
    said = f"{{{text[end + 2 :]}"
    return said if text == sealed(said) else None


def _checksum(text: str) -> str:
    return sha256(text.encode()).hexdigest()
