"""Morse code: signals, their length in units and seconds, and whether an ident is the one sent.

Source: ITU-R M.1677-1 annex 1, parts 1 (signals) and 2 (spacing: dash 3, inside 1, between letters
3, between words 7), read in restatements. PARIS with its word gap is 50 units: arithmetic.
"""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

LETTER_GAP, WORD_GAP = 3, 7
PARIS_UNITS = 50

_TABLE = (
    "A.- B-... C-.-. D-.. E. F..-. G--. H.... I.. J.--- K-.- L.-.. M-- N-. O--- P.--. Q--.- R.-. "
    "S... T- U..- V...- W.-- X-..- Y-.-- Z--.. 1.---- 2..--- 3...-- 4....- 5..... 6-.... 7--... "
    "8---.. 9----. 0-----"
)
CODES = {entry[0]: entry[1:] for entry in _TABLE.split()}
CHARACTERS = {code: char for char, code in CODES.items()}


def code_of(char: str) -> str:
    """Dots and dashes of one letter or figure; capitals and small letters are the same.

    Raises:
        Usage: the text is not one letter A to Z or one figure.
    """
    code = CODES.get(char.upper()) if len(char) == 1 and char.isascii() else None
    if code is None:
        raise Usage(f"{char!r} has no signal here", hint="Accepted: one of A to Z, 0 to 9.")
    return code


def encoded(text: str) -> str:
    """A text as signals: letters apart by one space, words by ` / `.

    Raises:
        Usage: a character has no signal, or words are not apart by exactly one space.
    """
    words = text.split(" ")
    if "" in words:
        raise Usage("words stand apart by one space, with none before or behind")
    return " / ".join(" ".join(code_of(char) for char in word) for word in words)


def decoded(signals: str) -> str:
    """The text of signals written as `encoded` writes them.

    Raises:
        Usage: a group of dots and dashes is no letter or figure.
    """
    words = (word.split(" ") for word in signals.split(" / "))
    return " ".join("".join(_char_of(group) for group in word) for word in words)


def _char_of(group: str) -> str:
    char = CHARACTERS.get(group)
    if char is None:
        raise Usage(f"{group!r} is no letter or figure")
    return char


def units_of(text: str) -> int:
    """Length of a text in dots, without the gap behind it.

    Raises:
        Usage: as `encoded`.
    """
    words = encoded(text).split(" / ")
    inside = sum(
        sum(_units(code) for code in word.split(" ")) + LETTER_GAP * word.count(" ")
        for word in words
    )
    return inside + WORD_GAP * (len(words) - 1)


def _units(code: str) -> int:
    return sum(3 if mark == "-" else 1 for mark in code) + len(code) - 1


@exact
def unit_seconds(wpm: Decimal) -> Decimal:
    """The length of a dot at so many words a minute."""
    return Decimal(60) / (PARIS_UNITS * wpm)


def morse_code(*, char: str) -> Judged:
    """Signal of one character and its length in dots."""
    code = code_of(char)
    return Judged(figures={"code": code, "units": str(_units(code))}, value=Decimal(_units(code)))


@exact
def morse_timing(*, text: str, wpm: Decimal) -> Judged:
    """How long a text takes at so many words a minute, without and with the gap behind it."""
    units = units_of(text)
    dot = unit_seconds(wpm)
    return Judged(
        figures={
            "units": str(units),
            "units_plus_word_gap": str(units + WORD_GAP),
            "seconds": shown(units * dot, 3),
            "seconds_plus_word_gap": shown((units + WORD_GAP) * dot, 3),
        },
        value=units * dot,
        unit="s",
    )


@exact
def morse_unit(*, wpm: Decimal) -> Judged:
    """Dot and dash in milliseconds at so many words a minute."""
    dot = unit_seconds(wpm) * 1000
    figures = {"dot_ms": shown(dot, 1), "dash_ms": shown(3 * dot, 1)}
    return Judged(figures=figures, value=dot, unit="ms")


def ident_match(*, expected: str, heard: str) -> Judged:
    """Whether the ident heard, as letters or as dots and dashes, is the one expected.

    Raises:
        Usage: a character has no signal, or a group is no letter.
    """
    encoded(expected)
    letters = decoded(heard) if set(heard) <= set(".- /") else heard
    encoded(letters)
    same = letters.upper() == expected.upper()
    verdict = "match" if same else "differs"
    look_at = () if same else ("another station, or one letter missed: hear it twice more",)
    return Judged(
        figures={"heard_as": letters.upper(), "verdict": verdict}, verdict=verdict, look_at=look_at
    )


def interlock() -> tuple[str, str]:
    """A and N of a four-course range as eight units each: together they leave no gap.

    A begins its dot in the gap of N. Source: derived from the code and the unit lengths.
    """
    n_stream = "111" + "0" + "1" + "000"
    return "".join("1" if mark == "0" else "0" for mark in n_stream), n_stream


SPEED = Ask(
    name="wpm", words="words a minute", units=("wpm",), above=Decimal(0), high=Decimal(1000)
)
M1677 = "ITU-R M.1677-1 annex 1 parts 1 and 2; PARIS with its gap is 50 units."

FAMILIES = by_name(
    Family(
        name="morse_code",
        asks=(Ask(name="char", words="letter or figure", free=True),),
        columns=("char", "code", "units"),
        formula="dot 1, dash 3, gap inside 1; no gap behind",
        source=M1677,
        compute=morse_code,
    ),
    Family(
        name="morse_timing",
        asks=(Ask(name="text", words="text", free=True), SPEED),
        columns=(
            *("text", "wpm", "units", "units_plus_word_gap"),
            *("seconds", "seconds_plus_word_gap"),
        ),
        formula="one unit = 1.2 s / words a minute; 3 between letters, 7 between words",
        source=M1677,
        compute=morse_timing,
    ),
    Family(
        name="morse_unit",
        asks=(SPEED,),
        columns=("wpm", "dot_ms", "dash_ms"),
        formula="dot = 1200 ms / words a minute; dash = 3 dots",
        source=M1677,
        compute=morse_unit,
    ),
    Family(
        name="ident_match",
        asks=(
            Ask(name="expected", words="ident in the list", free=True),
            Ask(name="heard", words="ident heard: letters, or dots and dashes", free=True),
        ),
        columns=("expected", "heard", "heard_as", "verdict"),
        formula="letter by letter; one letter unlike is another station",
        source=M1677,
        compute=ident_match,
    ),
)
