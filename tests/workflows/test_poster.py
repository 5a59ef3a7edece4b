"""A poster has the method's rules word for word, and boards with the move that they say."""

import re
from functools import cache, partial
from pathlib import Path

import chess
import pytest
from pypdf import PdfReader

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.border import choose
from coachbook.method.graph import Line
from coachbook.method.moves import Aim
from coachbook.method.rules import Method
from coachbook.method.teaching_order import method_names
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.workflows.endings import method_named, poster_line, shipped_proofs
from coachbook.workflows.posters import aim_pictures, make_poster, poster_boards, rule_pictures
from coachbook.workflows.standings import load_syllabus
from tests.exercises import naive_pawn
from tests.method import naive_bridge
from tests.method.plain import follows, longest_way

SYLLABUS = load_syllabus()
PROVEN = [name for name in method_names() if shipped_proofs(name)]
LONGER = {"rook-box": pytest.mark.full, "king-and-pawn": pytest.mark.full, "bridge": pytest.mark.long}
each_method = pytest.mark.parametrize("name", PROVEN)


def text_of(path: Path) -> str:
    """Of the first page, which has all rules."""
    return " ".join(PdfReader(path).pages[0].extract_text().split())


boards_of = cache(partial(poster_boards, SYLLABUS))
pictures_of = cache(rule_pictures)
"""They take long to find, and several tests look at them."""


def first_moves(method: Method, board: chess.Board) -> set[tuple[int, int]]:
    return {(move.from_square, move.to_square) for move in choose(board, method).moves}


