"""Methods, courses and their rules in English: titles, the few words for a rule, and what a child is told.

By codes: those of methods and courses are their names ("queen-box"), those of rules and stages stand in the
files of `method`. What has no words yet is called by its code.
"""

from collections.abc import Mapping

TITLES = {
    "two-majors": "Two major pieces",
    "queen-box": "The queen's box",
    "rook-box": "The rook's box",
    "king-and-pawn": "King and pawn",
    "hold-king-and-pawn": "Holding against king and pawn",
    "bridge": "Building a bridge",
    "two-bishops": "Two bishops in stages",
    "bishop-and-knight": "Bishop and knight in stages",
}

SUMMARIES = {
    "two-majors": (
        "One piece is the fence: its rank (or its file) lies between the two kings, and the lone king"
        " can't step over it. The other piece takes the next rank from him, and becomes the new fence; so"
        " the two take turns until he stands on the edge and is mated. Count the ranks that are left to"
        " him: they should get fewer. A check on the rank right behind the fence takes that rank away too."
        " When he comes near a piece, it goes along its rank to the far side."
    ),
    "queen-box": (
        "The queen's rank and file are the walls of a box around the lone king, and don't count. It makes"
        " the box smaller, move by move, but always leaves him at least two squares: his own counts, unless"
        " he is in check, and all that he could walk to if you stood still. When it can do no more,"
        " it stands still and your king walks to the meeting square, two diagonal steps in from the"
        " corner of the box (c3, c6, f3 or f6). Then the two mate together. There is no box while the lone"
        " king stands on its rank or file, nor while your king stands in a wall with more than one"
        " wall square behind him: the fence is broken."
    ),
    "rook-box": (
        "The box is every square the lone king could walk to if you stood still; his own counts, unless he is"
        " in check. Ask first: can the rook make the box smaller, where he can't take it and your king is at"
        " most two steps away? If not, and the kings are two steps apart, the rook waits, and the box stays"
        " as it is. Else your king goes to the rook, off the edge, and then to the lone king, and keeps the"
        " box. Only to face him right beside the rook may it let the box grow. If no step of the king will"
        " do, the rook goes home to your king."
    ),
    "king-and-pawn": (
        "If the lone king cannot catch the pawn, it runs. If he can, your king goes first: to a key square,"
        " or ahead of the pawn with the kings evenly apart. The pawn follows where your king keeps the"
        " squares in front of it. Evenly apart means: an even number of files and an even number of ranks"
        " from king to king (0, 2, 4 or 6), and it is his move. Key squares: the three squares two ranks"
        " ahead of the pawn; from its fifth rank on also the three one rank ahead; for a pawn on the edge"
        " the two squares on the next file that touch the corner where it queens."
    ),
    "hold-king-and-pawn": (
        "Your king alone holds the draw if he stays in front of the pawn. If you must go back, go straight"
        " back, so that you can meet the other king face to face. Face to face means: both kings on one file,"
        " one, three or five squares between them, and it is the other side's move. In the end the pawn is"
        " lost or you are stalemated, and both are a draw."
    ),
    "bridge": (
        "Your king stands on the queening square and your pawn right below it, on its seventh rank and not"
        " on the edge. The king has to come out, and then his rook checks it from behind, again and again."
        " So build a bridge: the rook goes to its fourth rank, the king comes out and walks down towards"
        " the fifth, and when he checks there, the rook steps in between, next to your king. It works from"
        " here: one file lies between your pawn's file and your rook's, he does not check, and his king"
        " stands beyond your rook's file, on the last rank; or on the rank before the last, if your rook"
        " stands on its fourth rank already."
    ),
    "two-bishops": (
        "Two bishops side by side are a wall of diagonals that a king can't step through. Count his box: all"
        " the squares he could walk to if you stood still. First build the wall, then make the box small and"
        " bring your king, then give mate in the corner. Never leave him without a move before it is mate."
    ),
    "bishop-and-knight": (
        "Mate is only possible in a corner of the bishop's colour. First drive him to the edge, so that he"
        " stands there each time it is your move; then along the edge, to a corner that the bishop can reach,"
        " into a small box. Count the box: all the squares he could walk to if you stood still. Then give"
        " mate. The knight guards the squares of the colour that the bishop can't."
    ),
}
"""One paragraph each, for a lesson plan."""

