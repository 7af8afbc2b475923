r"""Bytes to text: UTF-8 with or without a mark at the start, any line ends, nothing hidden.

A text that passes has `\n` line ends only and no character that a person could not see.
"""

from __future__ import annotations

import re
import unicodedata

from hardstand.domain.diagnostic import Diagnostic

LARGEST = 4 * 1024 * 1024
"""Largest file read, in bytes."""

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff"
    "\ufff9-\uffff\ud800-\udfff]"
)
_NEWER = re.compile(
    r"(?:(?:[ ]*#[^\n]*|[ ]*|---[ ]*)\n)*format[ ]*:[ ]+(['\"]?)([0-9]{1,9})\1[ ]*(?:#|\n|$)"
)
_TOO_NEW = "made for a newer hardstand: format {given}; this one reads format {known}"

FORMAT = 1
"""The format of files this hardstand reads."""


def decoded(data: bytes) -> str | Diagnostic:
    r"""The text, its line ends made `\n`; or why the bytes are no text we read."""
    if len(data) > LARGEST:
        return finding(
            "HS126",
            f"the file has {len(data)} bytes; at most {LARGEST} are read",
            "a list for one fit has some tens of thousands; is this the right file?",
        )
    body = data.removeprefix(_BYTE_ORDER_MARK)
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        return _not_utf8(data, len(data) - len(body) + error.start)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_utf8(data: bytes, offset: int) -> Diagnostic:
    before = data[:offset].removeprefix(_BYTE_ORDER_MARK).decode("utf-8", errors="replace")
    before = before.replace("\r\n", "\n").replace("\r", "\n")
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    return finding(
        "HS101",
        f"not UTF-8: byte {offset} is 0x{data[offset]:02X}",
        "save the file as UTF-8; the place is counted from the start of the file, first byte 0",
        line=line,
        column=column,
    )


def newer_format(text: str) -> Diagnostic | None:
    """The one thing to say of a file of a later format, read before anything else is judged."""
    match = _NEWER.match(text)
    if match is None or int(match[2]) <= FORMAT:
        return None
    line = text.count("\n", 0, match.start(2)) + 1
    column = match.start(2) - text.rfind("\n", 0, match.start(2))
    return finding(
        "HS114",
        _TOO_NEW.format(given=int(match[2]), known=FORMAT),
        "use that newer hardstand, or the former file",
        line=line,
        column=column,
    )


def unseen(text: str) -> tuple[Diagnostic, ...]:
    """Tabs, hidden characters and directives: each kind once, at its first place."""
    found: list[Diagnostic] = []
    lines = text.split("\n")
    tabbed = [n for n, line in enumerate(lines, 1) if "\t" in line]
    if tabbed:
        column = lines[tabbed[0] - 1].index("\t") + 1
        found.append(
            finding(
                "HS103",
                f"tabs are not used: {_lines(tabbed)}",
                "use spaces; two a level is usual",
                line=tabbed[0],
                column=column,
            )
        )
    hidden = [(n, m) for n, line in enumerate(lines, 1) if (m := _HIDDEN.search(line))]
    if hidden:
        line, match = hidden[0]
        found.append(
            finding(
                "HS102",
                f"hidden character {spelled(match[0])}: {_lines([n for n, _ in hidden])}",
                "take it out; only what a reader can see is accepted",
                line=line,
                column=match.start() + 1,
            )
        )
    directive = next((n for n, line in enumerate(lines, 1) if line.startswith("%")), 0)
    if directive:
        found.append(
            finding(
                "HS125",
                "directives are not used: a line begins with '%'",
                "take the line out",
                line=directive,
            )
        )
    return tuple(found)


def hidden_in(value: str) -> str:
    """The first hidden character an escape put into a value, spelled; empty if none did."""
    match = _HIDDEN.search(value) or re.search("\t", value)
    return spelled(match[0]) if match else ""


def spelled(character: str) -> str:
    """A character by number and, where it has one, by name: `U+202E RIGHT-TO-LEFT OVERRIDE`."""
    return f"U+{ord(character):04X} {unicodedata.name(character, '')}".rstrip()


def _lines(numbers: list[int]) -> str:
    shown = ", ".join(str(n) for n in numbers[:5])
    if len(numbers) == 1:
        return f"line {shown}"
    rest = f" and {len(numbers) - 5} more" if len(numbers) > 5 else ""
    return f"lines {shown}{rest}"


def finding(code: str, message: str, hint: str, *, line: int = 1, column: int = 1) -> Diagnostic:
    """An error in the text itself; the file's name is added by whoever knows it."""
    return Diagnostic(
        code=code, level="error", message=message, hint=hint, line=line, column=column
    )
