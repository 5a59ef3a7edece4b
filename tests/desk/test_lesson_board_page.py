"""The lesson board: a line step by step, and the class's own move with what it does."""

from tests.desk.conftest import Browser, words

ASK = "/syllabus/queen-walls/ask/1/0"


def test_the_class_may_be_asked_at_each_move_of_a_line(coach: Browser) -> None:
    page = coach.get("/syllabus/queen-walls/show/1/0")
    assert f'href="{ASK}"' in page
    page = coach.get(ASK)
    assert "What would you play for White?" in page
    assert "Qd3" not in page
    assert 'href="/syllabus/queen-walls/show/1/1"' in page


def test_its_move_is_shown_with_what_it_does(coach: Browser) -> None:
    page = words(coach.get(f"{ASK}?uci=c2g6"))
    assert "The box keeps its 30 squares." in page
    assert "Try another move" in page
    page = words(coach.get(f"{ASK}?move=Qd3"))
    assert "This is the lesson&#39;s move." in page
    assert "Try another move" not in page


def test_the_script_is_sent_the_part_alone(coach: Browser) -> None:
    for path in (ASK, f"{ASK}?uci=c2d3", "/syllabus/queen-walls/show/1/1"):
        page = coach.client.get(path, headers={"x-part": "yes"}).text
        assert page.lstrip().startswith('<div id="looked"')


def test_what_cannot_be_asked_is_refused_in_words(coach: Browser) -> None:
    assert "no such move" in coach.get("/syllabus/queen-walls/ask/1/99", 422)
    assert "no legal move" in coach.get(f"{ASK}?uci=a1a8", 422)
    assert "no legal move" in coach.get(f"{ASK}?move=Qa9", 422)


def test_at_the_end_of_a_line_nobody_is_asked(coach: Browser) -> None:
    page = coach.get("/syllabus/mate-in-one/show/1/1")
    assert "/ask/" not in page
