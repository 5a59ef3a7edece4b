from datetime import UTC, datetime, timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.touches import KEPT, is_kept, remember
from coachbook.errors import CoachbookError

NOW = datetime(2027, 1, 12, 18, 0, tzinfo=UTC)
CODE = "0f8fad5b-d9cb-469f-a165-70867728950e"


def test_a_touch_is_known_once_it_is_in_the_book(book: Book) -> None:
    with book.writing() as w:
        assert not is_kept(w, CODE)
        remember(w, CODE, NOW)
    with book.reading() as r:
        assert is_kept(r, CODE)


def test_a_touch_whose_transaction_fails_is_not_known(book: Book) -> None:
    with pytest.raises(RuntimeError), book.writing() as w:
        remember(w, CODE, NOW)
        raise RuntimeError
    with book.reading() as r:
        assert not is_kept(r, CODE)


def test_old_touches_are_forgotten(book: Book) -> None:
    with book.writing() as w:
        remember(w, CODE, NOW)
        remember(w, CODE.replace("0", "1"), NOW + KEPT + timedelta(seconds=1))
        assert not is_kept(w, CODE)


@pytest.mark.parametrize("code", ["", "Mina", "Mina Lee is here", "a" * 65, "0f8fad5b'; --"])
def test_nothing_but_a_number_is_kept_as_a_touch(book: Book, code: str) -> None:
    with book.writing() as w, pytest.raises(CoachbookError, match="without its number"):
        remember(w, code, NOW)
