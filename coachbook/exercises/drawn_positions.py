"""Positions of an ending that is too large for a survey: taken by chance, kept if they suit.

The men are placed by chance in batches of columns, so that the themes look at many positions at once; of
those that suit the tables on disk are asked one by one. Where a theme names a picture, all its positions are
found once, and chance takes some. What is asked of a method's rules comes up in games in which the method is
followed. The chance is a seed's, the same on every machine.
"""

import random
from collections import Counter, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import factorial, prod

import chess
import numpy as np

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import Result, probe
from coachbook.endgame.space import WHITE, Space
from coachbook.endgame.symmetry import turned_board, turns
from coachbook.endgame.tables import shared_tables
from coachbook.exercises.places import Mask, Placed, Squares
from coachbook.exercises.themes import standing
from coachbook.exercises.themes_of_men import every_of
from coachbook.method.border import fits, to_board
from coachbook.method.graph import explore, look_at
from coachbook.method.positions import Positions, king_steps
from coachbook.method.rules import Method
from coachbook.method.starts import canonical, decode
from coachbook.model.known_themes import Themes

_BATCH = 10_000
"""Positions that are placed at once."""
_PICTURED = 100
"""The same, where all positions of a picture are known."""
_FEW = 4
"""So many are taken of those before one position, for they are much alike."""
_MOST_BATCHES = 200
"""So many without a position that suits, one after the other, and the search ends."""
_MOST_OF_OTHERS = 2_000
"""So many positions that are worth something else, one after the other, and the search ends."""


def is_drawn_from(ending: str) -> bool:
    """Whether an ending such as "KRPKR" is too large for a survey."""
    return parse_material(ending).men > shared_tables().most_men


@dataclass
class Drawn:
    """The positions of an ending with one side to move that suit the themes, in an order of chance.

    If `before` is set, the themes (but whose move it is) are about the position, or as often about what a
    move of this side's king or another piece leads to.

    Whoever asks for those that White wins leaves the draws to who asks for them, and the other way round.
    `batches` counts those taken so far, `suiting` about how many positions there would be by each of them,
    added up, and `worth` those that were asked of, by whether White wins; None where Black does.
    """

    ending: str
    side: int
    themes: Themes
    chance: random.Random
    before: bool = False
    batches: int = 0
    suiting: float = 0
    worth: Counter[bool | None] = field(default_factory=Counter)
    _waiting: dict[bool, deque[chess.Board]] = field(default_factory=lambda: {True: deque(), False: deque()})
    _boards: Iterator[chess.Board] = field(init=False)

    def __post_init__(self) -> None:
        self._boards = self._suiting()

    def won(self, *, by_white: bool) -> Iterator[chess.Board]:
        """The positions that White wins with best play, or the draws; not always of different classes. Ends
        when none is found for long.

        Raises UnknownEndingError if the tables of the ending are not built.
        """
        waiting = self._waiting[by_white]
        while waiting or self._search(by_white):
            yield waiting.popleft()

    def _search(self, by_white: bool) -> bool:
        """Draw until a position waits that White wins, or one that is a draw; False if none is found."""
        for _ in range(_MOST_OF_OTHERS):
            board = next(self._boards, None)
            if board is None:
                return False
            worth = _is_won_by_white(board)
            self.worth[worth] += 1
            if worth is not None:
                self._waiting[worth].append(board)
            if self._waiting[by_white]:
                return True
        return False

    def estimate(self, *, by_white: bool) -> int:
        """About how many such positions there are (two digits of it), those turned or mirrored counted
        once, by what was drawn so far; 0 if nothing was. If `before` is set, one from which several moves
        lead there counts several times."""
        share = self.worth[by_white] / max(1, self.worth.total())
        return round(float(f"{self.suiting * share / max(1, self.batches):.2g}"))

    def _suiting(self) -> Iterator[chess.Board]:
        """Legal positions in which nothing can be taken, and whose men stand as the themes say; or those
        before them."""
        source, after = _source(self.ending, self.side, self.themes), None
        if self.before:
            led_to = tuple(theme for theme in self.themes if theme[0] != "to_move")
            after = _source(self.ending, 1 - self.side, led_to)
        empty = 0
        while empty < _MOST_BATCHES:
            boards = source.batch(self.chance)
            self.suiting += len(boards) * source.weight
            if after is not None:
                led_from = [_before(board, self.chance) for board in after.batch(self.chance)]
                self.suiting += sum(map(len, led_from)) * after.weight
                boards += [board for each in led_from for board in each[:_FEW]]
                self.chance.shuffle(boards)
            self.batches += 1
            yield from boards
            empty = 0 if boards else empty + 1


@dataclass(frozen=True, slots=True)
class _Source:
    """Where positions are taken from, and the themes that are still to be looked at; each that is taken
    stands for `weight` of them, those turned or mirrored counted once."""

    space: Space
    side: int
    themes: Themes
    pictured: Squares | None

    @property
    def weight(self) -> float:
        if self.pictured is not None:
            return len(self.pictured) / _PICTURED
        looks = 2 if self.space.material.has_pawns else 8
        alike = Counter((man.letter, man.side) for man in self.space.men)
        every = 64.0 ** (len(self.space.men) + 2) / (looks * prod(map(factorial, alike.values())))
        return every / _BATCH

    def batch(self, chance: random.Random) -> list[chess.Board]:
        """Those of a batch that suit and are quiet."""
        squares = (
            _placed_men(self.space, chance) if self.pictured is None else _some_of(self.pictured, chance)
        )
        suit = squares[standing(Placed(self.space, self.side, squares), self.themes)]
        return list(filter(_is_quiet, (_board_of(self.space, self.side, row) for row in suit)))


