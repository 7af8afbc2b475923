"""Why a goal is missed: a sentence for each figure that is known to miss, by how its row begins."""

from __future__ import annotations

from collections.abc import Iterable

from bench.scale import COMMANDS
from bench.timing import Figure

_LONGER = (
    "The facts of the airframe are longer the more entries are open on it, and this one has the "
    "open entries of years; how much past the record has beyond them makes no difference."
)
REASONS = {
    "`walk`, from Enter": "A walk writes, and what writes is SQLAlchemy: loading it is two thirds "
    "of the time (`python -X importtime`). The question comes before anything is written, so it "
    "could come before the load; it does not yet.",
    "answer to next question": "The floor reads a line and prints one. An answer is judged, "
    "hashed, appended in a transaction, and the next screen is laid out and drawn; all of it is "
    "under a millisecond where Python starts in ten, and no person waits for it. The quicker the "
    "disk, the more of it is left to see.",
    "verify": "Python reads each row out of SQLite before it can hash it, and the rows alone take "
    "as long as the note says. The goal comes from lines of 487 bytes; these are shorter, and a "
    "row costs the same to read however short it is.",
    "rebuild": "The fold asks of each line who might do it, what its author had in front of them "
    "and what it takes from or gives to the functions; the floor only counts rows. Nothing of "
    "every day waits for it: `record rebuild`, `verify`, and a change of the fleet do.",
    "bulk load": "The lines are verified and every airframe they touch is folded; `executemany` "
    "does neither.",
    "size of the record": "Each index of the file is bytes that its lines as text do not have.",
    "verified backup": "The copy is made by SQLite page by page, then read again as a whole.",
    **dict.fromkeys((f"`{name}` at" for name in COMMANDS), _LONGER),
    "8 programs": "The programs share the processors of the machine as well as the record.",
}
"""By the beginning of the row, the longest that fits; the last resort is to say so."""

UNKNOWN = "No reason is known: it counts as a fault until one is."


def missed(figures: Iterable[Figure]) -> list[str]:
    """A line of the page for each figure that misses its goal: by how much, and why."""
    return [
        f"- {figure.what}, against {figure.floor or 'the goal'}: {_by(figure)}\n  {_why(figure)}"
        for figure in figures
        if not figure.kept
    ]


def _by(figure: Figure) -> str:
    times = figure.goal / figure.ratio if figure.more else figure.ratio / figure.goal
    sign = "≥" if figure.more else "≤"
    found, promised = f"{figure.ratio:.2f} {figure.unit}", f"{figure.goal:g} {figure.unit}"
    return f"{found} where {sign} {promised} was promised, missed by a factor of {times:.1f}."


def _why(figure: Figure) -> str:
    fitting = [begin for begin in REASONS if figure.what.startswith(begin)]
    why = REASONS[max(fitting, key=len)] if fitting else UNKNOWN
    return why.replace(". ", ".\n  ")  # a sentence a line
