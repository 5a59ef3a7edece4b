"""Positions, sheets and plans made up by hand, to print in tests. Not checked by any rules."""

from dataclasses import replace
from datetime import date, timedelta

import chess

from coachbook.model.play_outs import PlayOutCard
from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.model.printed import LessonSheet, RuleInWords, ShownLine, ShownStep
from coachbook.model.syllabus import ClassQuestion, KindUse, PlayOut, SecureRule, Unit
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.model.worksheet import Answer, AnswerForm, Exercise, Plan, PlanStep, Solution, Worksheet
from coachbook.paper.flow import CaptionedBoard
from tests.model.an_exercise import in_words

MADE_ON = date(2025, 1, 14)


def squares(names: str) -> tuple[int, ...]:
    return tuple(chess.parse_square(name) for name in names.split())


def plan(start: str, steps: int) -> Plan:
    """A plan of so many steps with words of ordinary length; the moves need not be legal."""
    queen = ("Qd4", "Qe3", "Qd2", "Qc3", "Kb2", "Kc2", "Qg7#")
    king = ("Ke6", "Kf5", "Kg4", "Kh3", "")
    rules = ("make the box smaller", "bring the king towards the meeting square", "give mate if you can")
    achieved = ("box 12 -> 9", "the box holds: 6", "", "mate")
    return Plan(
        Position(start),
        in_words("queen's box, proven from every position"),
        tuple(
            PlanStep(queen[i % 7], in_words(rules[i % 3]), in_words(achieved[i % 4]), king[i % 5])
            for i in range(steps)
        ),
    )


def how_big() -> Exercise:
    """Count the squares of a box."""
    box = squares("e5 f5 g5 h5 e6 f6 g6 h6 e7 f7 g7 h7 e8 f8 g8 h8")
    return Exercise(
        kind="how_big",
        unit="q2",
        position=Position("8/8/5k2/8/3Q4/8/8/K7 w - - 0 1"),
        task=in_words("How many squares are in the black king's box? Count his own square too."),
        task_marks=Marks(),
        answer=Answer(AnswerForm.NUMBER, ("16",)),
        solution=Solution(
            Marks(shaded=box, outlined=box),
            in_words("16 squares, 4 files by 4 ranks."),
            watch_for=(in_words("Forgets the king's own square."), in_words("Counts the wall.")),
        ),
        claims=(),
        difficulty=20,
        key="a",
        seed=1,
    )


def smaller_box() -> Exercise:
    """One move is right, with a plan of seven steps."""
    start = "8/8/3k4/8/6Q1/8/8/K7 w - - 0 1"
    return Exercise(
        kind="smallest_box",
        unit="q2",
        position=Position(start),
        task=in_words("Make the box as small as you can with one queen move."),
        task_marks=Marks(
            outlined=squares("a5 b5 c5 d5 e5 f5 a6 b6 c6 d6 e6 f6 a7 b7 c7 d7 e7 f7 a8 b8 c8 d8 e8 f8")
        ),
        answer=Answer(AnswerForm.MOVES, ("Qe4",), all_needed=False),
        solution=Solution(
            Marks(
                outlined=squares("a5 b5 c5 d5 a6 b6 c6 d6 a7 b7 c7 d7 a8 b8 c8 d8"),
                arrows=(Arrow(chess.parse_square("g4"), chess.parse_square("e4")),),
            ),
            in_words("Qe4 makes the box 16; before it was 24."),
            plan(start, 7),
            (in_words("Takes Qd4+, a check that lets the king out."),),
        ),
        claims=(),
        difficulty=35,
        key="b",
        seed=2,
    )


def all_mates() -> Exercise:
    """Several moves give mate; a long plan."""
    start = "6k1/8/5K2/8/8/8/1Q6/8 w - - 0 1"
    return Exercise(
        kind="all_mates",
        unit="q3",
        position=Position(start),
        task=in_words("Write every move that gives mate at once."),
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, ("Qb8#", "Qg7#"), all_needed=True),
        solution=Solution(
            Marks(
                arrows=(
                    Arrow(chess.parse_square("b2"), chess.parse_square("g7")),
                    Arrow(chess.parse_square("b2"), chess.parse_square("b8"), ArrowStyle.SUGGESTION),
                ),
                signs=(
                    SquareSign(chess.parse_square("h8"), Sign.CROSS),
                    SquareSign(chess.parse_square("f8"), Sign.TICK),
                    SquareSign(chess.parse_square("h7"), Sign.DOT),
                    SquareSign(chess.parse_square("g8"), "2"),
                    SquareSign(chess.parse_square("c6"), "12"),
                ),
            ),
            in_words("Qb8# and Qg7#."),
            plan(start, 16),
            (in_words("Plays Qg2+ because it is a check."), in_words("Stops after the first mate found.")),
        ),
        claims=(),
        difficulty=40,
        key="c",
        seed=3,
    )


