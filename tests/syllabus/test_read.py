"""Every mistake in a level file is found, with its file and its key."""

import os
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Goal
from coachbook.syllabus import check_syllabus, read_syllabus
from coachbook.wording.people import play_out_task

UNIT = """
[[unit]]
code = "first"
title = "First steps"
aim = "I can take a step."
endings = ["KQK"]
method = "queen-box"
demonstration = "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1"
minutes = 60
say = ["One.", "Two."]
slips = ["Falls."]
secure = { evenings = 2, items = 5, share = 0.8 }

[[unit.question]]
ask = "Why?"
expect = "Because."

[[unit.kind]]
kind = "box_size"
easiest = 1
hardest = 100

[[unit.play_out]]
fen = "8/8/4k3/8/3Q4/8/8/K7 w - - 0 1"
allowance = 16
"""
LEVEL = f'level = 1\ntitle = "Start"\n{UNIT}'

MINUTES = "expected a whole number from 5 to 600"


def write(folder: Path, text: str, name: str = "level-1.toml") -> None:
    (folder / name).write_text(text, encoding="utf-8")


def mistakes(folder: Path, **known: frozenset[str]) -> list[str]:
    syllabus, problems = check_syllabus(folder, **known)
    assert (syllabus is None) == bool(problems)
    return [str(problem) for problem in problems]


def changed(old: str, new: str) -> str:
    assert LEVEL.count(old) >= 1
    return LEVEL.replace(old, new, 1)


def second(code: str = "second", prerequisites: str = "") -> str:
    needs = f"prerequisites = [{prerequisites}]\nminutes"
    return UNIT.replace('"first"', f'"{code}"').replace("minutes", needs)


