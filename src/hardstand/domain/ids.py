"""Names that are said aloud: tails, entry numbers, walks, entry references."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from functools import lru_cache

_TAIL = re.compile(r"[A-Z0-9]+(-[A-Z0-9]+)*")
_DEVICE = re.compile(r"[A-Z]")
_INITIALS = re.compile(r"[^\W\d_]{2,4}")


def tail_key(text: str) -> str:
    """What two spellings of one tail have in common: no case, spaces or hyphens."""
    return "".join(c for c in text.upper() if c not in " -")


def is_tail(text: str) -> bool:
    """Whether text is a tail: A to Z, 0 to 9, single hyphens inside."""
    return bool(_TAIL.fullmatch(text))


def is_device(text: str) -> bool:
    """Whether text names a device: one capital letter A to Z."""
    return bool(_DEVICE.fullmatch(text))


def is_initials(text: str) -> bool:
    """Whether text can be sign-off initials: two to four letters, any alphabet."""
    return bool(_INITIALS.fullmatch(text))


def find_tail(typed: str, tails: Iterable[str]) -> str | None:
    """The tail meant by what was typed, compared by `tail_key`; None if there is none."""
    if not re.fullmatch(r"[A-Za-z0-9 -]+", typed):
        return None
    return next((tail for tail in tails if tail_key(tail) == tail_key(typed)), None)


_LOOK_ALIKE = frozenset(
    frozenset(pair)
    for pair in ("17", "38", "56", "68", "69", "08", "0O", "0D", "1I", "5S", "8B", "2Z")
)
"""Signs taken for each other on a wet tail or over the telephone; common practice, from memory."""


def twins(tail: str, tails: Iterable[str]) -> tuple[str, ...]:
    """Other tails one change or one swap of neighbours away, which the eye takes for this one.

    The likeliest first: two signs swapped, then one sign for another that looks like it.
    """
    near = (t for t in tails if t != tail and _near(tail_key(tail), tail_key(t)))
    return tuple(sorted(near, key=lambda t: _unlike(tail_key(tail), tail_key(t))))


MOST_NAMED = 3
"""Twins that are named, the likeliest first; the rest are counted."""


def easily_taken(tail: str, tails: Iterable[str]) -> str:
    """The twins of a tail for a sentence: `QM-116 and QM-164 and 3 more`; empty if it has none."""
    near = twins(tail, tails)
    more = len(near) - MOST_NAMED
    return " and ".join([*near[:MOST_NAMED], *([f"{more} more"] if more > 0 else [])])


def _unlike(one: str, other: str) -> int:
    """0 for a swap of neighbours, 1 for signs that look alike, 2 for any other sign."""
    differ = [frozenset(pair) for pair in zip(one, other, strict=True) if pair[0] != pair[1]]
    return 0 if len(differ) == 2 else 1 if differ[0] in _LOOK_ALIKE else 2


def _near(one: str, other: str) -> bool:
    if len(one) != len(other):
        return False
    differ = [i for i, (a, b) in enumerate(zip(one, other, strict=True)) if a != b]
    if len(differ) == 1:
        return True
    if len(differ) != 2 or differ[1] != differ[0] + 1:
        return False
    i, j = differ
    return one[i] == other[j] and one[j] == other[i]


def short_tail(tail: str, tails: Iterable[str]) -> str:
    """The last three of a tail, or the whole of it where two tails end alike."""
    last = tail_key(tail)[-3:]
    return last if _ends(frozenset(tails))[last] <= 1 else tail_key(tail)


@lru_cache(maxsize=4)
def _ends(tails: frozenset[str]) -> Counter[str]:
    """How many tails have each ending; asked for each tail of a fleet in turn."""
    return Counter(tail_key(tail)[-3:] for tail in tails)


def entry_number(short: str, device: str, count: int) -> str:
    """The sayable number of an entry: `107-A01`."""
    return f"{short}-{device}{count:02d}"


def count_in(number: str) -> int:
    """How many entries the device of an entry number had made on that tail with it.

    Raises:
        ValueError: no device wrote such a number.
    """
    _, _, made = number.rpartition("-")
    if not (is_device(made[:1]) and made[1:].isascii() and made[1:].isdecimal()):
        raise ValueError(f"{number!r} is no entry number, such as 161-A01")
    return int(made[1:])


def bearers(number: str, tails: Iterable[str]) -> tuple[str, ...]:
    """The airframes that an entry number can be of: those whose tail ends as it begins."""
    short = number.rpartition("-")[0]
    return tuple(t for t in tails if short and tail_key(t).endswith(short))


def entry_ref(device: str, seq: int) -> str:
    """How one line of the record is named: device and place in its chain, `C-12`."""
    return f"{device}-{seq}"


def walk_name(device: str, count: int) -> str:
    """The name of a walk: device and count, `C1`."""
    return f"{device}{count}"
