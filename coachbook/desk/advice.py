"""What to do, as the desk words it: where to press, for the steps that errors and notes advise."""

from datetime import date

from coachbook.errors import Advice, Step
from coachbook.model.problem import Problem
from coachbook.wording.counting import day_in_words

_WORDS = {
    Step.ADD_A_STUDENT: "Add one on the page Groups.",
    Step.ASK_FOR_MORE_ITEMS: "Ask for more items.",
    Step.BUILD_THE_ENDING: "It can be built once: the page Board leads to the endings of five men.",
    Step.CHOOSE_FORMS_OR_EACH: "Choose two forms, or sheets of their own, not both.",
    Step.CHOOSE_GROUP_OR_STUDENT: "Choose a group or a student, not both.",
    Step.CLOSE_THE_EVENING: "Close the evening of {on}.",
    Step.FINISH_LOGGING: "Some answers were typed in a terminal and not kept: finish them there first.",
    Step.LEAVE_OUT_FORMS: "Leave the two forms out.",
    Step.LEAVE_OUT_FORMS_AND_REVIEW: "Leave the two forms and the review out.",
    Step.LIST_THE_EVENINGS: "The page Term shows them.",
    Step.LIST_THE_KINDS: "The page Syllabus shows them.",
    Step.LIST_THE_LOG: "The page Log shows what is in it.",
    Step.LOG_ALL_THE_SAME: "To log it anyway, tick that it is meant.",
    Step.LOG_ANSWERS: "Log the answers of sheet {sheet}.",
    Step.LOG_ATTENDANCE: "Say first who was there.",
    Step.LOOK_AT_OWN_POSITIONS: "The page Papers says which kinds a position suits.",
    Step.MAKE_A_CLUB: "Give the club a name on the first page.",
    Step.MAKE_A_GROUP: "Make one on the page Groups.",
    Step.MAKE_A_SHEET: "Make one on the page Papers.",
    Step.MAKE_ONE_EACH: "Choose a sheet of their own for each, too.",
    Step.NAME_A_BEGUN_UNIT: "Choose a unit. {student} has begun {units}.",
    Step.NAME_A_GROUP: "Choose a group: {groups}.",
    Step.NAME_A_GROUP_OR_ALL: "Choose a group, or all: {groups}.",
    Step.NAME_AN_ALLOWANCE: "Say how many moves are allowed, such as 20.",
    Step.NAME_ANY_UNIT: "Choose a unit.",
    Step.NAME_THE_GROUP_TO_SHOW: "Choose a group: {groups}.",
    Step.NAME_THE_LAST_EVENING: "The last evening that is logged is {on}.",
    Step.NAME_THE_UNIT: "Choose the unit.",
    Step.PIN_LATER_OR_UNPIN: "Pin it to a later evening, or take the pin of {unit} away.",
    Step.PLAN_A_TERM: "Plan one on the page Term.",
    Step.PLAN_A_TERM_OR_LOG: "Plan a term on the page Term.",
    Step.PLAN_FROM_EARLIER: "Plan from {on}, or an earlier day.",
    Step.PRINT_AGAIN: "Print {sheets} again on the page Papers.",
    Step.PUT_STUDENTS_IN: "Put some in it on the page Groups.",
    Step.RESTORE_A_BACKUP: "Bring back a backup on the page Settings.",
    Step.RESTORE_AND_PRINT_AGAIN: "Bring back a backup on the page Settings, then print it again.",
    Step.RESTORE_THE_BOOK: "Bring back a backup on the page Settings.",
    Step.SHOW_THE_TERM: "The page Term shows it.",
    Step.UNDO_AND_LOG_AGAIN: "Take it back on the page Log, and log it again.",
    Step.UNDO_ITS_LOG: "If it was not, first take its log back on the page Log.",
    Step.UNPIN: "Take the pin of {unit} away on the page Term.",
}


def problem_in_words(problem: Problem) -> str:
    """A mistake, where it is, and the step that mends it; not in which file: the page says so."""
    told = f"{problem.where}: {problem.message}".removesuffix(".")
    return f"{told}. {in_words(problem.advice)}" if problem.advice else f"{told}."


def in_words(advice: Advice) -> str:
    """The step in words, with what it is about."""
    days = {"on": day_in_words(date.fromisoformat(advice.values["on"]))} if "on" in advice.values else {}
    return _WORDS[advice.step].format_map({**advice.values, **days})
