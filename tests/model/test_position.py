"""A position in FEN says who is to move: nobody guesses it."""

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.position import check_names_side, names_side

PIECES = "8/8/8/4k3/8/8/2R5/K7"


@pytest.mark.parametrize(
    "fen", [PIECES, f" {PIECES} ", f"{PIECES} - -", f"{PIECES} W - -", f"{PIECES} white"]
)
def test_a_fen_without_a_side_is_refused_in_one_clear_line(fen: str) -> None:
    assert not names_side(fen)
    with pytest.raises(CoachbookError) as refused:
        check_names_side(fen)
    assert str(refused.value) == (
        f"'{fen.strip()}' does not say who is to move."
        " Add ' w' after the pieces for White, or ' b' for Black."
    )


@pytest.mark.parametrize("fen", [f"{PIECES} w - - 0 1", f"{PIECES} b", f"  {PIECES}  w - -", f"{PIECES} w"])
def test_a_fen_with_a_side_is_let_through(fen: str) -> None:
    assert names_side(fen)
    check_names_side(fen)


@pytest.mark.parametrize("text", ["", "rubbish", "8/8/8/8 w", "8/8/8/8", "a/b", "[FEN]", "e4 e5"])
def test_what_is_no_position_at_all_is_for_others_to_refuse(text: str) -> None:
    assert names_side(text)
    check_names_side(text)
