"""What an exercise says in English: tasks, keys, warnings, and what there is to choose from.

A sentence has a code. What it states is given as facts, by name, or goes without saying (`implies`); its
words are made of the facts given. Who makes an exercise calls `say`; the verifier checks the facts.
"""

from itertools import zip_longest

from coachbook.model.worksheet import Answer, AnswerForm, Fact, PlanStep, Saying
from coachbook.wording.counting import capitalised, counted, listed
from coachbook.wording.method_words import rule_name
from coachbook.wording.reason_sentences import (
    REASON_KEYS,
    REASON_RULES,
    REASON_TASKS,
    REASON_WARNINGS,
    ROOK_LINES,
    others_fail,
    white_mates,
)
from coachbook.wording.sentences import MEN, PLAN_SENTENCES, SIDES, Sentence, made, text
from coachbook.wording.task_sentences import (
    DRAWING_KEYS,
    DRAWING_TASKS,
    DRAWING_WARNINGS,
    LINE_KEYS,
    LINE_TASKS,
    LINE_WARNINGS,
    RACE_SENTENCES,
    RACE_TASKS,
    RULE_ENDS,
    race_words,
)


def _result_for_side(side: str, result: str) -> str:
    verb = {"win": "wins", "draw": "draws"}[result]
    return f"Only one move {verb} for {SIDES[side]}. Find it."


_TASKS = {
    "task_box_size": text("Shade the {man}'s box. How many squares?", asks="walls_are", form="number"),
    "task_catch_pawn": text(
        "Black to move. Can his king catch the pawn?", side="black", man="pawn", asks="square_of_pawn"
    ),
    "task_enough_to_mate": text(
        "Black to move. Has White enough to force mate?", side="black", asks="enough_to_mate"
    ),
    "task_every_mate": text(
        "White can mate in one move. Write down every mate.",
        side="white",
        winner="white",
        mates_in=1,
        asks="all_mates",
    ),
    "task_final_position": text(
        "Black to move. Is it mate, stalemate or neither?", side="black", asks="final_status"
    ),
    "task_key_squares": text("Shade the key squares of the pawn.", man="pawn", asks="key_squares"),
    "task_mate_in_two": text(
        "White mates in two moves. What is the first move?",
        side="white",
        winner="white",
        mates_in=2,
        asks="fastest_mates",
    ),
    "task_next_rule": Sentence(
        lambda **_: "Read your rule card from the top. Tick the first rule you can follow.",
        frozenset(),
        frozenset({"man"}),  # whose box it is: said by its definition
        {"asks": "method_rule", "form": "choice"},
    ),
    "task_no_go_squares": text("Cross out every no-go square of the {man}.", asks="throwing_squares"),
    "task_only_move": made(_result_for_side, only_move=True, asks="keeping_moves"),
    "task_opposition": text("{side} to move. Take the opposition!", asks="takes_opposition"),
    "task_promotion": text(
        "White to move. Can the pawn become a queen without stalemate?", side="white", asks="new_queen"
    ),
    "task_rooks_box": text(
        "Shade the rook's box. How many squares?", asks="region_is", form="number", man="rook"
    ),
    # Of sheets that were made when the method decided what is right.
    "task_shrink_or_king": text(
        "Make the smallest box with the {man}. If it can't shrink, bring the king.",
        asks="method_rule",
        form="moves",
    ),
    "task_shrink_or_step": text(
        "Make the smallest safe box with the {man}. If it can't shrink, step nearer.", asks="shrink_or_king"
    ),
    "task_smallest_box": text(
        "Make the smallest safe box with the {man}. Leave him two squares or more.", asks="smallest_box"
    ),
    "task_stalemate_moves": text(
        "Which moves would be stalemate? Write down all of them.", asks="all_stalemates"
    ),
    "task_win_or_draw": text("{side} to move. Does White win, or is it a draw?", asks="result_is"),
    **DRAWING_TASKS,
}


def _box(files: int, ranks: int, squares: int) -> str:
    return f"{files} by {ranks}: {counted(squares, 'square')}."


def _box_left(squares: int, right_moves: int = 1) -> str:
    told = f"The smallest safe box has {counted(squares, 'square')}."
    return f"{told} {right_moves} moves make it." if right_moves > 1 else told