def test_a_sound_file_is_read_in_full(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    unit = read_syllabus(tmp_path).unit("first")
    assert (unit.level, unit.title, unit.minutes, unit.prerequisites) == (1, "First steps", 60, ())
    assert unit.say == ("One.", "Two.")
    assert (unit.questions[0].ask, unit.questions[0].expect) == ("Why?", "Because.")
    assert (unit.kinds[0].kind, unit.kinds[0].easiest, unit.kinds[0].hardest) == ("box_size", 1, 100)
    assert unit.play_outs[0].allowance == 16
    assert (unit.secure.evenings, unit.secure.items, unit.secure.share) == (2, 5, 0.8)


def test_play_outs_may_be_asked_for_and_then_there_must_be_one(tmp_path: Path) -> None:
    asked = changed("share = 0.8", "share = 0.8, play_outs = 2")
    write(tmp_path, asked)
    assert read_syllabus(tmp_path).unit("first").secure.play_outs == 2
    write(tmp_path, asked[: asked.index("[[unit.play_out]]")])
    assert mistakes(tmp_path) == [
        "level-1.toml: unit[1].secure.play_outs: the unit has no play_out to ask for"
    ]


@pytest.mark.parametrize(
    ("old", "new", "mistake"),
    [
        ("minutes = 60", "minutes = 60\nhours = 1", "unit[1].hours: is not a key that is known here"),
        ('title = "Start"', 'title = "Start"\ncolour = "red"', "colour: is not a key that is known here"),
        ("minutes = 60", "", "unit[1].minutes: is missing"),
        ("share = 0.8", "share = 0.8, play_outs = 21", "unit[1].secure.play_outs: expected a whole number"),
        ("share = 0.8", "share = 0.8, play_outs = true", "unit[1].secure.play_outs: expected a whole number"),
        (", share = 0.8", "", "unit[1].secure.share: is missing"),
        ("secure = { evenings = 2, items = 5, share = 0.8 }", "", "unit[1].secure: is missing"),
        ('slips = ["Falls."]', "", "unit[1].slips: is missing"),
        ('"Start"', '["Start"]', "title: expected a text in quotes, not a list"),
        ('title = "Start"', "", "title: is missing"),
        ("minutes = 60", 'minutes = "60"', f"unit[1].minutes: {MINUTES}, not '60'"),
        ("minutes = 60", "minutes = true", f"unit[1].minutes: {MINUTES}, not true"),
        ("minutes = 60", "minutes = 0", f"unit[1].minutes: {MINUTES}, not 0"),
        ("level = 1", "level = 1.0", "level: expected a whole number from 1 to 99, not 1.0"),
        ('"First steps"', "7", "unit[1].title: expected a text in quotes, not 7"),
        ('"I can take a step."', '"  "', "unit[1].aim: the text is empty"),
        ('"Two."', '""', "unit[1].say[2]: the text is empty"),
        ('"Two."', '"One."', "unit[1].say[2]: 'One.' is there twice"),
        ('["One.", "Two."]', '"One."', "unit[1].say: expected a list of texts, not 'One.'"),
        ('["Falls."]', "[]", "unit[1].slips: expected at least 1 of them, not 0"),
        ('"first"', '"First Steps"', "unit[1].code: a code has lower-case letters"),
        ("easiest = 1", "easiest = 0", "unit[1].kind[1].easiest: expected a whole number"),
        ("hardest = 100", "hardest = 101", "unit[1].kind[1].hardest: expected a whole number"),
        ("hardest = 100", "hardest = 100\nbox_at_most = 0", "unit[1].kind[1].box_at_most: expected a"),
        (
            "hardest = 100",
            "hardest = 100\nbox_at_most = true",
            "unit[1].kind[1].box_at_most: expected a",
        ),
        ("hardest = 100", 'hardest = 100\nresult = "loss"', "unit[1].kind[1].result: expected win or draw"),
        ("hardest = 100", 'hardest = 100\npawn_files = "ah"', "unit[1].kind[1].pawn_files: needs a pawn"),
        ("hardest = 100", 'hardest = 100\nto_moves = "white"', "unit[1].kind[1].to_moves: is not a key"),
        ("easiest = 1\nhardest = 100", "easiest = 9\nhardest = 8", "unit[1].kind[1].easiest: 9 is more than"),
        ("share = 0.8", "share = 1.1", "unit[1].secure.share: expected a number from 0 to 1"),
        ("share = 0.8", "share = nan", "unit[1].secure.share: expected a number from 0 to 1"),
        ("secure = {", "secure = 3 #", "unit[1].secure: expected a table, not 3"),
        ('"Because."', '"Because."\nhint = "x"', "unit[1].question[1].hint: is not a key"),
        ("[[unit.question]]", "[unit.question]", "unit[1].question: expected a list of tables, not a table"),
        ('["KQK"]', '["KQ"]', "unit[1].endings[1]: 'KQ' is not an ending"),
        ("allowance = 16", "allowance = 51", "unit[1].play_out[1].allowance: expected a whole number"),
        ('fen = "8/8/4k3', 'fen = "8/9/4k3', "unit[1].play_out[1].fen: '8/9/4k3/8/3Q4"),
        ("3Q4/8/8/K7 w", "3Q4/8/8/K7 b", "unit[1].demonstration: Black is to move and to win"),
        (
            "minutes",
            'demonstration_goal = "lose"\nminutes',
            "unit[1].demonstration_goal: expected win or draw",
        ),
        (
            "allowance = 16",
            'allowance = 16\ngoal = "x"',
            "unit[1].play_out[1].goal: expected win or draw, not",
        ),
        ("minutes", 'ahead = "More."\nminutes', "unit[1].ahead: expected a list of texts"),
        ("minutes", 'behind = [""]\nminutes', "unit[1].behind[1]: the text is empty"),
        ("8/8/4k3/8/3Q4", "8/8/3k4/8/3Q4", "unit[1].demonstration: the position is not legal"),
    ],
)
def test_a_mistake_is_named_with_its_key(tmp_path: Path, old: str, new: str, mistake: str) -> None:
    write(tmp_path, changed(old, new))
    found = mistakes(tmp_path)
    assert len(found) == 1
    assert found[0].startswith(f"level-1.toml: {mistake}")


def test_all_mistakes_of_all_files_are_found_together(tmp_path: Path) -> None:
    write(tmp_path, LEVEL.replace("minutes = 60", "minutes = 1").replace("share = 0.8", "share = 8"))
    write(tmp_path, 'level = 2\ntitle = ""\n' + second(), name="level-2.toml")
    assert [line.split(":")[:2] for line in mistakes(tmp_path)] == [
        ["level-1.toml", " unit[1].minutes"],
        ["level-1.toml", " unit[1].secure.share"],
        ["level-2.toml", " title"],
    ]


def test_a_level_needs_a_unit(tmp_path: Path) -> None:
    write(tmp_path, 'level = 1\ntitle = "Start"\n')
    assert mistakes(tmp_path) == ["level-1.toml: unit: is missing"]


def test_positions_have_the_men_of_the_ending(tmp_path: Path) -> None:
    write(tmp_path, changed('["KQK"]', '["KRK"]'))
    assert mistakes(tmp_path) == [
        "level-1.toml: unit[1].demonstration: the men are KQK; this unit is about KRK",
        "level-1.toml: unit[1].play_out[1].fen: the men are KQK; this unit is about KRK",
    ]


def test_play_outs_and_a_method_may_be_left_out(tmp_path: Path) -> None:
    write(tmp_path, changed('method = "queen-box"\n', "").split("[[unit.play_out]]")[0])
    unit = read_syllabus(tmp_path).units[0]
    assert (unit.method, unit.play_outs) == ("", ())


def test_the_goal_is_to_win_unless_the_file_says_draw(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    unit = read_syllabus(tmp_path).unit("first")
    assert (unit.demonstration_goal, unit.play_outs[0].goal) == (Goal.WIN, Goal.WIN)
    assert play_out_task(unit.play_outs[0]) == "mate within 16 moves"
    text = changed("minutes", 'demonstration_goal = "draw"\nminutes')
    write(tmp_path, text.replace("Q4/8/8/K7 w", "Q4/8/8/K7 b") + 'goal = "draw"\n')
    unit = read_syllabus(tmp_path).unit("first")
    assert (unit.demonstration_goal, unit.play_outs[0].goal) == (Goal.DRAW, Goal.DRAW)
    assert play_out_task(unit.play_outs[0]) == "hold the draw for 16 moves"


def test_what_to_do_with_the_quick_and_the_slow_may_be_given(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    assert (read_syllabus(tmp_path).unit("first").ahead, read_syllabus(tmp_path).unit("first").behind) == (
        (),
        (),
    )
    write(tmp_path, changed("minutes", 'ahead = ["More."]\nbehind = ["Less.", "Again."]\nminutes'))
    unit = read_syllabus(tmp_path).unit("first")
    assert (unit.ahead, unit.behind) == (("More.",), ("Less.", "Again."))


def test_names_are_checked_against_those_that_are_known(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    kinds, methods = frozenset({"box_size"}), frozenset({"queen-box"})
    assert mistakes(tmp_path, known_kinds=kinds, known_methods=methods) == []
    kinds, methods = frozenset({"mates"}), frozenset({"rook-box"})
    assert mistakes(tmp_path, known_kinds=kinds, known_methods=methods) == [
        "level-1.toml: unit[1].method: there is no method 'queen-box'; known are: rook-box",
        "level-1.toml: unit[1].kind[1].kind: there is no kind 'box_size'; known are: mates",
    ]


def test_a_kind_stands_once_in_a_unit(tmp_path: Path) -> None:
    kind = '[[unit.kind]]\nkind = "box_size"\neasiest = 1\nhardest = 100\n'
    write(tmp_path, changed(kind, kind + kind))
    (found,) = mistakes(tmp_path)
    assert found == "level-1.toml: unit[1].kind[2].kind: 'box_size' is there twice in this unit"


def test_levels_come_in_order_of_their_number_whatever_the_file_is_called(tmp_path: Path) -> None:
    write(tmp_path, 'level = 2\ntitle = "Then"\n' + second(), name="a.toml")
    write(tmp_path, LEVEL, name="b.toml")
    assert [level.title for level in read_syllabus(tmp_path).levels] == ["Start", "Then"]


def test_a_level_number_stands_in_one_file_only(tmp_path: Path) -> None:
    write(tmp_path, LEVEL, name="a.toml")
    write(tmp_path, 'level = 1\ntitle = "Again"\n' + second(), name="b.toml")
    assert mistakes(tmp_path) == ["b.toml: level: level 1 is already in a.toml"]


def test_a_code_stands_once_in_the_whole_syllabus(tmp_path: Path) -> None:
    write(tmp_path, LEVEL, name="a.toml")
    write(tmp_path, 'level = 2\ntitle = "Then"\n' + UNIT, name="b.toml")
    assert mistakes(tmp_path) == ["b.toml: unit[1].code: 'first' is already the code of unit[1] in a.toml"]


def test_an_unknown_prerequisite_is_named(tmp_path: Path) -> None:
    write(tmp_path, LEVEL + second(prerequisites='"frist"'))
    assert mistakes(tmp_path) == [
        "level-1.toml: unit[2].prerequisites: there is no unit 'frist'; known are: first, second"
    ]


def test_a_prerequisite_of_a_later_level_is_refused(tmp_path: Path) -> None:
    write(tmp_path, changed("minutes", 'prerequisites = ["second"]\nminutes'))
    write(tmp_path, 'level = 2\ntitle = "Then"\n' + second(), name="level-2.toml")
    assert mistakes(tmp_path) == ["level-1.toml: unit[1].prerequisites: 'second' is of a later level (2)"]


def test_a_level_that_cannot_be_read_does_not_accuse_its_units(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    write(tmp_path, 'level = "two"\ntitle = "Then"\n' + second(prerequisites='"first"'), name="b.toml")
    assert [line.split(": ")[:2] for line in mistakes(tmp_path)] == [["b.toml", "level"]]


def test_a_list_of_tables_holds_tables_only(tmp_path: Path) -> None:
    write(tmp_path, 'level = 1\ntitle = "Start"\nunit = [3]\n')
    assert mistakes(tmp_path) == ["level-1.toml: unit[1]: expected a table, not 3"]


def test_a_unit_cannot_build_on_itself(tmp_path: Path) -> None:
    write(tmp_path, changed("minutes", 'prerequisites = ["first"]\nminutes'))
    assert mistakes(tmp_path) == [
        "level-1.toml: unit[1].prerequisites: 'first' and 'first' need each other: one must come first"
    ]


def test_units_cannot_build_on_each_other_in_a_circle(tmp_path: Path) -> None:
    level = changed("minutes", 'prerequisites = ["third"]\nminutes')
    write(tmp_path, level + second(prerequisites='"first"') + second("third", '"second"'))
    assert [line.split(": ")[1] for line in mistakes(tmp_path)] == [
        "unit[1].prerequisites",
        "unit[2].prerequisites",
        "unit[3].prerequisites",
    ]


def test_building_on_a_circle_without_being_in_it_is_no_further_mistake(tmp_path: Path) -> None:
    level = changed("minutes", 'prerequisites = ["first"]\nminutes')
    write(tmp_path, level + second(prerequisites='"first"'))
    assert len(mistakes(tmp_path)) == 1


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("level = 1\ntitle Start\n", "line 2"),
        ('level = 1\ntitle = "a"\ntitle = "b"\n', "line 3"),
        ('level = 1\ntitle = "Start', "end of document"),
        ("level = " + "[" * 100_000, "file"),
        ("level = " + "9" * 5_000, "file"),
    ],
)
def test_broken_toml_is_told_with_its_line(tmp_path: Path, text: str, where: str) -> None:
    write(tmp_path, text)
    (found,) = mistakes(tmp_path)
    assert found.startswith(f"level-1.toml: {where}: is not valid TOML: ")


def test_a_broken_file_does_not_accuse_those_that_build_on_it(tmp_path: Path) -> None:
    write(tmp_path, "level =")
    write(tmp_path, 'level = 2\ntitle = "Then"\n' + second(prerequisites='"first"'), name="level-2.toml")
    assert len(mistakes(tmp_path)) == 1


def test_a_file_in_another_encoding_is_told_with_line_and_byte(tmp_path: Path) -> None:
    (tmp_path / "level-1.toml").write_bytes('level = 1\ntitle = "Prüfung"\n'.encode("latin-1"))
    assert mistakes(tmp_path) == [
        "level-1.toml: line 2: is not UTF-8 text (byte 22 of the file); save the file as UTF-8"
    ]


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path: Path) -> None:
    (tmp_path / "level-1.toml").write_bytes(b"\xef\xbb\xbf" + LEVEL.replace("\n", "\r\n").encode())
    assert mistakes(tmp_path) == []


def test_a_folder_without_files_is_a_mistake(tmp_path: Path) -> None:
    assert mistakes(tmp_path) == [f"{tmp_path}: folder: there is no level file (*.toml) in it"]
    assert len(mistakes(tmp_path / "nowhere")) == 1


def test_hidden_files_are_left_alone(tmp_path: Path) -> None:
    write(tmp_path, LEVEL)
    (tmp_path / "._level-1.toml").write_bytes(b"\x00\xff")
    assert mistakes(tmp_path) == []


def test_a_folder_named_like_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "level-1.toml").mkdir()
    (found,) = mistakes(tmp_path)
    assert found.startswith("level-1.toml: file: cannot be read (")


def test_reading_a_faulty_syllabus_raises_with_the_first_mistake(tmp_path: Path) -> None:
    write(tmp_path, LEVEL.replace("minutes = 60", "minutes = 1").replace("share = 0.8", "share = 8"))
    with pytest.raises(CoachbookError, match=r"unit\[1\]\.minutes: expected .* \(and 1 more\)\."):
        read_syllabus(tmp_path)


def test_a_text_that_is_too_long_or_cannot_be_shown_is_a_mistake_with_its_place(tmp_path: Path) -> None:
    write(tmp_path, changed('aim = "I can', f'aim = "{"I can " * 20_000}'))
    (told,) = mistakes(tmp_path)
    assert told.startswith("level-1.toml: unit[1].aim: the text has 120012 characters; at most 1000")
    write(tmp_path, changed('"Two."', '"Two.\\u001b[2J"'))
    assert mistakes(tmp_path) == [
        "level-1.toml: unit[1].say[2]: the sign U+001B cannot be printed; take it out"
    ]


def test_a_list_has_an_end(tmp_path: Path) -> None:
    write(tmp_path, changed('"Two."', ", ".join(f'"{number}"' for number in range(100))))
    assert mistakes(tmp_path) == ["level-1.toml: unit[1].say: expected at most 100 of them, not 101"]


@pytest.mark.parametrize("deep", ["[" * 5000 + "]" * 5000, ".".join("a" * 5000)])
def test_what_is_nested_too_deeply_is_a_mistake(tmp_path: Path, deep: str) -> None:
    write(tmp_path, f"x = {deep}" if deep.startswith("[") else f"{deep} = 1")
    assert mistakes(tmp_path)


def test_what_is_no_file_or_too_large_is_not_read(tmp_path: Path) -> None:
    write(tmp_path, LEVEL + "#" * 1_000_000)
    os.mkfifo(tmp_path / "level-2.toml")
    assert mistakes(tmp_path) == [
        "level-1.toml: file: cannot be read (it has more than 1 MB)",
        "level-2.toml: file: cannot be read (it is not a file)",
    ]


def test_an_unknown_key_is_named_with_the_known_one_that_is_near(tmp_path: Path) -> None:
    write(tmp_path, changed("minutes = 60", "minutes = 60\nslip = []"))
    (found,) = mistakes(tmp_path)
    assert found.startswith(
        "level-1.toml: unit[1].slip: is not a key that is known here (did you mean 'slips'?); known are: "
    )


def test_what_a_wrong_value_has_to_do_with_others_is_found_in_the_same_run(tmp_path: Path) -> None:
    text = changed("allowance = 16", "allowance = 0").replace("easiest = 1\n", 'easiest = "x"\n')
    write(tmp_path, text.replace('method = "queen-box"', "method = 3").replace('"KQK"', '"KRK", "KQ"'))
    assert [line.split(": ")[1] for line in mistakes(tmp_path, known_kinds=frozenset({"mates"}))] == [
        "unit[1].endings[2]",
        "unit[1].method",
        "unit[1].kind[1].easiest",
        "unit[1].play_out[1].allowance",
        "unit[1].demonstration",
        "unit[1].play_out[1].fen",
        "unit[1].kind[1].kind",
    ]


@pytest.mark.parametrize(
    "value",
    [
        "9" * 400,
        "-inf",
        "1979-05-27",
        "07:32:00",
        "[[{ a = [1] }]]",
        "{ a = { b = 1 } }",
        '"x"',
        "[]",
        "true",
    ],
)
@pytest.mark.parametrize("key", ["level", "title", "unit", "share", "secure", "say", "code", "kind", "goal"])
def test_any_value_in_a_wrong_place_is_told_in_our_words(tmp_path: Path, key: str, value: str) -> None:
    lines = [line for line in LEVEL.splitlines() if line.split(" = ")[0] != key]
    at = 0 if key in ("level", "unit") else lines.index("[[unit]]") + 1
    lines.insert(at, f"{key} = {value}")
    write(tmp_path, "\n".join(lines))
    for told in mistakes(tmp_path):
        assert "should be" not in told.lower()
        assert "pydantic" not in told.lower()
        assert "input" not in told.lower()
