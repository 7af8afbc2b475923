"""The daybook mark: ten characters over the ends of all chains, to be said and written in ink.

Whoever changes a line before it, or cuts one off, must find other lines with the same fifty bits;
see docs/explanation/threat-model.md for what that is worth.

Source: RFC 4648 section 6 for cutting bits in fives; the alphabet leaves out I, L, O and U, which
are taken for 1, 1, 0 and V when read aloud or written by hand (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from hardstand.domain.bodies_people import HeadSeen

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 10

SPOKEN = {
    "A": "Alfa", "B": "Bravo", "C": "Charlie", "D": "Delta", "E": "Echo", "F": "Foxtrot",
    "G": "Golf", "H": "Hotel", "J": "Juliett", "K": "Kilo", "M": "Mike", "N": "November",
    "P": "Papa", "Q": "Quebec", "R": "Romeo", "S": "Sierra", "T": "Tango", "V": "Victor",
    "W": "Whiskey", "X": "Xray", "Y": "Yankee", "Z": "Zulu",
}  # fmt: skip
"""How letters are said. Source: ICAO Annex 10 Volume II, figure 5-1 (spelling alphabet)."""

_MARK = b"hardstand/daybook/1\n"


def mark_of(heads: Iterable[HeadSeen]) -> str:
    """The mark over the ends of chains, in the order of their devices."""
    lines = (f"{h.device} {h.seq} {h.digest}\n" for h in sorted(heads, key=lambda h: h.device))
    digest = sha256(_MARK + "".join(lines).encode()).digest()
    bits = int.from_bytes(digest[:7], "big") >> (56 - 5 * LENGTH)
    return "".join(ALPHABET[(bits >> 5 * n) & 31] for n in reversed(range(LENGTH)))


def spelled(mark: str) -> str:
    """The mark as it is said aloud, digits as they are."""
    return " ".join(SPOKEN.get(c, c) for c in mark)


def mark_in(typed: str) -> str:
    """The mark that somebody read off paper; empty where it is none.

    Spaces and hyphens are nothing, and what the alphabet leaves out is what it is taken for.
    """
    plain = typed.upper().translate(str.maketrans("ILOU", "110V", " -\t"))
    return plain if len(plain) == LENGTH and set(plain) <= set(ALPHABET) else ""