def _shrink_or_step(right_moves: int, *, shrinks: bool) -> str:
    told = "The box can shrink." if shrinks else "The box can't shrink: the king steps nearer."
    return f"{told} {right_moves} moves are right." if right_moves > 1 else told


def _catches(*, inside: bool) -> str:
    return f"His king {'stays in' if inside else 'steps into'} the pawn's square and catches it."


def _has_a_move(*, in_check: bool) -> str:
    return f"He is {'' if in_check else 'not '}in check, and he still has a move: see the tick."


def _must_not_go(stalemate_on: tuple[str, ...], taken_on: int) -> str:
    where = {0: "", 1: "the other"}.get(taken_on, "the others")
    rest = f" On {where} the lone king can take it." if where else ""
    return f"On {listed(stalemate_on)} it is stalemate.{rest}"


def _faces(other_side: str, result: str) -> str:
    fate = "only draws" if result == "win" else "loses"
    return f"The kings face each other and it is {SIDES[other_side]}'s turn. Every other move {fate}."


def _shrinks(rule_moves: int, *, shrinks: bool) -> str:
    told = "The box can be made smaller." if shrinks else "The box can't be made smaller: the king comes."
    return f"{told} Both moves are right." if rule_moves > 1 else told


def _mate_after_each(mates_after: tuple[str, ...]) -> str:
    if len(mates_after) == 1:
        return "He has only one reply, and the next move is mate."
    return f"Whatever he replies, the next move is mate: {'; '.join(mates_after)}."


def _guarded_beside(guarded_beside: tuple[str, ...]) -> str:
    return f"He is not in check, and White guards {listed(guarded_beside)}: a draw."


def _with_king(men: tuple[str, ...]) -> str:
    """Such as "a king and a rook", "two kings"."""
    if men == ("bishop", "bishop"):
        return "a king and two bishops"
    return listed(["a king", *(f"a {man}" for man in men)]) if men else "two kings"


def _are_enough(men: tuple[str, ...]) -> str:
    return f"He can take nothing, and {_with_king(men)} can force mate."


def _never_mate(men: tuple[str, ...]) -> str:
    told = _with_king(men)
    if men == ("bishop", "bishop"):
        told = f"{told} of one colour"
    return f"{capitalised(told)} can never mate."


def _enough_if_taken(taken_and_left: tuple[str, ...]) -> str:
    taken, *left = taken_and_left
    return f"Even if he takes the {MEN[taken]}, {_with_king(tuple(left))} can force mate."


def _never_if_taken(taken_and_left: tuple[str, ...]) -> str:
    taken, *left = taken_and_left
    return f"He takes the {MEN[taken]}, and {_with_king(tuple(left))} can never mate."


def _blocks_way(man: str, others: int) -> str:
    lose = others_fail(others=others, result="draw")
    return f"The {MEN[man]} stands in the pawn's way, and he can't take it. {lose}"


def _guards_way(man: str, way_guarded: tuple[str, ...], others: int) -> str:
    lose = others_fail(others=others, result="draw")
    told = f"The {MEN[man]} guards {listed(way_guarded)} in front of the pawn, and he can't take it."
    return f"{told} {lose}"