STAGES = {
    "wall": (
        "build the wall",
        "Shut him in for good: he has at most {squares} squares each time it is your move.",
    ),
    "small_box": (
        "small box, king near",
        "He has at most {squares} squares, for good, and your king is {steps} steps from him or nearer.",
    ),
    "edge": ("to the edge", "He stands on the edge, for good: on the edge each time it is your move."),
    "right_corner": (
        "to the right corner",
        "He has at most {squares} squares, for good: at most {squares} each time it is your move.",
    ),
    "mate": ("mate", "Give mate, without ever letting him out."),
}
"""The few words for a stage, and its goal as a child is told it, with the numbers that it has."""

RULES = {
    "mate": ("mate", "Give mate if you can."),
    **{
        f"safe_{men}": (
            "stay safe",
            "Never leave him without a move, unless it is mate, and never leave"
            f" {told} where he can take it.",
        )
        for men, told in (
            ("queen", "the queen"),
            ("rook", "the rook"),
            ("piece", "a piece"),
            ("pawn", "the pawn"),
        )
    },
    "queen_or_rook": (
        "queen, or rook for pawn",
        "Make a queen if he can't take it, or only with his rook and you take that; he must not be able to"
        " take your rook while he has his own, nor be stalemated. If he can check with your queen behind"
        " your king on that line, you must be able to answer by rule 3, or to step beside the queen while"
        " his king does not touch your rook. Or take his rook when he has taken the pawn, if then he can't"
        " take yours. Or give mate.",
    ),
    "safe_bridge": (
        "stay safe",
        "Never leave him without a move, unless it is mate. Never let him take the rook or the pawn,"
        " unless you can then take his rook; for the pawn, only where your own rook is then safe from his"
        " king. Make a queen by rule 1 only.",
    ),
    "answer_check": (
        "take it, or step in between",
        "Else take his rook if you can. If you can't, and he gives check: your king steps between pawn and"
        " rook, all three on one file; if it can't, the rook steps in between and stands next to your king,"
        " diagonally too.",
    ),
    "ready_to_queen": (
        "be ready to queen",
        "Else move so that rule 1 could make a queen now if it were your turn, and that after each of his"
        " replies rule 1 or rule 3 has a move: your king as few steps from the queening square as you can.",
    ),
    "rook_to_fourth": (
        "rook to the fourth rank",
        "Else, while your king stands on the queening square, the rook goes along its file to the fourth"
        " rank. If it stands above that rank and can't stop there, it goes on down to the next square that"
        " is safe.",
    ),
    "rook_beside_king": (
        "rook below the king",
        "Else, if your king is out, he gives no check and his rook stands behind the pawn: the rook goes"
        " along its file to the rank right below your king. If it stands on that rank already, it goes"
        " along the rank to a square next to your king, as far from his king as it can. If it can do"
        " neither, it gives check on its file, next to your king.",
    ),
    "king_to_fifth": (
        "king towards the fifth rank",
        "Else your king steps, on the pawn's file or the next, but not to the queening square. From the"
        " queening square, or in check: as near to the fifth rank as you can; else as few steps from the"
        " queening square as you can. If that is equal, as few files and ranks from your rook as you can.",
    ),
    "smaller_queen_box": (
        "make the box smaller",
        "Make the box smaller with the queen: the smallest box that leaves him at least two squares.",
    ),
    "king_to_meeting_square": (
        "bring the king",
        "Else walk your king towards the meeting square and keep the box, not into a wall with two or more"
        " wall squares behind your king: as few steps from it as you can; if that is equal, as few files and"
        " ranks from it as you can.",
    ),
    "other_queen_box": (
        "make another box",
        "Else move the queen to make the smallest box that leaves him at least two squares.",
    ),
    "rook_shrinks_box": (
        "make the box smaller",
        "Make the box smaller with the rook, but only where it is at most two steps from your king: the"
        " smallest box you can.",
    ),
    "rook_keeps_box": (
        "wait with the rook",
        "Else, if your king is two steps from his and not on the edge, wait: move the rook so that the box"
        " stays just as it is.",
    ),
    "king_to_rook": (
        "king to the rook",
        "Else bring your king nearer to the rook, but not onto the edge and not so that the box grows: as far"
        " from the edge as you can.",
    ),
    "king_to_lone_king": (
        "bring the king",
        "Else bring your king nearer to his, but no farther from the rook than he is. Keep the box, unless"
        " your king comes face to face with his and guards the rook. Stay off the edge if you can; then as"
        " few steps apart as you can; if that is equal, as few files and ranks apart.",
    ),
    "rook_to_king": (
        "bring the rook home",
        "Else move the rook: nearer to your king if you can; then so that the box does not grow, if you can;"
        " then with its file or rank between the kings, if you can; then as few files and ranks from your"
        " king as you can.",
    ),
    # Of sheets that were made when these were the rules of the rook's box.
    "smaller_rook_box": ("make the box smaller", ""),
    "king_nearer": ("bring the king", ""),
    "rook_waits": ("wait with the rook", ""),
    "king_steps": ("step with the king", ""),
    "rook_home": ("bring the rook home", ""),
    "fence": (
        "build the fence",
        "Move a piece so that he keeps the fewest rows, but at least two squares. If that is equal, stand"
        " in each other's way as little as you can: not both pieces on one lane, not your king on a"
        " piece's row, nor between a piece and his row. If that is equal, put the rooks as far"
        " aside from him as you can, then the queen. If that is equal, leave him the most squares.",
    ),
    "make_do": ("make do", "Else any move will do, chosen in the same way."),
    "queen": ("make a queen", "Make a queen if he cannot take it and it is no stalemate."),
    "run": (
        "let it run",
        "Else push if then he cannot catch the pawn: he is outside its square and your king not in its way.",
    ),
    "push_to_picture": (
        "push to a picture",
        "Else push the pawn if after that you see one of the pictures A to F.",
    ),
    "king_to_picture": (
        "step to a picture",
        "Else step so that you see one of the pictures A to F: your king as far up as you can (rank 8"
        " last), then near him (count files and ranks), then near the edge.",
    ),
    "to_key_square": (
        "walk to a key square",
        "Else walk your king towards a key square: as few steps from it as you can; then as near to the"
        " pawn; then as many files from him; then as far up (rank 8 last).",
    ),
    "push": ("push", "Else push the pawn."),
    # Of sheets that were made when these were two rules.
    "home_stretch": ("home stretch", ""),
    "king_leads": ("king in the lead", ""),
    "in_square": (
        "stay in the square",
        "Never let the pawn run: stay in its square unless its king is in its way.",
    ),
    "take": ("take it", "Take the pawn if you can."),
    "right_in_front": ("right in front", "Else go right in front of the pawn."),
    "face_to_face": (
        "face to face",
        "Else stand face to face with its king, or keep three ranks between the kings, both on the pawn's"
        " file or the next. Choose as in the last rule.",
    ),
    "go_for_pawn": (
        "go for the pawn",
        "Else step nearer to the pawn, if after that you are at least two steps nearer to it than its king."
        " Choose as in the last rule.",
    ),
    "beside_corner": (
        "beside the corner",
        "Else, with a pawn on the edge, go towards the square beside its corner, on the next file: as few"
        " steps as you can. Choose as in the last rule.",
    ),
    "in_front": (
        "in front of the pawn",
        "Else go in front of the pawn: as near as you can (count files and ranks) to the second square"
        " in front of it; if that is equal, as near to its file as you can.",
    ),
    # Of sheets that were made when this was a rule of its own.
    "second_square": ("second in front", ""),
}
"""The few words by which a worksheet calls a rule, and the rule as a child is told it."""