def _source(ending: str, side: int, themes: Themes) -> _Source:
    pictures = dict(themes).get("picture")
    others = tuple(theme for theme in themes if theme[0] != "picture")
    pictured = None if pictures is None else every_of(ending, side, str(pictures))
    return _Source(Space(parse_material(ending)), side, others, pictured)


def _some_of(pictured: Squares, chance: random.Random) -> Squares:
    """A batch of these positions, on either wing; none if there are none."""
    taken = [pictured[chance.randrange(len(pictured))] for _ in range(_PICTURED if len(pictured) else 0)]
    mirrors = [chance.choice((0, 7)) for _ in taken]
    squares = np.array(taken, dtype=np.intp).reshape(len(taken), pictured.shape[1])
    return squares ^ np.array(mirrors, dtype=np.intp)[:, None]


def _before(board: chess.Board, chance: random.Random) -> list[chess.Board]:
    """Quiet positions from which a move leads here that is no pawn's, and takes nothing."""
    found = []
    for to in chess.SquareSet(board.occupied_co[not board.turn] & ~board.pawns):
        for start in board.attacks(to) - chess.SquareSet(board.occupied):
            then = board.copy(stack=False)
            then.turn = not board.turn
            then.set_piece_at(start, then.remove_piece_at(to))
            found.append(then)
    return list(filter(_is_quiet, chance.sample(found, len(found))))


def _is_won_by_white(board: chess.Board) -> bool | None:
    """Or a draw; None if Black wins."""
    result = probe(board).result
    if result is Result.DRAW:
        return False
    return True if board.turn == (result is Result.WIN) else None


def _placed_men(space: Space, chance: random.Random) -> Squares:
    """A batch of men by chance, as of `Placed`, without those that no board can show."""
    men = len(space.men) + 2
    numbers = np.frombuffer(chance.randbytes(_BATCH * men), dtype=np.uint8) & 63
    squares = numbers.reshape(_BATCH, men).astype(np.intp)
    return squares[_can_be(space, squares)]


def _can_be(space: Space, squares: Squares) -> Mask:
    """Whether all stand on squares of their own, the kings apart, no pawn on the first or the last rank."""
    in_order = np.sort(squares, axis=1)
    found: Mask = (np.diff(in_order, axis=1) > 0).all(axis=1) & (
        king_steps(squares[:, 0], squares[:, -1]) > 1
    )
    for man in space.men:
        if man.is_pawn:
            found &= ~np.isin(squares[:, man.axis] // 8, (0, 7))
    return found


def _board_of(space: Space, side: int, squares: Sequence[int]) -> chess.Board:
    board = chess.Board(None)
    board.turn = side == WHITE
    men = [
        chess.Piece.from_symbol(man.letter if man.side == WHITE else man.letter.lower()) for man in space.men
    ]
    kings = [chess.Piece(chess.KING, side) for side in chess.COLORS]
    for square, man in zip(squares, (kings[0], *men, kings[1]), strict=True):
        board.set_piece_at(int(square), man)
    return board


def _is_quiet(board: chess.Board) -> bool:
    """Whether a position is legal and nothing can be taken: by chance a man hangs in most, and nobody needs
    to think there."""
    return board.is_valid() and not any(board.generate_legal_captures())


def played(method: Method, pieces: str, chance: random.Random) -> Iterator[chess.Board]:
    """Positions with the method's side to move from games by chance, each rule in turn, as they come; without
    end. Not always of different classes.

    A game begins where the method is proven, and ends where the men are no longer those of the ending.
    `pieces` are all men but the kings, as a method calls its ending.
    """
    starts = method.starts(pieces)
    waiting: list[list[Positions]] = [[] for _ in method.rules]
    while True:
        start = chance.randrange(len(starts))
        for rule, position in _game(method, decode(pieces, starts[start : start + 1]), chance):
            waiting[rule].append(position)
        for positions in waiting:
            if positions:
                board = to_board(positions.pop(chance.randrange(len(positions))), 0)
                yield turned_board(board, chance.choice(turns(board)))


def _game(method: Method, now: Positions, chance: random.Random) -> Iterator[tuple[int, Positions]]:
    """The positions of one game, and the number of the rule that decides in each. One of its tied moves is
    made each time; the other side makes any move, or as often one of those that hold out longest."""
    graph = explore(method, now.pieces, canonical(now))
    while fits(to_board(now, 0), method):
        turn = look_at(method, graph, now)
        yield turn.rule, now
        own = chance.randrange(len(turn.moves.of))
        replies = np.flatnonzero(turn.replies.of == own)
        if not len(replies):
            return
        longest = replies[turn.lengths[replies] == turn.lengths[replies].max()]
        now = turn.after(int(chance.choice(longest if chance.random() < _STUBBORN else replies)))


_STUBBORN = 0.5
