"""Reports made up by hand, to print in tests: a club of several scripts, and the extremes."""

from datetime import date, timedelta

from coachbook.model.facts import (
    Attendance,
    Impression,
    ItemResult,
    Observation,
    PlayOutEnd,
    PlayOutResult,
    SavedSheet,
)
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.position import Position
from coachbook.model.printed import (
    Certificate,
    FamilyReport,
    FrequentSlip,
    GroupOverview,
    StudentRecord,
    TermSummary,
    TrendPoint,
    UnitColumn,
    UnitFigures,
)
from coachbook.model.progress import Evening, Missing, Standing, Still, UnitProgress
from coachbook.model.syllabus import Goal

CLUB = "Harbour Lane Chess Club"
TODAY = date(2026, 12, 10)
NAMES = (
    "Amara", "Bảo Ngọc", "Gráinne", "Siân", "Søren", "Tomás",
    "Wanjiru", "Żaneta", "Đức Huy", "Łucja", "Ελένη", "Мирослава",
)  # fmt: skip
LONG_NAME = "Maximiliane Konstantinopoulou-Wojciechowska von der Lindenhof"[:60]
LONG_NAMES = tuple(f"{i + 1} {LONG_NAME}"[:60] for i in range(40))
UNITS = (
    ("mate-or-stalemate", "Is the game over?", 1),
    ("mate-in-one", "Mate in one move", 1),
    ("two-majors", "Two big pieces", 1),
    ("stalemate-traps", "The stalemate trap", 1),
    ("queen-walls", "A box made by a queen", 2),
    ("queen-shrink", "Make the box smaller", 2),
    ("queen-mates", "Bring the king and mate", 2),
    ("queen-box", "The queen's box", 2),
    ("rook-walls", "A box made by a rook", 3),
    ("rook-waiting", "Face to face, and wait", 3),
    ("rook-mates", "Mate at the edge", 3),
    ("rook-box", "The rook's box", 3),
    ("pawn-square", "The square of the pawn", 4),
    ("opposition", "The opposition", 4),
    ("king-and-pawn", "Three key squares", 4),
    ("hold-the-pawn", "Holding the draw", 4),
    ("rooks-pawn", "The pawn at the edge", 4),
    ("two-pawns", "Two pawns against a king", 4),
    ("pawn-race", "Pawns in a race", 5),
    ("queen-against-pawn", "Queen against pawn", 5),
    ("rook-against-pawn", "Rook against pawn", 5),
    ("two-bishops", "Mate with two bishops", 5),
    ("rook-and-pawn", "Rook and pawn against a king", 6),
    ("wrong-bishop", "The wrong bishop", 6),
    ("knight-and-pawn", "Knight and pawn", 6),
    ("queen-against-rook", "Queen against rook", 6),
    ("bishop-and-knight", "Mate with bishop and knight", 6),
)
COLUMNS = tuple(UnitColumn(*unit) for unit in UNITS)
AIMS = (
    "I can look at a king and say whether it is mate, stalemate or neither.",
    "I can find every mate in one with a queen or a rook and my king.",
    "I can mate a lone king with two rooks, or with a queen and a rook, without using my own king.",
    "I can tell mate from stalemate, and I look for stalemate before every move.",
    "I can see the box that a queen makes, and I can count its squares.",
    "I can make the box smaller move by move, and I know the queen's no-go squares.",
    "I can bring my king when he walks to and fro, and I can mate with the queen.",
    "I can shut the lone king in a box with my queen, make the box small, bring my king and mate.",
    "I can make a small box with a rook, and I keep the rook safe.",
)
SLIPS = (
    FrequentSlip("stalemate", 12, "stalemated 12 times", ("The stalemate trap", "Bring the king and mate")),
    FrequentSlip("missed mate", 9, "missed a mate 9 times", ("Mate in one move",)),
    FrequentSlip("wrong count", 7, "miscounted the box 7 times", ("A box made by a queen",)),
    FrequentSlip("not tried", 6, "left 6 blank", ("Make the box smaller", "Is the game over?")),
    FrequentSlip("not best box", 4, "missed the best box 4 times", ("Make the box smaller",)),
)
HOME = PlayOutCard(
    "PLAY-QUEEN-BOX-2",
    CLUB,
    "The queen's box",
    "The queen's box",
    Position("8/8/3k4/8/6Q1/8/8/K7 w - - 0 1"),
    True,
    16,
)
HOLD = PlayOutCard(
    "PLAY-HOLD-THE-PAWN-1",
    CLUB,
    "Holding the draw",
    "King and pawn",
    Position("8/8/3k4/8/3KP3/8/8/8 b - - 0 1"),
    False,
    20,
    Goal.DRAW,
)


def trend(evenings: int) -> tuple[TrendPoint, ...]:
    """Evenings week by week, the third one without answers."""
    start = TODAY - timedelta(weeks=evenings - 1)
    return tuple(
        TrendPoint(start + timedelta(weeks=i), 0 if i == 2 else 26 + (i * 7) % 11, 0 if i == 2 else 42, 3 * i)
        for i in range(evenings)
    )


