"""The sentences of verdicts: why a position is won or drawn, for a child to check on the board.

Each says what can be seen and not the result, which stands beside it. {strong} has the pawn, or the
queen against it; {weak} is the other side. Squares, files and ranks are those of a black pawn on
files a to d (a2 to d2) and are turned for other boards; {a-e} becomes "a to e".
"""

from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs
from coachbook.model.worksheet import Exercise

_SENTENCES = {
    Because.KEY_SQUARE_TO_MOVE: (
        "{strong}'s king stands on a key square of the pawn, and {strong} is to move."
    ),
    Because.KEY_SQUARE: (
        "{strong}'s king stands on a key square of the pawn, and {weak} can't take the pawn at once."
    ),
    Because.OUTSIDE_SQUARE_TO_MOVE: (
        "{weak}'s king is outside the pawn's square with {strong} to move, and {strong}'s king is not in"
        " the pawn's way."
    ),
    Because.OUTSIDE_SQUARE: (
        "{weak}'s king can neither take the pawn nor step into its square, and {strong}'s king is not in the"
        " pawn's way."
    ),
    Because.PAWN_FALLS: "{weak}'s king takes the pawn, which nobody guards.",
    Because.INSIDE_SQUARE_TO_MOVE: (
        "{weak}'s king is in the pawn's square, and {strong}'s king is too far away to help."
    ),
    Because.INSIDE_SQUARE: (
        "{weak}'s king can step into the pawn's square, and {strong}'s king is too far away to help."
    ),
    Because.ROOK_PAWN_CORNER: (
        "the pawn is on the edge, and {weak}'s king is on its queening square or next to it."
    ),
    Because.BEFORE_ROOK_PAWN: (
        "the pawn is on the edge, and {weak}'s king stands in front of it, on its file."
    ),
    Because.SHUT_IN: (
        "{strong}'s king is shut in on the edge, before its own pawn: {weak}'s king stands two files beside"
        " it, on the same rank."
    ),
    Because.RIGHT_BEFORE: (
        "{weak}'s king stands right in front of the pawn, which is still two steps or more from queening."
    ),
    Because.TWO_BEFORE: "{weak}'s king stands two squares in front of the pawn, and {weak} is to move.",
    Because.TWO_BEFORE_TO_MOVE: (
        "{weak}'s king stands two squares in front of the pawn, which is still three steps or more from"
        " queening."
    ),
    Because.OPPOSITION: (
        "{strong}'s king is one rank ahead of the pawn, which is not on the edge, on its file or the next,"
        " and has the opposition: {weak} must move."
    ),
    Because.OPPOSITION_TO_MOVE: (
        "{weak} has the opposition: {strong} must move. {strong}'s king is"
        " only one rank ahead of the pawn, which is still in its own half."
    ),
    Because.ROOK_PAWN_KEY_SQUARE: (
        "{strong}'s king stands on a key square of the pawn on the edge, and is no farther from it than"
        " {weak}'s king."
    ),
    Because.FAR_AHEAD: (
        "{strong}'s king is two ranks or more ahead of the pawn (not on the edge), on its file or the next,"
        " and no farther from it than {weak}'s king."
    ),
    Because.AHEAD_WITH_OPPOSITION: (
        "{strong}'s king is ahead of the pawn (not on the edge), on its file or the next, and the"
        " kings are an even number of files and of ranks apart: {weak}'s king is not behind it, and must"
        " move."
    ),
    Because.SHIELD: (
        "{strong}'s king shields the pawn (not on the edge): it is one rank ahead, on its file or the next,"
        " and {weak}'s king is at most two ranks past the pawn."
    ),
    Because.SIDE_BY_SIDE: (
        "{strong}'s king stands beside the pawn (not on the edge), two steps from queening, and the"
        " kings are an even number of files and of ranks apart: {weak} must move."
    ),
    Because.LAST_STEP: (
        "the pawn (not on the edge) is guarded and one step from queening, and {weak}'s king can't step on"
        " its queening square."
    ),
    Because.FAR_FROM_PAWN: "{weak}'s king is three steps or more from its pawn.",
    Because.CORNER_CHECK: (
        "{weak}'s king is in the corner, its pawn is on the {a}-file or the {c}-file, and the queen can go to"
        " {c1} at once, with check."
    ),
    Because.MIDDLE_PAWN: (
        "the pawn is on the {b}-file or the {d}-file, and the kings share no rank, file or diagonal."
    ),
    Because.MIDDLE_PAWN_IN_LINE: (
        "the pawn is on the {b}-file or the {d}-file. The queen wins here although the kings share a rank,"
        " file or diagonal, so that {strong}'s king could have been in its way."
    ),
    Because.ROOK_PAWN_NEAR: (
        "{strong}'s king is near enough to the pawn on the edge (files {a-e} and ranks {1-5}, without {e5})."
    ),
    Because.ROOK_PAWN_FAR: (
        "{weak}'s king is on {b1} or {b2}, its pawn on the edge, and {strong}'s king is too far away (outside"
        " files {a-e} and ranks {1-5}, or just on {e5}) and not between queen and king."
    ),
    Because.ROOK_PAWN_CORNER_NEAR: (
        "{weak}'s king is in the corner before its pawn, {strong}'s king is near enough (files {a-f}"
        " and ranks {1-6}, without {f6}), and the queen is not on the {b}-file."
    ),
    Because.ROOK_PAWN_CORNER_FAR: (
        "{weak}'s king is in the corner before its pawn, {strong}'s king is too far away"
        " (outside files {a-f} and ranks {1-6}, or just on {f6}), and the queen is not on the {b}-file and"
        " can't go to {c1} at once."
    ),
    Because.BISHOP_PAWN_SHORT_NEAR: (
        "{weak}'s king is on the side of its {c}-pawn that is nearer to the edge, and {strong}'s king is near"
        " enough (on {a3} to {e3}, {a4} to {c4}, {d2}, {e2}, or {c1} to {e1})."
    ),
    Because.BISHOP_PAWN_LONG_NEAR: (
        "{weak}'s king is before its {c}-pawn or on the side of it that is farther from the edge, and"
        " {strong}'s king is near enough (files {a-g} and ranks {1-4}, or {a5} to {c5})."
    ),
    Because.BISHOP_PAWN_SHORT_FAR: (
        "{weak}'s king is on {b1} or {b2} with a pawn on {c2}, and {strong}'s king is too far away (on"
        " ranks {6-8}, on the {g}- or {h}-file, on {e5} or {f5})."
    ),
    Because.BISHOP_PAWN_CORNER_FAR: (
        "{weak}'s king is in the corner with a pawn on {c2}, {strong}'s king is too far away (on ranks"
        " {6-8}, on the {g}- or {h}-file, on {e5} or {f5}), and the queen can't go to {c1} at once."
    ),
    Because.BISHOP_PAWN_LONG_FAR: (
        "{weak}'s king is on {c1}, {d1} or {d2} with a pawn on {c2}, and {strong}'s king is too far away,"
        " on one of the two ranks farthest from the pawn."
    ),
    Because.CUT_OFF_FAR: (
        "{strong}'s rook cuts {weak}'s king off: it stands between him and the pawn, two files or more from"
        " the pawn. The pawn is on its fourth rank or farther, and {strong}'s king touches it, beside it or"
        " ahead of it. {strong} is to move, and nothing is attacked but the pawn."
    ),
    Because.CUT_OFF_HIS_MOVE: (
        "{strong}'s rook cuts {weak}'s king off: it stands between him and the pawn, two files or more from"
        " the pawn. The pawn is on its fifth or sixth rank, and {strong}'s king touches it, beside it or"
        " ahead of it. Neither {strong}'s rook nor {weak}'s king is on the rank of {strong}'s king."
    ),
    Because.CHECKS_FROM_THE_FRONT: (
        "{weak}'s rook gives checks from the front: it is on the last rank, before the pawn, which is still"
        " in its own half. {strong}'s rook cuts {weak}'s king off by one file only, and he stands right"
        " behind it, on his third or fourth rank. {weak} is to move."
    ),
    Because.BRIDGE: (
        "the pawn (not on the edge) is one step from queening, {strong}'s king is on its queening square, and"
        " {strong}'s rook cuts {weak}'s king off: that is the picture of the bridge. {strong} is to move, and"
        " no rook is attacked."
    ),
    Because.THIRD_RANK: (
        "{weak}'s rook holds the third rank, two files or more from the pawn: neither the pawn nor"
        " {strong}'s king has come so far. {weak}'s king stands before the pawn, on its file and on the last"
        " two ranks. No rook is attacked."
    ),
    Because.PUSHED_EARLY: (
        "the pawn was pushed too early: it is on its sixth rank, and {strong}'s king is still behind it."
        " {weak}'s king stands before it, on its file, and {weak}'s rook is far behind, on the first two"
        " ranks, to give checks. No rook is attacked."
    ),
    Because.CHECKS_FROM_BEHIND: (
        "{weak}'s rook gives checks from behind: it is on the first three ranks, and {strong}'s king is on"
        " the sixth rank, like the pawn. {weak}'s king stands before the pawn, on its file or the next."
        " {weak} is to move, and no rook is attacked."
    ),
    Because.CHECKS_FROM_THE_SIDE: (
        "{weak}'s rook gives checks from the side: it is three files or more from the pawn, and {weak}'s"
        " king is on the other side, on the next file, not behind the pawn. {strong}'s king is not on that"
        " side, and {strong}'s rook is neither behind the pawn nor on its seventh rank. {weak} is to move."
    ),
    Because.PASSIVE_ROOK_HOLDS: (
        "{weak}'s king stands on the queening square, and {weak}'s rook on the last rank, three files or more"
        " away. That holds against a knight's pawn, and against a rook's pawn on its sixth rank: there is"
        " no way round on the other side. No rook is attacked."
    ),
    Because.PASSIVE_ROOK_LOSES: (
        "{weak}'s rook can only wait on the last rank, on the other side of the pawn than {strong}'s king,"
        " which stands beside the pawn on its sixth rank. The pawn is on a middle or bishop's file, so"
        " {strong}'s rook finds a way round. {strong} is to move, and no rook is attacked."
    ),
    Because.SHUT_IN_HE_IS_FAR: (
        "{strong}'s king is shut in before its pawn on the edge, but {weak}'s king is five files or more from"
        " the pawn: {strong}'s rook comes to free the king in time. {strong} is to move, and no rook is"
        " attacked."
    ),
    Because.SHUT_IN_HE_IS_NEAR: (
        "{strong}'s king is shut in before its pawn on the edge: {weak}'s rook holds the next file, and"
        " {weak}'s king is on the file after that, on the last two ranks. {strong} is to move, and no rook is"
        " attacked."
    ),
    Because.ROOK_BEFORE_ITS_PAWN: (
        "{strong}'s rook stands before its own pawn on the edge, {weak}'s rook behind it, and {weak}'s king"
        " is on the seventh rank on the far side, where no check drives it out. {strong}'s king is three"
        " steps or more from the pawn, and gets checks when it comes."
    ),
}


