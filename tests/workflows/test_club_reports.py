"""What reports say of a student and of a term."""

import chess
import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.endgame.probe import probe
from coachbook.errors import CoachbookError
from coachbook.model.facts import PlayOutEnd
from coachbook.workflows.reports import family_report, term_summary
from tests.workflows.foxes import (
    AIMS,
    FIRST,
    FOURTH,
    SECOND,
    START,
    SYLLABUS,
    THIRD,
    TITLES,
    answered,
    played,
    present,
    week,
)


def test_what_comes_next_builds_only_on_what_was_begun(foxes: Book) -> None:
    assert family_report(foxes, SYLLABUS, "Ana", START).next_up == (AIMS[FIRST],)
    answered(foxes, "Ana", FIRST, START)
    assert family_report(foxes, SYLLABUS, "Ana", week(1)).next_up == (AIMS[SECOND],)


def test_at_most_two_things_come_next(foxes: Book) -> None:
    for unit in SYLLABUS.units[:-1:2]:
        answered(foxes, "Ana", unit.code, START)
    told = family_report(foxes, SYLLABUS, "Ana", START).next_up
    assert told == (AIMS[SECOND], AIMS[FOURTH])


def secure(book: Book, unit: str, until: int = 0) -> None:
    for number in (until - 1, until):
        answered(book, "Ana", unit, week(number))


def test_a_family_reads_what_is_held_what_fades_and_what_is_in_hand(foxes: Book) -> None:
    secure(foxes, FIRST)
    secure(foxes, SECOND, until=-60)
    answered(foxes, "Ana", FOURTH, START)
    answered(foxes, "Bo", THIRD, START)
    present(foxes, week(-1), Ana=True, Bo=True)
    present(foxes, START, Ana=True, Bo=False)
    present(foxes, week(1), Ana=True, Bo=True)
    told = family_report(foxes, SYLLABUS, "ana", START)
    assert (told.club, told.student, told.on, told.evenings) == ("Hill Street", "Ana", START, 2)
    assert (told.can, told.fading, told.working) == ((AIMS[FIRST],), (AIMS[SECOND],), (AIMS[FOURTH],))
    assert family_report(foxes, SYLLABUS, "Bo", START).evenings == 1


def test_a_family_reads_a_first_success_a_tenth_and_a_perfect_one(foxes: Book) -> None:
    unit = SYLLABUS.unit("queen-box")
    optimum = probe(chess.Board(unit.play_outs[0].fen)).moves
    assert optimum
    card, told = "PLAY-QUEEN-BOX-1", f"{unit.title}: playing it out at the board, Ana has reached the goal"

    def played_told() -> tuple[str, ...]:
        return family_report(foxes, SYLLABUS, "Ana", week(12)).played

    assert played_told() == ()
    played(foxes, "Ana", card, week(0), PlayOutEnd.STALEMATE, optimum)
    assert played_told() == ()
    played(foxes, "Ana", card, week(1), used=optimum + 3)
    assert played_told() == (f"{told} for the first time.",)
    for number in range(2, 10):
        played(foxes, "Ana", card, week(number), used=optimum + 3)
    assert played_told() == (f"{told} 9 times.",)
    played(foxes, "Ana", card, week(11), used=optimum)
    assert played_told() == (f"{told} 10 times, once as fast as anybody can.",)


def test_at_home_a_family_plays_what_fades_else_what_was_begun_last(foxes: Book) -> None:
    def at_home() -> str:
        card = family_report(foxes, SYLLABUS, "Ana", START).at_home
        return card.code if card else ""

    answered(foxes, "Ana", FIRST, START)
    assert at_home() == ""
    answered(foxes, "Ana", THIRD, START)
    assert at_home() == "PLAY-TWO-MAJORS-1"
    answered(foxes, "Ana", "queen-box", START)
    assert at_home() == "PLAY-QUEEN-BOX-1"
    secure(foxes, "rook-box", until=-60)
    played(foxes, "Ana", "PLAY-ROOK-BOX-2", week(-60))
    assert at_home() == "PLAY-ROOK-BOX-1"


def test_a_term_in_numbers_counts_what_happened_in_it(foxes: Book) -> None:
    with foxes.writing() as page:
        add_group(page, "Owls")
        add_group(page, "Nobody")
        add_student(page, "Cy", ["Owls"])
    secure(foxes, FIRST, until=-1)
    secure(foxes, FOURTH, until=2)
    answered(foxes, "Bo", FIRST, START, "++s---")
    answered(foxes, "Cy", SECOND, week(1), "+s")
    answered(foxes, "Ana", SECOND, week(9), "ss")
    played(foxes, "Ana", "PLAY-TWO-MAJORS-1", week(1))
    played(foxes, "Bo", "PLAY-TWO-MAJORS-2", week(1), PlayOutEnd.STALEMATE)
    played(foxes, "Bo", "PLAY-TWO-MAJORS-1", week(1), PlayOutEnd.STOPPED)  # tells nothing
    played(foxes, "Bo", "PLAY-TWO-MAJORS-2", week(-1))
    present(foxes, week(-1), Ana=True, Bo=True)
    present(foxes, START, Ana=True, Bo=False)
    present(foxes, week(2), Ana=True)
    present(foxes, week(9), Ana=True)
    told = term_summary(foxes, SYLLABUS, START, week(2))
    assert (told.club, told.starts_on, told.ends_on) == ("Hill Street", START, week(2))
    assert (told.students, told.groups, told.evenings) == (3, 2, 2)
    assert (told.present, told.expected) == (2, 3)
    assert (told.right, told.tried) == (15, 20)
    assert (told.play_outs, told.play_outs_within) == (2, 1)
    assert [(each.slip, each.count) for each in told.slips] == [("not tried", 3), ("stalemate", 2)]
    figures = {
        each.title: (each.level, each.secure_before, each.secure_now, each.begun, each.right, each.tried)
        for each in told.units
    }
    assert figures == {
        TITLES[FIRST]: (1, 1, 1, 2, 2, 6),
        TITLES[SECOND]: (1, 0, 0, 1, 1, 2),
        TITLES[THIRD]: (1, 0, 0, 2, 0, 0),
        TITLES[FOURTH]: (1, 0, 1, 1, 12, 12),
    }
    assert list(figures) == [TITLES[unit] for unit in (FIRST, SECOND, THIRD, FOURTH)]


def test_without_attendance_a_term_has_the_evenings_of_its_answers(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, START)
    answered(foxes, "Bo", SECOND, START)
    answered(foxes, "Bo", SECOND, week(1))
    assert term_summary(foxes, SYLLABUS, START, week(1)).evenings == 2
    assert term_summary(foxes, SYLLABUS, START, START).evenings == 1
    with pytest.raises(CoachbookError, match="before it starts"):
        term_summary(foxes, SYLLABUS, week(1), START)


def test_what_became_secure_on_the_first_day_of_a_term_was_not_so_before_it(foxes: Book) -> None:
    secure(foxes, FIRST, until=0)
    (figures,) = term_summary(foxes, SYLLABUS, START, START).units
    assert (figures.secure_before, figures.secure_now) == (0, 1)