_KEYS = {
    "blocks_way": made(_blocks_way, asks="keeping_moves", only_move=True, blocks_way=True),
    "guards_way": made(_guards_way, asks="keeping_moves", only_move=True),
    "men_are_enough": made(_are_enough, enough=True, takes_nothing=True),
    "men_never_mate": made(_never_mate, enough=False, never_mate=True),
    "enough_if_taken": made(_enough_if_taken, enough=True),
    "never_if_taken": made(_never_if_taken, enough=False),
    "queen_leaves": text("It is no stalemate: he can still go to {queen_leaves}.", asks="new_queen"),
    "queen_stalemates": text(
        "A queen would be stalemate. A {instead} wins.", queen_stalemates=True, asks="new_queen"
    ),
    "box": made(_box),
    "too_late": text("His king can't step into the pawn's square: it comes too late.", caught=False),
    "catches": made(_catches, caught=True),
    "no_other_mate": text("No other move mates.", only_mate=False, asks="all_mates"),
    "only_mate": text("It is the only one.", only_mate=True, asks="all_mates"),
    "has_a_move": made(_has_a_move, status="neither"),
    "mated": text("He is in check and has no move.", status="mate", in_check=True),
    "stalemated": text("He is not in check and has no move: a draw.", status="stalemate", in_check=False),
    "key_squares": text(
        "With White's king on one of them and White to move, the pawn gets through.", edge_pawn=False
    ),
    "key_squares_on_edge": text(
        "With White's king on one of them, Black's king can't hold the corner.", edge_pawn=True
    ),
    "mate_after_each": made(_mate_after_each),
    "mate_follows": text("Whatever he replies, the next move is mate.", winner="white", mates_in=2),
    "first_rule": text("It is the first rule of the list that has a move.", asks="method_rule"),
    "all_taken": text("On each of them the lone king can take it.", stalemate_on=()),
    "stalemate_on": made(_must_not_go),
    "others_fail": made(others_fail),
    "kings_face": made(_faces, asks="takes_opposition", only_move=True),
    "shrinks": made(_shrinks, asks="method_rule"),
    "shrink_or_step": made(_shrink_or_step, asks="shrink_or_king"),
    "box_left": made(_box_left),
    "rooks_box": text(
        "The lone king could walk to {squares} squares, his own counted.", asks="region_is", form="number"
    ),
    "guarded_beside": made(_guarded_beside, asks="all_stalemates"),
    "they_stalemate": text("He is not in check and has no move: a draw.", asks="all_stalemates"),
    "drawn": text("A draw, if both sides play well.", result="draw"),
    "white_mates": made(white_mates, winner="white"),
    **DRAWING_KEYS,
}


def _stalemates(stalemates: tuple[str, ...], *, more: bool) -> str:
    return f"Stalemate: {listed((*stalemates, 'others') if more else stalemates)}."


_WARNINGS = {
    "walls": text(
        "The {man}'s own rank and file are the walls. They don't count.", asks="walls_are", form="number"
    ),
    "guarded_squares": text(
        "A square that White's king guards is not in the box.", asks="region_is", form="number"
    ),
    "pawn_at_home": text(
        "A pawn on its first square may go two steps: count from the next.", pawn_at_home=True
    ),
    "stalemates": made(_stalemates),
    "checks": text("Not every check is mate: has he a square, or can he take?", other_checks=True),
    "look_at_king": text("Is it check? Has he a square, or can he take?", asks="final_status"),
    "edge_pawn": text("A pawn on the edge has only two, next to its corner.", edge_pawn=True),
    "find_replies": text("Find all his replies before you move.", asks="fastest_mates"),
    "from_the_top": text("Go through the rules from the top.", asks="method_rule"),
    "guarded": text(
        "Next to the lone king it is safe only where White's king guards it.", asks="throwing_squares"
    ),
    "one_between": text("One square between the kings, and the other side to move.", asks="takes_opposition"),
    "ask_first": text(
        "Ask first: can the box be made smaller? Only then the king.", asks="method_rule", form="moves"
    ),
    "ask_box_first": text(
        "Ask first: is there a smaller safe box? Only then the king.", asks="shrink_or_king", form="moves"
    ),
    "can_he_take": text("First look: can he take something?", asks="enough_to_mate"),
    "look_before_queen": text("Before you make a queen: has he a square?", asks="new_queen"),
    "two_squares": text("Leave him two squares or more, and don't let him take.", asks="smallest_box"),
    "ask_check": text("First ask: is it check? Then: has he a square?", asks="all_stalemates"),
    **DRAWING_WARNINGS,
}


SENTENCES = {
    **_TASKS,
    **REASON_TASKS,
    **_KEYS,
    **REASON_KEYS,
    **_WARNINGS,
    **REASON_WARNINGS,
    **REASON_RULES,
    **PLAN_SENTENCES,
    **RACE_SENTENCES,
    **LINE_TASKS,
    **LINE_KEYS,
    **LINE_WARNINGS,
}
"""By code, all that an exercise or a plan may say."""
TASKS = frozenset((*_TASKS, *REASON_TASKS, *RACE_TASKS, *LINE_TASKS))
"""The codes of those that ask for something."""


