"""What a coach should see before letters for the pieces are kept."""

from coachbook.workflows.club_settings import what_letters_mean


def test_each_man_has_its_letter() -> None:
    meaning = what_letters_mean("KDTLS")
    assert meaning.men == (("king", "K"), ("queen", "D"), ("rook", "T"), ("bishop", "L"), ("knight", "S"))
    assert (meaning.likely, meaning.careful) == (None, ())


def test_letters_of_a_language_in_another_order_are_doubted() -> None:
    assert what_letters_mean("KDTSL").likely == "KDTLS"


def test_a_letter_that_means_another_man_in_english_is_named() -> None:
    assert what_letters_mean("RDTFC").careful == (
        "Careful: R means the king; in English letters it is the rook.",
    )


def test_a_queen_before_the_king_is_named() -> None:
    assert "look swapped" in what_letters_mean("DKXYZ").careful[-1]
