"""What DEVELOPERS.md says of adding a kind, a method and a report is enough.

Each is added to a copy of the house, just as it is said there. Then the tests that run over all kinds, all
methods or all commands pass in the copy as they are.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.authority.fetch import FOLDER_VARIABLE
from tests.paper import printed

pytestmark = pytest.mark.full

HOUSE = Path(__file__).parents[1]
EXAMPLES = Path(__file__).with_name("how_to_add")

NAMED_IN_A_UNIT = """\
[[unit.kind]]
kind = "give_mate"
easiest = 1
hardest = 100

"""
REACH = '    "give_mate": Reach(5, 95, "checks that are no mate, stalemates, no second mate"),\n'
TASK = """\
    "task_give_mate": text(
        "White can mate in one move. Write down one mate.",
        side="white",
        winner="white",
        mates_in=1,
        asks="fastest_mates",
    ),
"""
ANSWERED = '    "give_mate": "the child writes one move that is mate",\n'
TITLE = '    "queen-walk": "The queen\'s box, and a walk",\n'
SUMMARY = '    "queen-walk": "As the queen\'s box, but the king counts files and ranks.",\n'
RULE = """\
    "walk_to_meeting_square": (
        "walk to the meeting square",
        "Else walk your king towards the meeting square and keep the box: as few files and ranks from it as"
        " you can.",
    ),
"""
PROOF = "from coachbook.workflows.endings import write_shipped; write_shipped('queen-walk')"
IMPORTED_REPORT = "from coachbook.paper.group_list import group_list_pdf\n"
PUTS_IT_IN_PLACE = '''

def print_group_list(book: Book, path: Path, options: PaperOptions) -> Path:
    """Put the list of groups in place: where it is. Raises CoachbookError if the file cannot be written."""
    with book.reading() as page:
        groups = list_groups(page)
    put_in_place(path, group_list_pdf(book.club_name, groups, options))
    return path
'''
COMMAND = '''

@app.command("groups")
def groups(
    to: PageOption = None,
    paper: PaperOption = None,
    book: BookOption = None,
) -> None:
    """Write a list of the club's groups for the notice board."""
    from coachbook.workflows.members import open_club
    from coachbook.workflows.reports import print_group_list

    opened = open_club(book)
    options = paper_options(opened.settings, paper)
    place = print_group_list(opened, to or opened.settings.papers / "groups.pdf", options)
    typer.echo(f"Written: {place}")