def say(code: str, **facts: Fact) -> Saying:
    """The sentence of this code with all that it states. Raises KeyError for a code that is none, and
    TypeError for facts that are not its own."""
    sentence = SENTENCES[code]
    stated = {**sentence.implies, **facts}
    return Saying(code, tuple(sorted(stated.items())), sentence.words(**facts))


def says_what_it_states(saying: Saying) -> bool:
    """Whether a sentence is one of ours, and states just what one of its code states."""
    sentence, stated = SENTENCES.get(saying.code), dict(saying.facts)
    if sentence is None or len(stated) != len(saying.facts):
        return False
    needed = sentence.needs | sentence.implies.keys()
    implied = all(stated.get(name) == fact for name, fact in sentence.implies.items())
    return implied and needed <= stated.keys() <= needed | sentence.may


def said_again(saying: Saying, **more: Fact) -> Saying:
    """The same sentence as it is put today, perhaps with more facts. It has a code of ours."""
    implied = SENTENCES[saying.code].implies
    given = {name: fact for name, fact in saying.facts if name not in implied}
    return say(saying.code, **given, **more)


_OPTIONS: dict[str, tuple[str, ...]] = {
    "yes": ("yes",),
    "no": ("no",),
    "mate": ("mate", "checkmate", "check mate", "mated", "checkmated", "#"),
    "stalemate": ("stalemate", "stale mate", "stalemated"),
    "neither": ("neither", "none", "none of them", "neither of them", "neither of the two", "nothing"),
    "draw": ("draw", "drawn", "=", "½", "½-½", "1/2", "1/2-1/2"),
    "white_wins": (
        "White wins",
        "white",
        "white won",
        "white win",
        "win for white",
        "win",
        "wins",
        "won",
        "1-0",
    ),
    **RULE_ENDS,
    "right": ("right", "right one", "right bishop"),
    "wrong": ("wrong", "wrong one", "wrong bishop"),
    **ROOK_LINES,
}
"""What stands beside the box to tick, and the other words and signs for it."""


def option_words(option: str) -> str:
    """What stands beside the box to tick; an option of a sheet from before there were codes is its own."""
    return _OPTIONS[option][0] if option in _OPTIONS else rule_name(option)


def ways_to_say(option: str) -> tuple[str, ...]:
    """Whole words and signs by which an option may be written, in small letters."""
    return tuple(way.casefold() for way in _OPTIONS.get(option, (option_words(option),)))


def printed_options(answer: Answer) -> tuple[str, ...]:
    """The options as they stand on paper, such as "3. bring the king"."""
    told = tuple(map(option_words, answer.options))
    if not answer.numbers:
        return told
    return tuple(f"{number}. {option}" for number, option in zip(answer.numbers, told, strict=True))


def accepted_words(answer: Answer) -> tuple[str, ...]:
    """What is right, as it is read out."""
    if answer.form is AnswerForm.RACE:
        return tuple(map(race_words, answer.accepted))
    if answer.form is AnswerForm.LINE:
        turns = zip_longest(answer.accepted, answer.replies)
        return (" ".join(f"{at}. {' '.join(filter(None, turn))}" for at, turn in enumerate(turns, start=1)),)
    return tuple(map(option_words, answer.accepted)) if answer.options else answer.accepted


def answer_in_short(answer: Answer) -> str:
    """The accepted answers: "16", "Qb8# and Qg7#", "Qe4 or Qe3", "1. Qe4 Kd6 2. Qf5", "none"."""
    if not answer.accepted:
        return "none" if answer.form is AnswerForm.MOVES else "none (nothing marked)"
    *others, last = accepted_words(answer)
    joint = " and " if answer.all_needed else " or "
    return joint.join([", ".join(others), last]) if others else last


def step_in_words(step: PlanStep) -> str:
    """Why a move of a plan is made, and what it does: as one sentence, or as two if the second begins like
    one."""
    rule, achieved = step.rule.words, step.achieved_besides.words
    if not rule or not achieved:
        return rule or achieved
    return f"{rule}{'. ' if achieved[0].isupper() else ': '}{achieved}"