def reasons_of(exercise: Exercise) -> list[str]:
    """Why the answer is right, where a verdict tells."""
    claims = [claim for claim in exercise.claims if isinstance(claim, ReasonIs)]
    return [why_after_move(each.reason) if each.after else why(each.reason) for each in claims]


def said_in_key(exercise: Exercise) -> list[str]:
    """What a key says of the answer: its own sentence, if it has one, and why it is right."""
    return [words for words in (exercise.solution.text.words, *reasons_of(exercise)) if words]


def why(reason: Verdict) -> str:
    """Such as "Why: White's king stands on a key square of the pawn, and White is to move."."""
    return f"Why: {_sentence(reason)}"


def why_after_move(reason: Verdict) -> str:
    """The same of the position after the move that was asked for."""
    return f"After the right move: {_sentence(reason)}"


def _sentence(reason: Verdict) -> str:
    return _SENTENCES[reason.because].format_map(_Names(reason))


class _Names(dict[str, str]):
    """What stands for each name in a sentence: colours, and squares, files and ranks turned."""

    def __init__(self, reason: Verdict) -> None:
        strong, weak = ("White", "Black") if reason.white else ("Black", "White")
        super().__init__(strong=strong, weak=weak)
        self._turned = str.maketrans(
            {
                **dict(zip("abcdefgh", "hgfedcba" if reason.mirrored else "abcdefgh", strict=True)),
                **dict(zip("12345678", "12345678" if reason.white else "87654321", strict=True)),
            }
        )

    def __missing__(self, name: str) -> str:
        return " to ".join(sorted(name.translate(self._turned).split("-")))