'''


class House:
    """A copy of the house, to add something to."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for part in ("coachbook", "curricula", "sample_club", "tests"):
            shutil.copytree(
                HOUSE / part, folder / part
            )  # what Python made of the sources, too: it saves time
        for part in ("pyproject.toml", "README.md"):
            shutil.copy(HOUSE / part, folder)

    def put(self, example: str, place: str) -> None:
        """A file of its own."""
        assert not (self.folder / place / example).exists()
        shutil.copy(EXAMPLES / example, self.folder / place)

    def write(self, place: str, text: str, *, before: str = "", below: str = "") -> None:
        """Some lines at the end of a file; or before the first that begins so, from `below` on."""
        path = self.folder / place
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        start = next(number for number, line in enumerate(lines) if line.startswith(below))
        ends = (number for number in range(start, len(lines)) if lines[number].startswith(before))
        at = next(ends) if before else len(lines)
        path.write_text("".join([*lines[:at], text, *lines[at:]]), encoding="utf-8")

    def python(self, *words: str) -> str:
        """What Python tells when it is run there, in which it must succeed."""
        authority = os.environ.get(FOLDER_VARIABLE) or str(HOUSE / ".authority")
        ran = subprocess.run(
            [sys.executable, "-X", "utf8", *words],
            cwd=self.folder,
            env={**os.environ, "PYTHONPATH": str(self.folder), FOLDER_VARIABLE: authority},
            capture_output=True,
            text=True,
            check=False,
        )
        assert ran.returncode == 0, ran.stdout + ran.stderr
        return ran.stdout

    def coachbook(self, *words: str) -> str:
        """What a command tells there."""
        return self.python("-m", "coachbook", *words)

    def passes(self, *tests: str, only: str) -> None:
        """Those tests of some files of which the name has what is asked for."""
        assert " passed" in self.python("-m", "pytest", "-q", "-n", "0", *tests, "-k", only)

    def new_club(self) -> None:
        """In its folder, with the student Ana in the group Owls."""
        commands = (
            ("club", "new", "Harbour Lane"),
            ("group", "add", "Owls"),
            ("student", "add", "Ana", "--group", "Owls"),
        )
        code = (
            f"from tests.cli.drive import done\nfor words in {commands}: done(*words, '--book', 'club.book')"
        )
        self.python("-c", code)  # one program for all three: to start takes the longest


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path / "house")


def add_kind(house: House) -> None:
    house.put("give_mate.py", "coachbook/exercises/kinds")
    house.write("coachbook/wording/exercises.py", TASK, below="_TASKS", before='    "task_key_squares"')
    house.write("coachbook/exercises/difficulty.py", REACH, below="REACHES", before='    "key_squares"')
    house.write("coachbook/wording/answer_forms.py", ANSWERED, below="_HOW", before='    "key_squares"')
    unit = 'code = "mate-in-one"'
    house.write("curricula/level-1.toml", NAMED_IN_A_UNIT, below=unit, before="[unit.secure]")


def add_method(house: House) -> None:
    house.put("queen_walk.py", "coachbook/method")
    order, words = "coachbook/method/teaching_order.py", "coachbook/wording/method_words.py"
    house.write(order, '    "queen_walk",\n', below="METHOD_FILES", before='    "rook_box",')
    house.write(words, TITLE, below="TITLES", before='    "rook-box"')
    house.write(words, SUMMARY, below="SUMMARIES", before='    "rook-box"')
    house.write(words, RULE, below="RULES", before='    "rook_shrinks_box"')
    house.python("-c", PROOF)


def add_report(house: House) -> None:
    house.put("group_list.py", "coachbook/paper")
    reports = "coachbook/workflows/reports.py"
    house.write(reports, IMPORTED_REPORT, before="from coachbook.paper.overview")
    house.write(reports, PUTS_IT_IN_PLACE)
    house.write("coachbook/cli/report_commands.py", COMMAND)


def test_a_kind_is_one_file_its_sentences_and_its_name_in_a_unit(house: House) -> None:
    add_kind(house)
    tests = (
        "tests/exercises/test_difficulty.py",
        "tests/exercises/test_kinds.py",
        "tests/exercises/test_truth.py",
        "tests/wording/test_answer_forms.py",
        "tests/wording/test_sentences.py",
    )
    house.passes(*tests, only="give_mate or every_kind or test_sentences or every_fact")
    assert "give_mate" in house.coachbook("exercise", "list")
    house.new_club()
    sheet = ("mate-in-one", "--student", "Ana", "--items", "3", "--to", "new")
    house.coachbook("sheet", "make", *sheet, "--book", "club.book")
    (path,) = (house.folder / "new").glob("*[!y].pdf")
    assert "Write down one mate." in " ".join(" ".join(printed.texts(path)).split())


def test_a_method_is_one_file_its_words_its_place_among_the_others_and_its_proof(house: House) -> None:
    add_method(house)
    tests = ("tests/method/test_methods.py", "tests/workflows/test_proving.py")
    house.passes(*tests, only="queen-walk or first_method")
    assert "100 %" in house.coachbook("ending", "prove", "queen-walk")
    plan = house.coachbook("ending", "plan", "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", "--method", "queen-walk")
    assert "queen's box, and a walk" in plan


def test_a_report_is_one_file_a_function_and_a_command(house: House, tmp_path: Path) -> None:
    add_report(house)
    house.new_club()
    assert house.coachbook("report", "groups", "--book", "club.book") == "Written: groups.pdf\n"
    path = house.folder / "groups.pdf"
    assert "Owls" in "".join(printed.texts(path))
    assert all(printed.fonts(path).values())
    printed.check_margins(path, tmp_path)
    printed.check_greys(path, house.folder)


@pytest.mark.long
def test_what_is_added_passes_every_test_of_its_sort(house: House) -> None:
    add_kind(house)
    add_method(house)
    add_report(house)
    files = ("test_judge", "test_slips_are_true", "test_wrong_moves", "test_verify", "test_nonsense")
    tests = (f"tests/exercises/{file}.py" for file in files)
    house.passes(*tests, "tests/syllabus/test_curricula.py", only="give_mate or mate-in-one")
    house.passes("tests/workflows/test_poster.py", "tests/workflows/test_demo.py", only="queen-walk or demo")
    house.passes("tests/cli/test_start_up.py", only="help or says_what_it_does")
    house.passes("tests/cli/test_hints.py", only="report_commands or reports or group_list")
    house.passes("tests/cli/test_garbage.py", only="report and groups")
