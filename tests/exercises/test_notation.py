"""Moves are read as children write them wherever there is no doubt, and never where there is."""

import random

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.exercises.notation import NoMove, read_moves, says_none
from tests.exercises.written import LETTERS, moves_of_other_side, named, ways_to_write

UNREADABLE, ILLEGAL, OTHER_SIDE = NoMove.UNREADABLE, NoMove.ILLEGAL, NoMove.OTHER_SIDE

QUEEN = "8/8/8/8/3Q4/8/8/K1k5 w - - 0 1"
TWO_ROOKS = "8/8/8/8/k7/8/8/1R4RK w - - 0 1"
BISHOP_AND_PAWNS = "r3k3/1P6/8/8/2p5/1P6/4B3/R3K2R w KQ - 0 1"
EN_PASSANT = "8/8/8/2pP4/8/8/k1K5/8 w - c6 0 1"

FIGURINES = dict(zip("KQRBN", "♔♕♖♗♘", strict=True))
BLACK_FIGURINES = dict(zip("KQRBN", "♚♛♜♝♞", strict=True))
PIECE_WORDS = {"K": "King", "Q": "queen", "R": "Rook", "B": "bishop", "N": "knight"}

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def read(fen: str, written: str, letters: str | None = None) -> list[str]:
    """Each part of a text as a move's name, or why it is none."""
    board = chess.Board(fen)
    moves = read_moves(board, written, letters)
    return [str(move) if isinstance(move, NoMove) else board.san(move) for move in moves]


@pytest.mark.parametrize(
    "written",
    [
        *("Qe5", "qe5", "QE5", "qE5", " Qe5 ", "Qe5.", "Qe5!", "Qe5??", "Qe5+", "Qe5++", "Qe5#", "(Qe5)"),
        *(
            "Q e5",
            "Q e 5",
            "Qe 5",
            "q  e5",
            "Q-e5",
            "Q:e5",
            "Qxe5",
            "QXE5",
            "Q x e5",
            "Q \N{MULTIPLICATION SIGN} e5",
        ),
        *("Queen e5", "queen to e5", "Queen takes e5", "queen on e5", "QUEEN E5"),
        *("♕e5", "♛e5", "♕ e5", "♕\ufe0ee5", "♛\ufe0fe5"),
        *("Qe5 mate", "Qe5mate", "Qe5, mate", "Qe5 checkmate", "Qe5 is mate", "Qe5 check", "Qe5 ch", "Qe5†"),
        *("Qe5 check mate", "Qe5 stale mate", "Qe5, check-mate!", "Qe5 with check", "Qe5 gives check"),
        *("Qe5 mates", "Qe5 checks", "Qe5 and mate", "Qe5..", "Qe5...", "Qe5!!", "Qe5?!", "Qe5!.", "Qe5.#"),
        *("Qd4e5", "Qd4-e5", "Qd4 - e5", "Qd4\N{EN DASH}e5", "d4e5", "d4-e5", "d4 to e5", "d4 x e5"),
        *("D4E5", "D4-E5", "D4 - E5", "D4 to E5", "D4xE5", "D4\N{EN DASH}E5", "QD4-E5", "D4-E5+", "D4E5!"),
        *("Qde5", "Q4e5", "1. Qe5", "1.Qe5", "1) Qe5", "1 Qe5", "1: Qe5", "12... Qe5", "1… Qe5"),
    ],
)
def test_the_queens_move_is_understood(written: str) -> None:
    assert read(QUEEN, written) == ["Qe5"]


