import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.material import Material, material_of, parse_material, sort_letters
from coachbook.endgame.tables import all_materials
from coachbook.errors import CoachbookError

sides = st.text("QRBNP", max_size=4).map(sort_letters)
materials = st.builds(Material, sides, sides)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("KQKR", "KQKR"),
        ("krkq", "KQKR"),
        ("KNBK", "KBNK"),
        ("KPKBN", "KBNKP"),
        ("queen v rook", "KQKR"),
        ("king and queen vs. king", "KQK"),
        ("king, bishop and knight vs king", "KBNK"),
        ("bishop and knight against king", "KBNK"),
        ("two bishops v king", "KBBK"),
        ("bishops v king", "KBBK"),
        ("Rook and two pawns versus rook", "KRPPKR"),
        ("three knights v king", "KNNNK"),
        ("pawn v pawn", "KPKP"),
        ("king v king", "KK"),
    ],
)
def test_an_ending_is_named_by_letters_or_in_words(text: str, name: str) -> None:
    assert parse_material(text).name == name


@pytest.mark.parametrize(
    "text",
    [
        "",
        "KQ",
        "QKR",
        "KQKRK",
        "KXK",
        "dog",
        "queen rook",
        "queen v rook v pawn",
        "queen v dog",
        "dog v king",
    ],
)
def test_anything_else_is_refused_by_name(text: str) -> None:
    with pytest.raises(CoachbookError, match=f"'{text}' is not the name of an ending"):
        parse_material(text)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("KQK", "king and queen against king"),
        ("KBNK", "king, bishop and knight against king"),
        ("KRRK", "king and two rooks against king"),
        ("KQPPKR", "king, queen and two pawns against king and rook"),
        ("KK", "king against king"),
    ],
)
def test_an_ending_reads_well(name: str, words: str) -> None:
    assert parse_material(name).in_words == words


@given(materials)
def test_its_name_and_its_words_lead_back_to_an_ending(material: Material) -> None:
    assert parse_material(material.name) == material.canonical
    assert parse_material(material.in_words) == material.canonical


@given(materials)
def test_exchanged_colours_have_the_same_stronger_side(material: Material) -> None:
    assert material.flipped.canonical == material.canonical
    assert material.flipped.flipped == material
    assert material.men == material.flipped.men == len(material.name)


def test_a_board_shows_its_material_whatever_the_colours() -> None:
    board = chess.Board("8/1p6/8/4k3/8/3n4/8/K2RQ3 w - - 0 1")
    assert material_of(board) == Material("QR", "NP")
    assert material_of(board.mirror()) == Material("NP", "QR")


def test_there_are_5_endings_of_three_men_30_of_four_and_110_of_five() -> None:
    # combinations: 5; 15 two against none and 15 one against one; 35 three against none, 75 two against one
    sizes = [material.men for material in all_materials(5)]
    assert [sizes.count(men) for men in (3, 4, 5)] == [5, 30, 110]
    assert sizes == sorted(sizes)
    assert len(set(all_materials(5))) == len(sizes)
