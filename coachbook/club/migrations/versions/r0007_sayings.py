"""What sheets say is kept as values: sentences with the words as they were printed, options by codes.

Of the sentences of sheets made before, only the words are known: they get no code, and state nothing.
"""

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

from coachbook.club.stored import is_sealed, opened, sealed

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_BEGINNING = '{"code":'
"""Of a sheet without a checksum, or from which it was taken."""
_OPTIONS = {"White wins": "white_wins"}
"""All other options but rules are called as before."""
_RULES = {
    "queen-box": {
        "make the box smaller": "smaller_queen_box",
        "bring the king": "king_to_meeting_square",
        "make another box": "other_queen_box",
    },
    "rook-box": {
        "make the box smaller": "smaller_rook_box",
        "bring the king": "king_nearer",
        "wait with the rook": "rook_waits",
        "step with the king": "king_steps",
        "bring the rook home": "rook_home",
    },
    "two-majors": {"build the fence": "fence", "make do": "make_do"},
    "king-and-pawn": {
        "make a queen": "queen",
        "let it run": "run",
        "home stretch": "home_stretch",
        "king in the lead": "king_leads",
        "walk to a key square": "to_key_square",
        "push": "push",
    },
    "hold-king-and-pawn": {
        "take it": "take",
        "face to face": "face_to_face",
        "in front of the pawn": "in_front",
    },
}
"""By method: the rules that a sheet may name. The rule "mate" is called as before."""


def upgrade() -> None:
    """Rewrites each sheet; one that is damaged, or is none, stays as it is, and is still known as such."""
    connection = op.get_bind()
    for row_id in connection.execute(sa.text("SELECT id FROM sheet ORDER BY id")).scalars().all():
        found = sa.text("SELECT body FROM sheet WHERE id = :id")
        body = connection.execute(found, {"id": row_id}).scalar_one()
        rewritten = _with_sayings(body) if isinstance(body, str) else None
        if rewritten is not None:
            connection.execute(
                sa.text("UPDATE sheet SET body = :body WHERE id = :id"), {"body": rewritten, "id": row_id}
            )


def _with_sayings(body: str) -> str | None:
    """The text of a sheet as it is kept now; None if it is not a sheet as it was kept before."""
    text = opened(body)
    if text is None or not text.startswith(_BEGINNING):
        return None
    try:
        sheet = json.loads(text)
        for item in sheet["items"]:
            _rewrite(item)
    except (ValueError, LookupError, TypeError, AttributeError):
        return None
    rewritten = json.dumps(sheet, ensure_ascii=False, separators=(",", ":"))
    return sealed(rewritten) if is_sealed(body) else rewritten


def _rewrite(item: dict[str, Any]) -> None:
    item["task"] = _saying(item["task"])
    solution = item["solution"]
    solution["text"] = _saying(solution["text"])
    solution["watch_for"] = [_saying(warning) for warning in solution.get("watch_for", ())]
    plan = solution.get("plan")
    if plan is not None:
        plan["source"] = _saying(plan["source"])
        for step in plan["steps"]:
            step["rule"], step["achieved"] = _saying(step["rule"]), _saying(step["achieved"])
    codes = dict(_OPTIONS)
    for claim in item["claims"]:
        if claim["claim"] == "method_rule":
            codes |= _RULES.get(claim["method"], {})
            claim["rule"] = codes.get(claim["rule"], claim["rule"])
    answer = item["answer"]
    if answer.get("options"):
        for name in ("accepted", "options"):
            answer[name] = [codes.get(option, option) for option in answer[name]]


def _saying(words: object) -> dict[str, object]:
    if not isinstance(words, str):
        raise TypeError(f"{words!r} is no sentence")
    return {"code": "", "facts": [], "words": words}