@pytest.mark.full
@pytest.mark.parametrize(
    ("name", "size"),
    [
        pytest.param(
            name, size, marks=pytest.mark.long if (name, size) == ("bridge", PaperSize.LETTER) else ()
        )
        for name in PROVEN
        for size in PaperSize
    ],
)
def test_a_poster_has_all_rules_and_the_proof_on_its_first_page(
    tmp_path: Path, name: str, size: PaperSize
) -> None:
    path = make_poster(SYLLABUS, name, tmp_path / "new", PaperOptions(size, Notation.LETTERS))
    assert path.name == f"poster-{name}.pdf"
    text = text_of(path)
    method = method_named(name)
    assert method.title in text
    for rule in method.told:
        assert f"{rule.name.capitalize()}: {' '.join(rule.card_words.split())}" in text
    assert " ".join(poster_line(name).split()) in text
    pictures = len(pictures_of(method)) + len(aim_pictures(method))
    assert len(PdfReader(path).pages) == 1 + -(-pictures // 2)


@pytest.mark.full
@each_method
def test_each_rule_that_chooses_has_a_board_on_which_it_decides(name: str) -> None:
    method = method_named(name)
    pictures = pictures_of(method)
    assert [picture.label for picture in pictures] == [
        f"{method.number_of(rule)}" for rule in method.told if rule is not method.never
    ]
    for told in pictures:
        position, marks, caption = told.board
        board = chess.Board(position.fen)
        assert f"{method.number_of(choose(board, method).rule or method.never)}" == told.label
        (arrow,) = marks.arrows
        assert (arrow.start, arrow.end) in first_moves(method, board)
        assert caption.startswith(board.san(board.find_move(arrow.start, arrow.end)).rstrip("+#"))


def test_each_picture_of_the_pawns_card_has_a_board_that_shows_it() -> None:
    found = aim_pictures(method_named("king-and-pawn"))
    assert [each.label for each in found] == list("ABCDEF")
    for each in found:
        position, _, _ = each.board
        board = chess.Board(position.fen)
        assert each.label in naive_pawn.pictures(board)
        assert board.turn == chess.BLACK
        assert probe(board).result is Result.LOSS
    assert aim_pictures(method_named("queen-box")) == ()


def told_numbers(words: str) -> list[int]:
    """The numbers in a text, not those in squares and moves, with commas for thousands."""
    return [int(number.replace(",", "")) for number in re.findall(r"(?<![\w,])\d[\d,]*(?!\w)", words)]


@pytest.mark.parametrize(
    "name",
    [pytest.param(name, marks=LONGER.get(name, ())) for name in PROVEN],
)
def test_the_numbers_beside_the_boards_are_the_most_moves_counted_independently(name: str) -> None:
    method, known = method_named(name), dict[str, int]()
    for position, _, caption in boards_of(method):
        board = chess.Board(position.fen)
        if method.aim is Aim.DRAW:
            assert told_numbers(caption) == []
            assert probe(board).result is Result.DRAW
        else:
            most = _longest_way(board, method, known)
            assert f"{method.aim} in at most {most} moves." in caption
            assert told_numbers(caption) == [most]


def _longest_way(board: chess.Board, method: Method, known: dict[str, int]) -> int:
    by_words = method.aim is Aim.QUEEN_OR_ROOK
    return naive_bridge.longest_way(board, known) if by_words else longest_way(board, method, known)


def _ends_as_promised(line: Line, method: Method) -> bool:
    if method.aim is Aim.QUEEN_OR_ROOK:
        return naive_bridge.follows(line.fen, line.moves)
    return follows(line, method) == method.aim


@pytest.mark.full
@each_method
def test_the_hardest_board_reaches_the_longest_way_of_all_proofs_and_is_called_so_only_then(
    name: str,
) -> None:
    method, proofs = method_named(name), shipped_proofs(name)
    *taught, (position, (arrow,), hardest) = (
        (position, marks.arrows, caption) for position, marks, caption in boards_of(method)
    )
    assert len(taught) == any(unit.method == name for unit in SYLLABUS.units)
    assert not any("hardest" in caption for _, _, caption in taught)
    everywhere = all(proof.proven == proof.positions for proof in proofs)
    assert ("The hardest of all" in hardest) is (everywhere and method.aim is not Aim.DRAW)
    assert ("hardest" in hardest) is (method.aim is not Aim.DRAW)
    if method.aim is not Aim.DRAW:
        longest = max(proof.longest for proof in proofs)
        assert told_numbers(hardest) == [longest]
        (line,) = (proof.hardest for proof in proofs if proof.longest == longest)
        assert chess.Board(line.fen) == chess.Board(position.fen)
        assert line.moves[0] == chess.Move(arrow.start, arrow.end).uci()
        assert _ends_as_promised(line, method)
        assert (len(line.moves) + 1) // 2 == longest


@pytest.mark.full
@each_method
def test_every_other_number_on_a_poster_stands_in_its_rules_or_is_a_figure_of_the_proof(
    tmp_path: Path, name: str
) -> None:
    method = method_named(name)
    text = text_of(make_poster(SYLLABUS, name, tmp_path, PaperOptions(notation=Notation.LETTERS)))
    known = [*range(1, len(method.told) + 1), *told_numbers(poster_line(name))]
    known += [number for rule in method.told for number in told_numbers(rule.card_words)]
    for board in boards_of(method):
        known += [*told_numbers(board[2]), *range(1, 9)]  # The ranks are at its rim.
    assert sorted(told_numbers(text)) == sorted(known)


@each_method
def test_the_line_at_the_foot_is_the_worst_of_the_proofs(name: str) -> None:
    proofs, line = shipped_proofs(name), poster_line(name)
    if all(proof.proven == proof.positions for proof in proofs):
        assert told_numbers(line) == [max(proof.longest for proof in proofs)]
    else:
        (proof,) = proofs
        assert f"{100 * proof.proven / proof.positions:.1f} of 100" in line


@each_method
def test_the_arrow_is_a_move_that_the_method_leaves(name: str) -> None:
    method = method_named(name)
    boards = boards_of(method)
    assert boards
    for position, marks, _ in boards:
        (arrow,) = marks.arrows
        assert (arrow.start, arrow.end) in first_moves(method, chess.Board(position.fen))


def test_the_letters_are_the_reader_s(tmp_path: Path) -> None:
    text = text_of(
        make_poster(
            SYLLABUS, "two-majors", tmp_path, PaperOptions(notation=Notation.LETTERS, letters="KDTLS")
        )
    )
    assert ": T" in text or ": D" in text
    assert ": R" not in text


def test_an_unknown_method_leaves_no_folder_behind(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="There is no method"):
        make_poster(SYLLABUS, "bishop-box", tmp_path / "new", PaperOptions())
    assert not (tmp_path / "new").exists()