def title_of(method: str) -> str:
    """The title of a method or a course."""
    return TITLES.get(method, method)


def summary_of(method: str) -> str:
    """A method or a course in one paragraph; "" of one that is not taught."""
    return SUMMARIES.get(method, "")


CARD_WORDS = {
    "queen_or_rook": "Make a queen if it is safe, or you win his rook for your pawn.",
    "safe_bridge": "Never stalemate him, and never lose rook or pawn without taking his rook.",
    "answer_check": "Else take his rook. In check, hide above your rook, or put it between.",
    "ready_to_queen": "Else be ready: whatever he does, you can queen or use rule 3.",
    "rook_to_fourth": "Else, while your king is at home, rook to the fourth rank on its file.",
    "rook_beside_king": "Else, his rook behind your pawn: rook right below the king, or check beside it.",
    "king_to_fifth": "Else king near the pawn's file: towards rank 5, or without check back up.",
    "run": "Else let it run: push, if then he can't catch the pawn.",
    "push_to_picture": "Else push the pawn, if after that you see one of the pictures.",
    "king_to_picture": "Else step to a picture: your king as far up as possible, rank 8 last.",
    "to_key_square": "Else go to a key square: near the pawn, on the side away from him.",
    "safe_queen": "Never stalemate the lone king, and never put the queen where he can take it.",
    "safe_rook": "Never stalemate the lone king, and never put the rook where he can take it.",
    "safe_piece": "Never stalemate the lone king, and never put a piece where he can take it.",
    "queen": "Make a queen if he can't take it, and it is no stalemate.",
    "safe_pawn": "Never stalemate the lone king, and never leave the pawn where he can take it.",
    "face_to_face": "Else stand face to face with its king, or three ranks apart, near the pawn.",
    "go_for_pawn": "Else step nearer to the pawn, if you are two steps nearer than its king.",
    "beside_corner": "Else, with an edge pawn, go to the square beside its corner.",
    "in_front": "Else go as near as you can to the second square in front.",
    "in_square": "Never let the pawn run: stay in its square, unless its king blocks it.",
    "fence": "Move a piece: leave him the fewest ranks (or files), but at least two squares.",
    "make_do": "Else make any safe move.",
    "smaller_queen_box": "Make the box smaller with the queen, but leave him at least two squares.",
    "king_to_meeting_square": "Else walk your king the shortest way to the meeting square. Keep the box.",
    "other_queen_box": "Else move the queen anywhere that leaves him at least two squares.",
    "rook_shrinks_box": "Make the smallest box, with the rook at most two steps from your king.",
    "rook_keeps_box": "Else wait if two steps from him, off the edge: the rook moves, same box.",
    "king_to_rook": "Else bring your king nearer to the rook: keep the box, stay off the edge.",
    "king_to_lone_king": "Else approach, as near the rook as he: keep the box, or guard facing him.",
    "rook_to_king": "Else bring the rook nearer to your king: keep the box if you can.",
}
"""What a card, a poster, a lesson and a sheet tell of a rule, in 15 words at most, after its name. It may
leave ties open that the exact words decide; how well it does is measured (see `method.loose`)."""


def card_words(code: str) -> str:
    """The rule in a child's words; its exact words where there are no others."""
    return CARD_WORDS.get(code) or rule_words(code)


def rule_name(code: str) -> str:
    """The few words for a rule."""
    return RULES[code][0] if code in RULES else code


def rule_words(code: str) -> str:
    """The rule as a child is told it; "" of one that is not told."""
    return RULES[code][1] if code in RULES else ""


def stage_name(code: str) -> str:
    """The few words for a stage of a course."""
    return STAGES[code][0] if code in STAGES else code


def stage_goal(code: str, numbers: Mapping[str, int]) -> str:
    """The goal of a stage as a child is told it; "" of one that is not taught."""
    return STAGES[code][1].format(**numbers) if code in STAGES else ""
