"""A child who keeps to the words of a card, and leaves the rest to chance, mates all the same."""

from dataclasses import replace

import chess
import numpy as np
import pytest

from coachbook.method.border import to_board
from coachbook.method.hold_king_and_pawn import HOLD_KING_AND_PAWN
from coachbook.method.loose import GAMES, MOST_MOVES, LooseGames, by_its_card, follow_loosely
from coachbook.method.methods import all_methods
from coachbook.method.moves import Aim
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import decode
from coachbook.wording.method_words import CARD_WORDS, rule_name
from coachbook.workflows.endings import proof_line, shipped_proofs
from tests.exercises.naive_methods import decide
from tests.exercises.naive_pawn import by_card
from tests.method import naive_bridge

WINNING = [method for method in all_methods() if method.aim is not Aim.DRAW]
ENDINGS = [pytest.param(method, ending, id=ending) for method in WINNING for ending in method.endings]
MOST_WORDS = 15


@pytest.mark.parametrize("code", CARD_WORDS)
def test_a_card_says_a_rule_in_fifteen_words(code: str) -> None:
    assert len(CARD_WORDS[code].split()) <= MOST_WORDS


@pytest.mark.parametrize("method", all_methods(), ids=lambda method: str(method.name))
def test_every_rule_of_a_method_has_words_for_a_card(method: Method) -> None:
    assert all(rule.code in CARD_WORDS or len(rule.words.split()) <= MOST_WORDS for rule in method.told)


@pytest.mark.full
@pytest.mark.parametrize(("method", "ending"), ENDINGS)
def test_the_follower_plays_the_moves_that_the_words_of_the_card_allow(method: Method, ending: str) -> None:
    codes = np.random.default_rng(5).choice(method.starts(ending), 60)
    positions = decode(ending, codes)
    choice = choose_all(by_its_card(method), positions)
    for row in range(len(codes)):
        board = to_board(positions, row)
        after = choice.moves.after.take(choice.moves.of == row)
        found = {to_board(after, each, attacker_moves=False).board_fen() for each in range(len(after))}
        rule, moves = _by_card(board, ending)
        assert found == {_after(board, move).replace("Q", "P" if "P" in ending else "Q") for move in moves}
        assert method.rules[choice.rule[row]].name == rule


def _by_card(board: chess.Board, ending: str) -> tuple[str, set[str]]:
    if ending == "RPr":
        code, moves = naive_bridge.decide(board, by_card=True)
        return rule_name(code), moves
    return by_card(board.fen()) if ending == "P" else decide(board.fen(), by_card=True)


def _after(board: chess.Board, move: str) -> str:
    after = board.copy(stack=False)
    after.push_uci(move)
    return after.board_fen()


@pytest.mark.parametrize(("method", "ending"), ENDINGS)
def test_by_the_words_of_the_card_every_game_is_mate_and_nearly_every_pawn_a_queen(
    method: Method, ending: str
) -> None:
    found = follow_loosely(method, ending, games=400, seed=7)
    assert found.games == 400
    assert found.reached >= (400 if method.aim is Aim.MATE else 0.98 * 400)
    assert found.longest <= MOST_MOVES


def test_by_the_words_of_its_card_most_draws_are_held_and_without_their_order_fewer() -> None:
    """A slip is punished at once: what is not held is lost by the tables."""
    found = follow_loosely(HOLD_KING_AND_PAWN, "P", games=1500, seed=7)
    assert found.reached >= 0.98 * found.games
    assert found.longest == 0
    rules = HOLD_KING_AND_PAWN.rules
    turned_round = replace(HOLD_KING_AND_PAWN, rules=(rules[0], *reversed(rules[1:])))
    assert follow_loosely(turned_round, "P", games=1500, seed=7).reached < found.reached


@pytest.mark.long
@pytest.mark.parametrize(
    ("method", "ending", "share"),
    [
        *(pytest.param(method, ending, 0.99, id=ending) for method in WINNING for ending in method.endings),
        (HOLD_KING_AND_PAWN, "P", 0.99),
    ],
)
def test_the_figures_that_came_with_coachbook_are_those_of_the_games(
    method: Method, ending: str, share: float
) -> None:
    proof = next(proof for proof in shipped_proofs(method.name) if proof.ending == ending)
    assert proof.loosely == follow_loosely(method, ending)
    assert proof.loosely.games == GAMES == 20_000
    assert proof.loosely.reached >= share * GAMES


def test_without_what_its_card_says_of_the_king_the_queen_does_not_mate() -> None:
    """The king that walks about keeps the box, and comes no nearer."""
    rules = tuple(replace(rule, loosely=()) for rule in QUEEN_BOX.rules)
    found = follow_loosely(replace(QUEEN_BOX, rules=rules), "Q", games=400)
    assert found.reached < 0.9 * found.games


def test_the_same_seed_gives_the_same_games() -> None:
    assert follow_loosely(QUEEN_BOX, "Q", 50, seed=3) == follow_loosely(QUEEN_BOX, "Q", 50, seed=3)


def test_a_coach_is_told_what_the_figure_means() -> None:
    assert "it mates in 99 of 100 games within 50 moves" in LooseGames(1000, 999, 50).in_words(Aim.MATE)
    assert "makes a safe queen in 99 of 100" in LooseGames(1000, 999, 50).in_words(Aim.QUEEN)
    assert "wins a rook, in 100 of 100 games within 50 moves, against replies by chance" in LooseGames(
        1000, 1000, 9
    ).in_words(Aim.QUEEN_OR_ROOK)
    assert "it holds 98 of 100 games" in LooseGames(1000, 981, 0).in_words(Aim.DRAW)
    for method in all_methods():
        assert "by the words of the card alone" in proof_line(method.name)