def black_to_move() -> Exercise:
    """A full board, so that every piece is seen, with shaded squares in the task."""
    return Exercise(
        kind="stalemates",
        unit="q3",
        position=Position("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR b KQkq - 0 1"),
        task=in_words("Black is in a corner. Which moves stalemate him? If there is none, write a dash."),
        task_marks=Marks(shaded=squares("a5 b5 c5 a4 b4 c4"), outlined=squares("f3 g3 h3 f4 g4 h4 f5 g5")),
        answer=Answer(AnswerForm.MOVES, (), all_needed=True),
        solution=Solution(Marks(), in_words("None.")),
        claims=(),
        difficulty=45,
        key="d",
        seed=4,
    )


def which_rule(*options: str) -> Exercise:
    """Tick the right one of some options; without `options`, of two."""
    chosen = options or ("White wins", "Draw")
    return replace(
        how_big(),
        kind="which_rule",
        task=in_words("White plays Qd4. What is true now?"),
        answer=Answer(AnswerForm.CHOICE, (chosen[0],), options=chosen),
        solution=Solution(Marks(), in_words("The king comes in time.")),
    )


def mark_squares() -> Exercise:
    """Cross squares on the diagram."""
    marked = squares("e6 e7 f7 g6")
    return replace(
        how_big(),
        kind="king_steps",
        task=in_words("Put a cross on every square that the black king can step to."),
        answer=Answer(AnswerForm.SQUARES, ("e6", "e7", "f7", "g6")),
        solution=Solution(
            Marks(signs=tuple(SquareSign(at, Sign.CROSS) for at in marked)), in_words("Four squares.")
        ),
    )


def who_queens_first() -> Exercise:
    """Count a race of two pawns."""
    return replace(
        how_big(),
        kind="race",
        position=Position("8/8/8/1P6/6p1/K7/7k/8 w - - 0 1"),
        task=in_words("Both pawns run. Who queens first?"),
        answer=Answer(AnswerForm.RACE, ("3 3 white",)),
        solution=Solution(Marks(), in_words("White queens first.")),
    )


def three_moves() -> Exercise:
    """Three moves in their order, between printed replies."""
    return replace(
        smaller_box(),
        kind="three_moves",
        task=in_words("Play by the rules of the card. Write White's next three moves."),
        answer=Answer(AnswerForm.LINE, ("Qe4", "Kb2", "Qc4"), replies=("Kc5", "Kd6")),
    )


def every_form(items: int = 12, code: str = "Q2-0114-K7") -> Worksheet:
    """A sheet with all forms of answers of which twelve go on a page, their words short enough for that."""
    forms = (how_big(), smaller_box(), all_mates(), which_rule(), mark_squares(), who_queens_first())
    return replace(worksheet(1, code), items=tuple(forms[i % len(forms)] for i in range(items)))


def worksheet(items: int = 6, code: str = "Q2-0114-K7") -> Worksheet:
    kinds = (how_big(), smaller_box(), all_mates(), black_to_move())
    return Worksheet(
        code=code,
        club="Lindenhof Chess Club",
        unit="q2",
        unit_title="The queen's box",
        level=1,
        level_title="One queen, one king",
        made_on=MADE_ON,
        seed=7,
        items=tuple(kinds[i % 4] for i in range(items)),
    )