@pytest.mark.parametrize(
    "written",
    [
        *("Qe5, Ka2", "Qe5 Ka2", "Qe5; Ka2", "Qe5 and Ka2", "Qe5 or Ka2", "Qe5 & Ka2", "Qe5/Ka2", "Qe5\nKa2"),
        *("1. Qe5 2. Ka2", "1) Qe5 2) Ka2", "1 Qe5 2 Ka2", "- Qe5\n- Ka2", "Qe5+ and Ka2#", "Q e5 K a2"),
        *("queen e5, king a2", "♕e5♔a2", "Qe5 mate, Ka2 mate", "Qe5 + Ka2", "Qe5,Ka2,", "• Qe5 • Ka2"),
    ],
)
def test_lists_are_taken_apart(written: str) -> None:
    assert read(QUEEN, written) == ["Qe5", "Ka2"]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("bc4", "bxc4"),  # as chess is written: small letters are files
        ("bxc4", "bxc4"),
        ("b3c4", "bxc4"),
        ("Bc4", "Bxc4"),  # large letters are pieces
        ("BXC4", "Bxc4"),
        ("bishop takes c4", "Bxc4"),
        ("bd3", "Bd3"),  # no pawn can go there
        ("b4", "b4"),
        ("B4", "b4"),
        ("pawn b4", "b4"),
        ("pawn to b4", "b4"),
        ("Pb4", "b4"),
        ("♙b4", "b4"),
        ("bb4", ILLEGAL),  # no pawn's move is written so, and the bishop can't go there
        ("b8=Q", "b8=Q+"),
        ("b8Q", "b8=Q+"),
        ("b8q", "b8=Q+"),
        ("b8 = Q", "b8=Q+"),
        ("b8 Q", "b8=Q+"),
        ("b8(Q)", "b8=Q+"),
        ("b8/Q", "b8=Q+"),
        ("b8=queen", "b8=Q+"),
        ("b8 queen", "b8=Q+"),
        ("b8=N", "b8=N"),
        ("b8b", "b8=B"),
        ("b7b8r", "b8=R+"),
        ("b7-b8=R", "b8=R+"),
        ("ba8=N", "bxa8=N"),
        ("bxa8 N", "bxa8=N"),
        ("b8", UNREADABLE),  # into what?
        ("b8=K", UNREADABLE),
        ("Rb8", OTHER_SIDE),
        ("O-O", "O-O"),
        ("0-0", "O-O"),
        ("o-o", "O-O"),
        ("O\N{EN DASH}O", "O-O"),
        ("0-0+", "O-O"),
        ("1. 0-0.", "O-O"),
        ("Kg1", "O-O"),
        ("e1g1", "O-O"),
        ("O-O-O", "O-O-O"),
        ("0-0-0", "O-O-O"),
        ("Ke1c1", "O-O-O"),
        ("castles", UNREADABLE),  # which side?
    ],
)
def test_pawns_bishops_promotions_and_castling_are_told_apart(written: str, meant: str) -> None:
    assert read(BISHOP_AND_PAWNS, written) == [meant]


@pytest.mark.parametrize("written", ["dxc6", "dc6", "d5c6", "dxc6 e.p.", "dxc6ep", "d5 takes c6", "dxc6 e.p"])
def test_taking_en_passant_is_understood(written: str) -> None:
    assert read(EN_PASSANT, written) == ["dxc6"]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Rbd1", "Rbd1"),
        ("rbd1", "Rbd1"),
        ("Rb1d1", "Rbd1"),
        ("b1-d1", "Rbd1"),
        ("Rd1", UNREADABLE),  # both rooks can go there
        ("d1", UNREADABLE),
        ("Rg8", "Rg8"),
        ("g8", "Rg8"),  # without pawns, and only one man can go there
    ],
)
def test_one_of_two_rooks_must_be_named(written: str, meant: str) -> None:
    assert read(TWO_ROOKS, written) == [meant]


def test_a_square_alone_is_a_pawns_move_while_there_are_pawns() -> None:
    assert read("8/8/8/8/3Q4/8/P7/K1k5 w - - 0 1", "e5 a4") == [ILLEGAL, "a4"]
    assert read(QUEEN, "e5") == ["Qe5"]


