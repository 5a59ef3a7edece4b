"""Examples for the help of every command, as a coach types them; a test runs each in a club's book."""

from typer.core import TyperCommand, TyperGroup

EXAMPLES: dict[str, tuple[str, ...]] = {
    "demo": (
        "demo",
        "demo --to my-demo",
    ),
    "desk": ("desk", "desk --room", "desk --port 8700 --no-open"),
    "play": ("play queen-box", "play queen-box --number 2"),
    "review": ("review --group Tuesday", "review --group Tuesday --print"),
    "backup": ("backup", "backup --to stick.book"),
    "restore": ("restore club-copy.book --preview", "restore club-copy.book"),
    "check": ("check",),
    "club new": ('club new "Hill Street Chess Club"',),
    "club set": ("club set", "club set --letters KDTLS --dates day-first"),
    "club letters": ("club letters KDTLS",),
    "club show": ("club show",),
    "student add": ("student add Mia --group Tuesday", "student add Ben"),
    "student list": ("student list", "student list --group Tuesday"),
    "student import": ("student import people.csv --preview", "student import people.csv"),
    "student rename": ("student rename Tom Thomas",),
    "student remove": ("student remove Tom",),
    "student erase": ("student erase Tom",),
    "student show": ("student show Noor",),
    "student why": ("student why Noor queen-box",),
    "student export": ("student export Noor", "student export Noor --to papers"),
    "group add": ("group add Beginners",),
    "group list": ("group list",),
    "group show": ("group show Tuesday", "group show Tuesday --to tuesday.pdf"),
    "group put": ("group put Tuesday Noor Tom",),
    "group take": ("group take Tuesday Tom",),
    "group rename": ("group rename Tuesday Wednesday",),
    "group remove": ("group remove Tuesday",),
    "syllabus themes": ("syllabus themes",),
    "syllabus claims": ("syllabus claims",),
    "syllabus list": ("syllabus list", "syllabus list --json"),
    "syllabus show": ("syllabus show queen-box",),
    "syllabus check": ("syllabus check", "syllabus check my-syllabus"),
    "term plan": (
        "term plan --from 2027-01-12 --until 2027-03-30 --weekday tuesday --minutes 60",
        "term plan --from 2027-01-12 --until 2027-03-30 --weekday tuesday --minutes 60 --goal 2",
    ),
    "term show": ("term show", "term show --date 2027-02-02 --to wall.pdf"),
    "term export": ("term export --to term.ics", "term export --to term.ics --to wall.pdf"),
    "term replan": ("term replan --from 2027-02-09 --skip 2027-02-16 --preview",),
    "term pin": ("term pin two-majors 2027-02-02",),
    "term unpin": ("term unpin two-majors",),
    "term lock": ("term lock 2027-02-02",),
    "term unlock": ("term unlock 2027-02-02",),
    "evening prepare": (
        "evening prepare",
        "evening prepare 2027-01-12 --to tonight",
        "evening prepare --two-up --two-sides",
    ),
    "evening close": ("evening close", "evening close 2027-01-12 --ticks"),
    "lesson make": ("lesson make queen-box",),
    "sheet make": (
        "sheet make queen-box --group Tuesday",
        "sheet make queen-box --student Noor",
    ),
    "sheet print": ("sheet print QB-K4W7R",),
    "sheet list": ("sheet list",),
    "sheet show": ("sheet show QB-K4W7R",),
    "card make": ("card make queen-box", "card make queen-box --group Tuesday"),
    "poster make": ("poster make queen-box",),
    "log undo": ("log undo", "log undo 2"),
    "log redo": ("log redo 2",),
    "log answers": ("log answers QB-K4W7R", "log answers --table answers.csv --preview"),
    "log attendance": ("log attendance --group Tuesday", "log attendance --group Tuesday Noor Tom"),
    "log list": ("log list",),
    "log export": ("log export --to answers-of-the-term.csv", "log export --to noor.csv --student Noor"),
    "log playout": (
        "log playout Noor PLAY-QUEEN-BOX-1 mated in 14",
        "log playout Tom PLAY-QUEEN-BOX-1 stalemate",
    ),
    "log note": ("log note Noor queen-box brings the king in time --can",),
    "report family": ("report family Noor", "report family Noor --to noor.pdf"),
    "report certificate": ("report certificate Noor --level 1",),
    "report term": ("report term --from 2027-01-12 --until 2027-03-30",),
    "exercise list": ("exercise list",),
    "exercise count": ("exercise count",),
    "exercise difficulty": ("exercise difficulty",),
    "exercise own": ('exercise own "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"',),
    "ending show": ('ending show "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"',),
    "ending table": ("ending table KQK", "ending table --list"),
    "ending build": ("ending build", "ending build KRPKR"),
    "ending plan": ('ending plan "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"',),
    "ending prove": ("ending prove queen-box",),
}
"""By the words of the command, without the program's name."""

_KEPT_LINES = "\b\n"
"""Before a paragraph of a help whose lines are to stay as they are."""


def with_examples(group: TyperGroup, words: tuple[str, ...] = ()) -> TyperGroup:
    """The same commands, with their examples at the foot of each one's help."""
    for name, command in group.commands.items():
        if isinstance(command, TyperGroup):
            with_examples(command, (*words, name))
        elif isinstance(command, TyperCommand) and (lines := EXAMPLES.get(" ".join((*words, name)))):
            title = "Examples:" if len(lines) > 1 else "Example:"
            told = "\n".join((title, *(f"  coachbook {line}" for line in lines)))
            command.epilog = f"{_KEPT_LINES}{told}"
    return group
