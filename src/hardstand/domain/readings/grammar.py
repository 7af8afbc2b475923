"""The one way a number is written here, and the only one that is read.

Nothing is dropped, trimmed or guessed: what does not fit is refused with what would fit. A unit
may stand behind the number and must then be the unit asked for; nothing is ever converted.
Source: strict entry after Thimbleby & Cairns 2010 (out-by-ten errors); the rest is common practice.
"""

from __future__ import annotations

import re
from decimal import Decimal

from hardstand.errors import Usage

MOST_DIGITS = 15
"""No meter, dial or counter of the trade shows more; longer ones are slips of the key."""

_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")


def number(text: str) -> Decimal:
    """The number `text` writes: digits, at most one point with digits on both sides, one sign.

    Raises:
        Usage: anything else stands there, a space and an exponent included.
    """
    return measured(text, ())


def measured(text: str, units: tuple[str, ...]) -> Decimal:
    """The number `text` writes, alone or followed by one of `units` (one space between, or none).

    Raises:
        Usage: the number does not fit the grammar, or another unit stands behind it.
    """
    found = _NUMBER.match(text)
    rest = text[found.end() :] if found else text
    if found is None or (rest and rest.removeprefix(" ") not in units):
        raise Usage(f"{text!r} is not read as a number{_not_unit(found, rest)}", hint=_hint(units))
    digits = found.group()
    if sum(c.isdigit() for c in digits) > MOST_DIGITS:
        raise Usage(f"{digits!r} has more than {MOST_DIGITS} digits", hint=_hint(units))
    value = Decimal(digits)
    return value if value else value.copy_abs()


def _not_unit(found: re.Match[str] | None, rest: str) -> str:
    """The part of the message that names what stands behind a good number."""
    return f": {rest!r} stands behind {found.group()!r}" if found else ""


def _hint(units: tuple[str, ...]) -> str:
    """What would be accepted, in the unit asked for."""
    example = f"4000 or 4000 {units[0]}" if units else "4000 or 0.5, with no unit"
    return f"Write digits with at most one point, as {example}."
