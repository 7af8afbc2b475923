"""Text that people write: kept exactly, limited in length, shown so that it cannot act.

Source of the direction-changing set: Unicode Standard Annex 9, section 2.
"""

from __future__ import annotations

import unicodedata

NOTE_LIMIT = 4000
"""Characters in one note; ours, from the whole-job paper."""

BRIEF = 120
"""Characters of a note that a list shows; ours."""

_NAMES = {
    0x00: "NUL", 0x07: "BEL", 0x08: "BS", 0x09: "TAB", 0x0A: "LF", 0x0B: "VT", 0x0C: "FF",
    0x0D: "CR", 0x1B: "ESC", 0x7F: "DEL", 0x85: "NEL", 0xA0: "NBSP", 0xAD: "SHY",
    0x061C: "ALM", 0x200B: "ZWSP", 0x200C: "ZWNJ", 0x200D: "ZWJ", 0x200E: "LRM", 0x200F: "RLM",
    0x2028: "LS", 0x2029: "PS", 0x202A: "LRE", 0x202B: "RLE", 0x202C: "PDF", 0x202D: "LRO",
    0x202E: "RLO", 0x2060: "WJ", 0x2066: "LRI", 0x2067: "RLI", 0x2068: "FSI", 0x2069: "PDI",
    0xFEFF: "BOM",
}  # fmt: skip


def visible(text: str) -> str:
    """The text with every control and direction-changing character as its name: `⟨ESC⟩`."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_shown(c) for c in text)


def _shown(char: str) -> str:
    code = ord(char)
    if code in _NAMES and code != 0xA0:
        return f"⟨{_NAMES[code]}⟩"
    if unicodedata.category(char) in {"Cc", "Cf", "Cs", "Zl", "Zp"}:
        return f"⟨U+{code:04X}⟩"
    return char


def too_long(text: str) -> str | None:
    """Why a note is refused, with its count; None if it fits."""
    if len(text) <= NOTE_LIMIT:
        return None
    return (
        f"This note has {len(text)} characters; one note holds {NOTE_LIMIT}. "
        "Nothing was cut: write it as two notes."
    )


def is_storable(text: str) -> bool:
    """Whether text can be kept exactly: no half of a surrogate pair."""
    return not any(0xD800 <= ord(c) <= 0xDFFF for c in text)


def brief(text: str, most: int = BRIEF) -> str:
    """The text as a list shows it: its beginning, and how many characters more there are."""
    if len(text) <= most:
        return text
    return f"{text[:most].rstrip()} … + {len(text) - most}"


def sought(text: str) -> str:
    """The text as it is searched: letter case and the way accents are written set aside."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", text).casefold())


def same_text(one: str, other: str) -> bool:
    """Whether two texts read the same: compared in Unicode normal form C."""
    return unicodedata.normalize("NFC", one) == unicodedata.normalize("NFC", other)


def cell(text: str) -> str:
    """The text for one CSV cell: visible, and never taken for a formula by a spreadsheet."""
    shown = visible(text)
    return f"'{shown}" if shown[:1] in {"=", "+", "-", "@"} and len(shown) > 1 else shown