@pytest.mark.parametrize(
    ("fen", "written", "meant"),
    [
        ("8/8/8/3k4/8/8/1K6/8 w - - 0 1", "B2C3 B2-C3 B2-B4", "Kc3 Kc3 illegal"),
        ("4k3/8/8/8/8/4K3/1B6/8 w - - 0 1", "B2C3 B2-C3", "Bc3 Bc3"),
        ("4k3/8/8/8/8/4K3/3B4/8 w - - 0 1", "B2C3", "Bc3"),  # the bishop on the second rank
        ("4k3/8/8/8/8/1K6/1R1B4/8 w - - 0 1", "B2B1 B2C3 B2C2", "Rb1 Bc3 Rc2"),
        ("4k3/8/8/8/8/4K3/1Q1B4/8 w - - 0 1", "B2C3 b2c3 B2c3", "unreadable Qc3 Bc3"),
        ("4k3/1P6/8/8/8/8/8/4K3 w - - 0 1", "B7B8Q B7-B8=N B7B8", "b8=Q+ b8=N unreadable"),
    ],
)
def test_squares_in_capitals_are_read_where_they_mean_one_move(fen: str, written: str, meant: str) -> None:
    assert read(fen, written) == meant.split()


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("e8=Q", "e8=Q+"),
        *(("e8Q#", "e8=Q+"), ("e8(Q)+", "e8=Q+"), ("e7-e8=Q!", "e8=Q+"), ("E7E8Q", "e8=Q+")),
        ("e8♕.", "e8=Q+"),
        *(("Ke1-e2", "Ke2"), ("ke1-e2", "Ke2"), ("e1-e2", "Ke2"), ("E1-E2", "Ke2"), ("♔e1-e2", "Ke2")),
    ],
)
def test_long_names_and_promotions_are_read(written: str, meant: str) -> None:
    assert read("7k/4P3/8/8/8/8/8/4K3 w - - 0 1", written) == [meant]


@pytest.mark.parametrize("written", ["Dh1", "dh1", "Da4", "DH1", "Ce5", "Dxe5", "DE5", "Ta5", "Hh8", "dd4"])
def test_what_is_perhaps_a_move_in_other_letters_is_unreadable(written: str) -> None:
    """A capital is a man's letter, and no pawn goes from the d-file to the h-file."""
    assert read("8/8/8/3k4/8/8/3Q4/K7 w - - 0 1", written) == [UNREADABLE]


def test_a_pawns_move_is_read_with_a_capital_too() -> None:
    assert (
        read("4k3/8/8/4p3/3P4/8/8/4K3 w - - 0 1", "Dxe5 DE5 D5 dxe5 de5")
        == ["dxe5", "dxe5", "d5"] + ["dxe5"] * 2
    )
    assert read("4k3/8/8/8/3P4/8/8/4K3 w - - 0 1", "dxe5 cxd5 D6") == [ILLEGAL] * 3


@pytest.mark.parametrize(
    "written",
    [
        *("Q", "Q5", "5e", "Qe9", "Qi5", "Q5e", "hello", "Qe5e", "not mate", "yes", "7", "Qe5-Kb1", "e"),
        *("--Q", "Qe5Qf6", "P", "xx", "Qqe5", "ee", "Kelvin"),
    ],
)
def test_what_says_no_move_is_unreadable(written: str) -> None:
    assert UNREADABLE in read(QUEEN, written)


@pytest.mark.parametrize("written", ["Qe6", "Ka3", "Re5", "Qd4d4", "a1a1", "d4e6", "O-O", "Qd3e4", "Kb1"])
def test_a_move_that_the_rules_forbid_is_illegal(written: str) -> None:
    assert read(QUEEN, written) == [ILLEGAL]


@pytest.mark.parametrize("written", ["Qe5 6", "Qe5 not mate", "Qe5 Q", "don't play Qe5", "Qe5 no"])
def test_what_is_left_over_is_not_dropped(written: str) -> None:
    assert UNREADABLE in read(QUEEN, written)


@pytest.mark.parametrize("written", ["", " ", "mate", "+", "...", "- -"])
def test_signs_and_remarks_alone_are_no_moves(written: str) -> None:
    assert read(QUEEN, written) == []


@pytest.mark.parametrize(
    "written", ["-", "\N{EN DASH}", "\N{EM DASH}", "--", "none", "None", "NO", " no move ", "nothing"]
)
def test_a_dash_or_a_word_says_that_there_is_none(written: str) -> None:
    assert says_none(written)


@pytest.mark.parametrize("written", ["", "?", "Qe5", "no Qe5", "not", "- Qe5"])
def test_nothing_else_says_that_there_is_none(written: str) -> None:
    assert not says_none(written)


@pytest.mark.parametrize(
    ("letters", "written"),
    [
        *(("KDTLS", way) for way in ("De5", "DE5", "de5", "D e5", "D-e5", "Dxe5+", "Dd4-e5", "1. De5#")),
        *(("KDTLS", way) for way in ("Qe5", "qe5", "queen e5", "♕e5", "♛e5", "d4e5", "e5")),
        *(("RDTAC", "De5"), ("KHWGS", "he5"), ("ŞVKFA", "ve5"), ("ЦДТОК", "Дe5"), ("王后車象馬", "后e5")),
    ],
)
def test_a_club_may_have_its_own_letters(letters: str, written: str) -> None:
    assert read(QUEEN, written, letters) == ["Qe5"]