def unit() -> Unit:
    return Unit(
        code="q2",
        title="The queen's box",
        level=1,
        prerequisites=("q1",),
        aim="Drive the lone king into the corner with the queen's box, and stop in time.",
        endings=("KQK",),
        method="queen_box",
        demonstration="8/8/3k4/8/6Q1/8/8/K7 w - - 0 1",
        say=(
            "The queen's rank and her file are two walls. The king cannot step through a wall.",
            "The walls and the edge of the board make a box. We count the squares in it, the king's own too.",
            "A smaller box is better. After Qd4 the box is 16.",
            "When two squares are left, stop! Now the king comes.",
        ),
        questions=(
            ClassQuestion("How many squares has the box after Qd4?", "Sixteen, four by four."),
            ClassQuestion(
                "Why do we leave him two squares?",
                "With one square left he may be stalemated.",
                "So that he is happy.",
                "Show me his moves after the queen goes to f7.",
                "7k/4Q3/8/8/8/8/8/K7 w - - 0 1",
            ),
        ),
        slips=(
            "Gives a check that lets the king out of the box.",
            "Makes the box too small and stalemates.",
            "Moves the queen next to the king without a guard.",
        ),
        kinds=(KindUse("how_big", 1, 40),),
        play_outs=(
            PlayOut("8/8/3k4/8/6Q1/8/8/K7 w - - 0 1", 16),
            PlayOut("8/8/8/4k3/8/8/8/KQ6 w - - 0 1", 14),
            PlayOut("7Q/8/8/2k5/8/8/8/6K1 w - - 0 1", 16),
        ),
        minutes=45,
        ahead=("Mate from a position that a friend sets up.", "Start with the queen on a1."),
        behind=("Only count boxes after Qd4.",),
        secure=SecureRule(2, 4, 0.8),
    )


def card(number: int = 1, allowance: int = 16) -> PlayOutCard:
    return PlayOutCard(
        code=f"P-Q2-{number:02}",
        club="Lindenhof Chess Club",
        unit_title="The queen's box",
        level_title="One queen, one king",
        position=Position("8/8/3k4/8/6Q1/8/8/K7 w - - 0 1"),
        white=True,
        allowance=allowance,
    )


def boards() -> tuple[CaptionedBoard, ...]:
    board = smaller_box()
    return (
        (board.position, board.task_marks, "The start: box 24."),
        (board.position, board.solution.marks, "1 Qe4: the box shrinks to 16."),
        (Position("7k/4Q3/8/8/8/8/8/K7 w - - 0 1"), Marks(), "Two squares left: stop!"),
    )


def shown_line(moves: int = 9) -> ShownLine:
    start, end = Position("8/8/3k4/8/6Q1/8/8/K7 w - - 0 1"), Position("7k/6Q1/6K1/8/8/8/8/8 b - - 0 1")
    said = plan(start.fen, moves).steps
    steps = (ShownStep(f"{i}.", step.move, f"{step.rule.words}.") for i, step in enumerate(said, start=1))
    return ShownLine(start, "White moves first, and is to win.", tuple(steps), end, "it is mate")


def lesson(moves: int = 9) -> LessonSheet:
    return LessonSheet(
        unit=unit(),
        level_title="One queen, one king",
        club="Lindenhof Chess Club",
        group="Tuesday beginners",
        on=MADE_ON,
        slots=(
            Slot(SlotKind.REVIEW, "", 10, Reason(Why.AS_TOLD, names=("three students are due",))),
            Slot(SlotKind.NEW, "The queen's box", 30, Reason(Why.NEXT)),
            Slot(SlotKind.PRACTICE, "The queen's box", 20),
        ),
        shows=(shown_line(moves),),
        homework=smaller_box(),
        rules=(
            RuleInWords(1, "Give mate if you can.", "mate"),
            RuleInWords(
                2, "Make the box smaller with the queen, but leave him two squares.", "make the box smaller"
            ),
            RuleInWords(3, "Else bring the king towards the meeting square."),
        ),
        proof_line="Followed to the letter, the rules mate from every one of 144,508 positions.",
    )


TITLES = {
    "q1": "Mate in one with the queen",
    "q2": "The queen's box",
    "q3": "Stalemate traps",
    "r1": "The rook's box",
}


def term_plan(sessions: int = 12) -> TermPlan:
    codes = tuple(TITLES)
    planned = tuple(
        PlannedSession(
            MADE_ON + timedelta(weeks=i),
            (
                Slot(SlotKind.REVIEW, "" if i % 3 else codes[(i + 3) % 4], 10, Reason(Why.REVIEW)),
                Slot(SlotKind.NEW, codes[i % 4], 25, Reason(Why.NEXT)),
                Slot(SlotKind.PRACTICE, codes[i % 4], 25, Reason(Why.WORKSHEET)),
            ),
        )
        for i in range(sessions)
    )
    return TermPlan(MADE_ON, planned[-1].on, 60, planned, left_over=("r1",))


def bare_unit() -> Unit:
    """A unit with nothing in its optional parts."""
    return replace(unit(), say=(), questions=(), slips=(), play_outs=(), ahead=(), behind=())
