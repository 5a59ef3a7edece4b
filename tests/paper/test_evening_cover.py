from dataclasses import replace
from pathlib import Path

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import EveningCover, GroupEvening, StudentPapers, TimedSlot
from coachbook.paper.evening_pack import cover_pdf
from tests.paper import printed
from tests.paper.report_samples import CLUB, TODAY

OWLS = GroupEvening(
    "Owls",
    (
        TimedSlot("18:00", 10, "review", with_coach=False),
        TimedSlot("18:10", 15, "new: The ladder", with_coach=True),
        TimedSlot("18:25", 20, "practice: The ladder", with_coach=False),
        TimedSlot("18:45", 10, "assessment", with_coach=True),
    ),
    papers=(),
    reminders=(),
)
FOXES = GroupEvening(
    "Foxes",
    (
        TimedSlot("18:00", 25, "play-out", with_coach=False),
        TimedSlot("18:25", 15, "new: The box", with_coach=True),
    ),
    papers=(),
    reminders=(),
)


def text_of(path: Path, *groups: GroupEvening) -> str:
    cover = EveningCover(CLUB, TODAY, groups, (("Register", 1),), pages=1, afterwards="close the evening")
    path.write_bytes(cover_pdf(cover, PaperOptions()))
    return " ".join(" ".join(printed.texts(path)).split())


def test_with_several_groups_the_coach_reads_with_whom_to_be_and_when(tmp_path: Path) -> None:
    text = text_of(tmp_path / "c.pdf", OWLS, FOXES)
    way = text.split("Where you are needed")[1].split("Owls: the plan")[0]
    assert "18:10 15 Owls new: The ladder 18:25 15 Foxes new: The box 18:45 10 Owls assessment" in way


def test_how_the_evening_is_closed_is_told(tmp_path: Path) -> None:
    assert "Afterwards: close the evening" in text_of(tmp_path / "c.pdf", OWLS)


def test_with_one_group_its_plan_says_it_already(tmp_path: Path) -> None:
    assert "Where you are needed" not in text_of(tmp_path / "c.pdf", OWLS)


def test_two_students_share_a_board_and_nobody_shares_with_another_group(tmp_path: Path) -> None:
    three, two = (
        replace(group, papers=tuple(StudentPapers(name, "", "") for name in names))
        for group, names in ((OWLS, ("Ana", "Bo", "Cy")), (FOXES, ("Dee", "Eve")))
    )
    assert "Boards and men for pairs: 3." in text_of(tmp_path / "c.pdf", three, two)