@pytest.mark.parametrize(
    ("letters", "written", "meant"),
    [
        ("RDTAC", "Rc3", "Kc3"),  # R is the king; a rook could go there too
        (None, "Rc3", "Rc3"),
        ("RDTAC", "Rg1", "Rg1#"),  # he can't go there: the English rook
        ("RDTAC", "Tc3", "Rc3"),
        ("RDTAC", "rook c3, ♖c3", "Rc3 Rc3"),
        ("RDTAC", "Kc3", "Kc3"),
        ("ŞVKFA", "Kc3", "Rc3"),  # K is the rook
        ("ŞVKFA", "king c3", "Kc3"),
        ("ŞVKFA", "Şc3", "Kc3"),
        ("KDTLS", "Rh5", ILLEGAL),
        ("KDTLS", "Sc3", ILLEGAL),
        ("KDTLS", "Wc3", UNREADABLE),
    ],
)
def test_the_clubs_letters_come_first_and_english_ones_where_they_give_no_move(
    letters: str | None, written: str, meant: str
) -> None:
    assert read("8/8/8/8/8/1K4R1/8/k7 w - - 0 1", written, letters) == meant.split()


def test_what_means_two_moves_by_the_clubs_letters_is_not_read_as_english() -> None:
    assert read("8/8/8/8/k7/8/2K5/1R4R1 w - - 0 1", "Kd1 Kbd1", "ŞVKFA") == [UNREADABLE, "Rbd1"]


@pytest.mark.parametrize(
    ("letters", "written", "meant"),
    [
        ("KDTLP", "Pd2", "Nd2"),  # P is the knight
        ("KDTLP", "Pb4", "b4"),
        ("KVBFH", "Bc4", ILLEGAL),  # B is the rook
        ("KVBFH", "bc4", "bxc4"),  # small letters are files
        ("KVBFH", "b8=V b8B b8f b8 H", "b8=Q+ b8=R+ b8=B b8=N"),
        ("KVBFH", "b8=Q", "b8=Q+"),
    ],
)
def test_letters_that_are_files_pawns_or_other_men_are_told_apart(
    letters: str, written: str, meant: str
) -> None:
    assert read("4k3/1P6/8/8/2p5/1P6/8/1N2K3 w - - 0 1", written, letters) == meant.split()


@pytest.mark.parametrize(
    ("fen", "written", "meant"),
    [
        ("8/8/8/8/3Q4/8/8/K1k5 b - - 0 1", "Qe5 d4e5 Kb1 Ka2 Kc2", "theirs theirs illegal theirs Kc2"),
        ("8/8/8/3k4/8/8/P7/K7 b - - 0 1", "a3 a2a4 pawn a4 Kb1 b1", "theirs theirs theirs theirs illegal"),
        ("8/8/8/3k4/8/8/P7/K7 b - - 0 1", "Qa3 c6 Kc6", "illegal Kc6 Kc6"),
        ("8/8/8/8/8/8/3r4/k1K5 w - - 0 1", "Rd1 Rd8 Rc2", "theirs theirs theirs"),
        ("8/8/8/8/8/8/8/k1K4r w - - 0 1", "Rxc1 Rd1 Rh2", "illegal theirs theirs"),  # nobody takes a king
    ],
)
def test_a_move_of_the_other_side_is_told_apart_if_its_man_is_named(
    fen: str, written: str, meant: str
) -> None:
    assert read(fen, written) == [{"theirs": OTHER_SIDE}.get(each, each) for each in meant.split()]


def _position(seed: int) -> chess.Board:
    """A legal position with a legal move: out of a game, or out of play with a few men."""
    chance = random.Random(seed)  # noqa: S311 - a choice of positions, not a secret
    board = chess.Board() if chance.randrange(2) else _few_men(chance)
    for _ in range(chance.randrange(60)):
        board.push(chance.choice(list(board.legal_moves)))
        if not any(board.legal_moves):
            board.pop()
            break
    return board


def _few_men(chance: random.Random) -> chess.Board:
    while True:
        board = chess.Board(None)
        men = ["K", "k", *chance.choices("QRRBBNNPPPqrbnpp", k=chance.randint(1, 8))]
        for man, square in zip(men, chance.sample(chess.SQUARES, len(men)), strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(man))
        if board.is_valid() and any(board.legal_moves):
            return board


