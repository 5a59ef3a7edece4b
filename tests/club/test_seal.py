"""Whatever bit of a stored text flips, it is known to be damaged."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.club.stored import is_sealed, opened, sealed

texts = st.dictionaries(st.text(min_size=1), st.text(), min_size=1).map(
    lambda said: json.dumps(said, ensure_ascii=False, separators=(",", ":"))
)


@given(texts)
def test_what_was_sealed_comes_back_and_is_json_with_a_member_more(text: str) -> None:
    assert opened(sealed(text)) == text
    assert is_sealed(sealed(text))
    assert json.loads(sealed(text)) == json.loads(text) | {"sha256": sealed(text)[11:75]}


@given(texts, st.data())
def test_no_flipped_bit_is_taken_for_what_was_written(text: str, data: st.DataObject) -> None:
    kept = bytearray(sealed(text).encode())
    kept[data.draw(st.integers(0, len(kept) - 1))] ^= 1 << data.draw(st.integers(0, 7))
    try:
        damaged = kept.decode()
    except UnicodeDecodeError:
        return  # which SQLite's driver tells
    assert opened(damaged) in (None, damaged)
    assert opened(damaged) is None or not is_sealed(damaged)


@pytest.mark.parametrize("text", ["", "{", '{"code":"QB-1"}'])
def test_a_text_without_a_checksum_is_given_back_as_it_is(text: str) -> None:
    assert not is_sealed(text)
    assert opened(text) == text


@pytest.mark.parametrize("text", ['{"sha256":"', '{"sha256":"0"}', '{"sha256":""}'])
def test_half_a_checksum_is_none(text: str) -> None:
    assert opened(text) is None
