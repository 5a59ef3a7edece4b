"""The games at the boards of an evening. They stay until the next evening's first game; what comes of one is
a play-out in the log."""

from datetime import UTC, date

from sqlmodel import col, delete, select, update
from sqlmodel.sql.expression import Select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import BoardGameRow, StudentRow
from coachbook.club.stored import stored_numbers
from coachbook.errors import CoachbookError
from coachbook.model.play_outs import BoardGame


def add_game(tx: Writing, game: BoardGame) -> None:
    """A new game; those of earlier evenings go. Its times are aware."""
    tx.session.exec(delete(BoardGameRow).where(col(BoardGameRow.evening) < game.on))
    row = BoardGameRow(
        id=game.number,
        student_id=game.student_id,
        evening=game.on,
        unit=game.unit,
        play_out=game.play_out,
        mirrored=game.mirrored,
        moves=" ".join(game.moves),
        clocks=" ".join(map(str, game.clocks)),
        begun_at=game.begun_at.astimezone(UTC),
        moved_at=game.moved_at.astimezone(UTC),
        stopped=game.stopped,
        entry_id=game.entry,
    )
    tx.session.add(row)
    tx.session.flush()


def game_numbered(tx: Reading, number: int) -> BoardGame:
    """The game with this number. Raises CoachbookError if there is none."""
    found = tx.session.exec(_games().where(BoardGameRow.id == number)).first()
    if found is None:
        raise CoachbookError("This game is no longer here.", "Touch your name again.")
    return _game(*found)


def games_on(tx: Reading, on: date, student: int | None = None) -> list[BoardGame]:
    """The games of an evening, of a student (by id) if one is named, in the order in which they began."""
    found = (
        _games().where(BoardGameRow.evening == on).order_by(col(BoardGameRow.begun_at), col(BoardGameRow.id))
    )
    if student is not None:
        found = found.where(BoardGameRow.student_id == student)
    return [_game(row, name) for row, name in tx.session.exec(found)]


def keep_moves(tx: Writing, game: BoardGame) -> None:
    """A game as it is now: its moves, whether it was stopped, and where it is logged."""
    now = {
        "moves": " ".join(game.moves),
        "clocks": " ".join(map(str, game.clocks)),
        "moved_at": game.moved_at.astimezone(UTC),
        "stopped": game.stopped,
        "entry_id": game.entry,
    }
    tx.session.exec(update(BoardGameRow).where(col(BoardGameRow.id) == game.number).values(now))


def _games() -> Select[BoardGameRow, str]:
    return select(BoardGameRow, StudentRow.name).join(StudentRow)


def _game(row: BoardGameRow, name: str) -> BoardGame:
    return BoardGame(
        number=row.id,
        student_id=row.student_id,
        student=name,
        on=row.evening,
        unit=row.unit,
        play_out=row.play_out,
        mirrored=row.mirrored,
        begun_at=row.begun_at,
        moved_at=row.moved_at,
        moves=tuple(row.moves.split()),
        clocks=stored_numbers(row.clocks),
        stopped=row.stopped,
        entry=row.entry_id,
    )