positions = st.builds(_position, st.integers(0, 10**9))


def _some_moves(board: chess.Board, seed: int) -> list[chess.Move]:
    """Four legal moves, perhaps with repeats."""
    return random.Random(seed).choices(list(board.legal_moves), k=4)  # noqa: S311 - not a secret


def _in_words(san: str, names: dict[str, str], join: str = "") -> str:
    return names[san[0]] + join + san[1:] if san[0] in names else san


def _bare(name: str) -> str:
    return name.translate(str.maketrans("", "", "x+#="))


def _ways(board: chess.Board, move: chess.Move) -> set[str]:
    san, uci = board.san(move), move.uci()
    ways = {
        *(
            san,
            san.rstrip("+#"),
            _bare(san),
            san.replace("=", ""),
            san.replace("x", ":"),
            san.replace("O", "0"),
        ),
        *(f"7. {san}", f"{san} mate", uci, board.lan(move)),
        *(_in_words(san, FIGURINES), _in_words(san, BLACK_FIGURINES), _in_words(san, PIECE_WORDS, " ")),
    }
    if len(_bare(san)) == 3 and san[0] in PIECE_WORDS:
        ways |= {_in_words(_bare(san), PIECE_WORDS, " to "), " ".join(_bare(san))}
    return ways if _is_bishops_too(board, move) else {*ways, uci.upper()}


def _is_bishops_too(board: chess.Board, move: chess.Move) -> bool:
    """Whether its squares in capitals may also mean another move, of a bishop."""
    return move.uci()[0] == "b" and any(
        board.piece_type_at(other.from_square) == chess.BISHOP
        and other.to_square == move.to_square
        and chess.square_rank(other.from_square) == chess.square_rank(move.from_square)
        for other in board.legal_moves
        if other != move
    )


@FEW
@given(positions, st.integers())
def test_every_legal_move_is_read_in_every_common_notation(board: chess.Board, seed: int) -> None:
    for move in _some_moves(board, seed):
        ways = _ways(board, move)
        assert {way: read_moves(board, way) for way in ways} == dict.fromkeys(ways, (move,))


@FEW
@given(positions)
def test_small_letters_are_enough_unless_another_move_is_written_so(board: chess.Board) -> None:
    written = {move: {move.uci(), _bare(board.san(move))} for move in board.legal_moves}
    for move in board.legal_moves:
        small = board.san(move).lower()
        if not any(_bare(small) in ways for other, ways in written.items() if other != move):
            assert read_moves(board, small) == (move,)


@given(positions, st.sampled_from([", ", " ", "; ", " and ", "\n", " / ", " & ", ",", " + "]), st.integers())
def test_every_list_of_moves_is_read(board: chess.Board, separator: str, seed: int) -> None:
    moves = _some_moves(board, seed)
    assert read_moves(board, separator.join(map(board.san, moves))) == tuple(moves)


@FEW
@given(positions, st.sampled_from(LETTERS), st.integers())
def test_every_legal_move_is_read_in_the_letters_of_every_club(
    board: chess.Board, letters: str | None, seed: int
) -> None:
    for move in _some_moves(board, seed):
        ways = ways_to_write(board, move.uci(), letters)
        assert {way: read_moves(board, way, letters) for way in ways} == dict.fromkeys(ways, (move,))


@FEW
@given(positions, st.sampled_from(LETTERS))
def test_every_move_of_the_other_side_is_told_apart(board: chess.Board, letters: str | None) -> None:
    for move, san in moves_of_other_side(board).items():
        for way in (named(san, letters), move.uci()):
            assert read_moves(board, way, letters) == (OTHER_SIDE,)


chess_text = st.text(alphabet="KQRBNPkqrbnpabcdefgh12345678xX:=-+#. ,/O0oto♕♝DTLSAC", max_size=12)
any_letters = st.none() | st.sampled_from(LETTERS) | st.text(max_size=6)


@given(positions, st.text() | chess_text, any_letters)
def test_any_text_is_read_as_legal_moves_or_none(
    board: chess.Board, written: str, letters: str | None
) -> None:
    says_none(written)
    for move in read_moves(board, written, letters):
        assert isinstance(move, NoMove) or move in board.legal_moves