def overview(names: tuple[str, ...] = NAMES, units: int = 27, evenings: int = 12) -> GroupOverview:
    """Students who are further in the syllabus the earlier they come in the list."""
    rows = tuple(
        (name, tuple(_standing(row, column) for column in range(units))) for row, name in enumerate(names)
    )
    return GroupOverview(CLUB, "Foxes", TODAY, COLUMNS[:units], rows, SLIPS, trend(evenings))


def _standing(row: int, column: int) -> Standing:
    if column > 9 - row % 4:
        return Standing.NEW
    if (row * 5 + column * 3) % 7 == 0:
        return Standing.FADING
    return Standing.WORKING if column > 5 - row % 3 or (row + column) % 5 == 0 else Standing.SECURE


def family(name: str = "Amara", aims: int = 2, home: PlayOutCard | None = HOME) -> FamilyReport:
    """So many aims held, and as many in each other list as are left of half of them."""
    return FamilyReport(CLUB, name, TODAY, 9, AIMS[:aims], AIMS[2:3], AIMS[4:6], AIMS[6:7], home)


def certificate(name: str = "Amara", aims: int = 4) -> Certificate:
    return Certificate(CLUB, name, 1, "Mate, not stalemate", AIMS[:aims], TODAY, (TODAY,) * len(AIMS[:aims]))


def summary(units: int = 27, begun: int = 27) -> TermSummary:
    figures = tuple(
        UnitFigures(
            title,
            level,
            max(0, 6 - i),
            max(0, 18 - 2 * i),
            max(0, 23 - i) or int(i < begun),
            max(0, 70 - 3 * i),
            max(0, 96 - 4 * i),
        )
        for i, (_, title, level) in enumerate(UNITS[:units])
    )
    return TermSummary(CLUB, date(2026, 9, 10), TODAY, 23, 2, 26, 241, 286, 812, 1040, 44, 29, figures, SLIPS)


def empty_summary() -> TermSummary:
    return TermSummary(CLUB, date(2026, 9, 10), TODAY, 0, 0, 0, 0, 0, 0, 0, 0, 0, (), ())


def record(name: str = "Мирослава", answers: int = 40) -> StudentRecord:
    """Two answers wrong of five, a play-out won and one lost, two observations."""
    days = [date(2026, 9, 10) + timedelta(weeks=i) for i in range(14)]
    results = tuple(
        ItemResult(
            name, f"MOS-77AG{i // 6 % 10}", UNITS[i // 12 % 27][0], i % 6 + 1, days[i // 6 % 14],
            ("Qg7#", "16", "", "stalemate", "Rb8, Rc8")[i % 5], i % 5 in (0, 1, 4),
            {2: "not tried", 3: "missed mate"}.get(i % 5, ""),
        )
        for i in range(answers)
    )  # fmt: skip
    play_outs = (
        PlayOutResult(
            name, "queen-box", days[5], HOME.position.fen, Goal.WIN, 16, PlayOutEnd.MATE, 12, HOME.code,
            ("g4e4", "d6c5", "e4e5", "c5c6", "a1b2", "c6b6", "b2c3") * 4,
        ),
        PlayOutResult(
            name, "queen-box", days[3], HOME.position.fen, Goal.WIN, 16, PlayOutEnd.STALEMATE, 9, HOME.code,
            (), "stalemate",
        ),
    )  # fmt: skip
    seen = (
        Observation(name, "queen-box", days[4], "Explained the box at the board.", Impression.CAN),
        Observation(name, "rook-box", days[8], "Forgets to guard the rook.", Impression.TROUBLE),
        Observation(name, "rook-box", days[9], "Played fast."),
    )
    evening = Evening(days[0], 4, 6, ("missed mate", "not tried"))
    progress = tuple(
        UnitProgress(
            name, code, _standing(0, i), (evening,) * (i + 1), 0.86, TODAY + timedelta(days=9), (), True
        )
        if i < 3
        else UnitProgress(
            name,
            code,
            Standing.WORKING,
            (evening,),
            0.5,
            TODAY,
            (Missing(Still.GOOD_EVENINGS, 2, 1, 5, 0.8),),
        )
        if i < 5
        else UnitProgress(name, code, Standing.NEW, (), None, None)
        for i, (code, _, _) in enumerate(UNITS)
    )
    return StudentRecord(
        CLUB, name, TODAY, ("Owls",),
        tuple(Attendance(name, day, i % 6 != 3) for i, day in enumerate(days)),
        tuple(SavedSheet(f"MOS-77AG{i}", UNITS[i][0], days[i], 6, (name, "Somebody Else")) for i in range(5)),
        results, play_outs, seen, progress, tuple((code, title) for code, title, _ in UNITS),
    )  # fmt: skip


def empty_record(name: str = "Amara") -> StudentRecord:
    return StudentRecord(CLUB, name, TODAY, (), (), (), (), (), (), (), ())
