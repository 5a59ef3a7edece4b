"""Which modules decide something for the coach, and the quick tests that are to notice if they decide
otherwise.

Everything else about the mutants follows from this list. Only what is decided is changed: not what an error
says, and no type.
"""

from dataclasses import dataclass

SHARE_CAUGHT = 0.85


@dataclass(frozen=True, slots=True)
class Part:
    """Modules, and folders or files of tests; `modules` may hold `*`.

    Of a part that takes too long, only changes with names like `sample` are tried, the same ones each time;
    all of them if EVERY_MUTANT is set.
    """

    name: str
    modules: tuple[str, ...]
    tests: tuple[str, ...]
    sample: str = "*"


PARTS = (
    Part("progress", ("coachbook/progress/*.py",), ("tests/progress",)),
    Part("term", ("coachbook/term/*.py",), ("tests/term",)),
    Part(
        "workflows",
        (
            "coachbook/workflows/closing.py",
            "coachbook/workflows/evening_needs.py",
            "coachbook/workflows/evening_to_log.py",
            "coachbook/workflows/planning.py",
            "coachbook/workflows/preparing.py",
            "coachbook/workflows/replanning.py",
            "coachbook/workflows/reports.py",
            "coachbook/workflows/review_papers.py",
            "coachbook/workflows/sheet_making.py",
            "coachbook/workflows/standings.py",
        ),
        (
            "tests/workflows/test_club_reports.py",
            "tests/workflows/test_evening_files.py",
            "tests/workflows/test_given_by_plan.py",
            "tests/workflows/test_group_overview.py",
            "tests/workflows/test_moving_on.py",
            "tests/workflows/test_planning.py",
            "tests/workflows/test_preparing.py",
            "tests/workflows/test_review_papers.py",
            "tests/workflows/test_sheet_codes.py",
            "tests/workflows/test_sheets.py",
            "tests/workflows/test_terms.py",
            "tests/workflows/test_tonight.py",
            "tests/workflows/test_typed_sheets.py",
            "tests/workflows/test_what_is_given.py",
            "tests/workflows/test_what_to_log.py",
            "tests/workflows/test_which_evening.py",
        ),
        sample="*[147]",
    ),
)

EVERY_MUTANT = "COACHBOOK_EVERY_MUTANT"

NOT_CHANGED = (r"\braise \w+\(", r"Error\($")
"""Lines with a call that is left as it is, by pattern: the words of an error are no decision."""
