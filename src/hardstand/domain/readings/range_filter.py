"""The range filter from four observations in order: BOTH, RANGE, VOICE, BOTH again.

Each observation is what was heard of the code and of the voice: `yes`, `faint` or `no`. Faint is
not heard where it should be kept out, and heard, but weak, where it should pass.
Source: our own truth table; that RANGE passes the tone alone and VOICE rejects it is published
technicians' practice (the filter passes 1020 Hz).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

GOOD, FAULT, REPEAT = "GOOD", "FAULT", "REPEAT"
NOT_TESTED, HALF_PROVEN = "NOT TESTED", "HALF PROVEN"

POINTERS = {
    ("11", "11"): "filter not in circuit; or headset of the wrong impedance",
    ("01", "10"): "RANGE and VOICE the wrong way round",
    ("00", "00"): "contact or lead after the switch",
}
RANGE_SIDE = {
    "10": "",
    "11": "RANGE side: voice not kept out",
    "00": "RANGE contact or lead",
    "01": "RANGE side: code lost, voice not kept out",
}
VOICE_SIDE = {
    "01": "",
    "11": "VOICE side: tone not kept out",
    "00": "VOICE contact or lead",
    "10": "VOICE side: voice lost, tone not kept out",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What came through in one position: `yes`, `faint` or `no` for code and for voice."""

    code: str
    voice: str

    def bits(self, *, code_passes: bool, voice_passes: bool) -> str:
        """Two digits, code then voice, faint counted by whether the position should pass it."""
        return _bit(self.code, passes=code_passes) + _bit(self.voice, passes=voice_passes)


def _bit(heard: str, *, passes: bool) -> str:
    return "1" if heard == "yes" or (heard == "faint" and passes) else "0"


def outcome(first: str, on_range: str, on_voice: str, last: str) -> str:
    """The result of four observations of two digits each (code, voice; 1 heard, 0 not)."""
    if first != last:
        return REPEAT
    if first == "00":
        return NOT_TESTED
    if first == "11":
        return GOOD if (on_range, on_voice) == ("10", "01") else FAULT
    # Only one of the two was on the air: `own` is its place, and the side that must pass it.
    own, passing, stopping = (0, on_range, on_voice) if first == "10" else (1, on_voice, on_range)
    if passing[1 - own] == "1" or stopping[1 - own] == "1":
        return REPEAT
    return FAULT if passing[own] == "0" or stopping[own] == "1" else HALF_PROVEN


def proved(first: str, result: str) -> tuple[str, ...]:
    """The halves of the filter a result proves: `range`, `voice`, both or none."""
    if result == GOOD:
        return ("range", "voice")
    if result == HALF_PROVEN:
        return ("range",) if first == "10" else ("voice",)
    return ()


PARTS = ("both", "range", "voice")
"""What the filter can do, one for each of its positions."""


def parts(first: str, on_range: str, on_voice: str, last: str) -> Mapping[str, str]:
    """What four observations say of each part: `good`, `bad` or `unknown`.

    BOTH is good only where code and voice were heard through it, before and after.
    """
    if outcome(first, on_range, on_voice, last) in {REPEAT, NOT_TESTED}:
        return dict.fromkeys(PARTS, "unknown")
    both = "good" if first == "11" else "unknown"
    return {"both": both, "range": _part(first, on_range, 0), "voice": _part(first, on_voice, 1)}


def _part(on_air: str, heard: str, own: int) -> str:
    """One side of the filter: `own` is the digit it must pass; it must stop the other."""
    other = 1 - own
    lost = on_air[own] == "1" and heard[own] == "0"
    let_in = on_air[other] == "1" and heard[other] == "1"
    if lost or let_in:
        return "bad"
    return "good" if on_air[own] == "1" else "unknown"


def pointer(on_range: str, on_voice: str) -> str:
    """What to look at first when code and voice were both on the air."""
    known = POINTERS.get((on_range, on_voice))
    sides = (RANGE_SIDE[on_range], VOICE_SIDE[on_voice])
    return known or "; ".join(side for side in sides if side)


def judged_filter(first: Heard, on_range: Heard, on_voice: Heard, last: Heard) -> Judged:
    """The verdict on the filter from what was heard, with weak passages and the unproven half."""
    begin = first.bits(code_passes=True, voice_passes=True)
    ranged = on_range.bits(code_passes=True, voice_passes=False)
    voiced = on_voice.bits(code_passes=False, voice_passes=True)
    result = outcome(begin, ranged, voiced, last.bits(code_passes=True, voice_passes=True))
    look_at = []
    if result == FAULT and begin == "11":
        look_at.append(pointer(ranged, voiced))
    if on_range.code == "faint":
        look_at.append("code weak on RANGE")
    if on_voice.voice == "faint":
        look_at.append("voice weak on VOICE")
    if result == HALF_PROVEN:
        other = "voice" if begin == "10" else "code"
        look_at.append(f"no {other} was on the air: try again when a station sends it")
    return Judged(
        figures={"result": result},
        limit="BOTH passes both, RANGE the code alone, VOICE the voice alone",
        verdict=result,
        basis="Our own truth table on published practice for range filters.",
        look_at=tuple(look_at),
    )


def range_filter(*, first: str, on_range: str, on_voice: str, last: str) -> Judged:
    """The result of four observations given as two digits each."""
    result = outcome(first, on_range, on_voice, last)
    first_look = pointer(on_range, on_voice) if result == FAULT and first == "11" else ""
    return Judged(
        figures={
            "result": result,
            "proves": " ".join(proved(first, result)),
            "look_first_at": first_look,
        },
        verdict=result,
        look_at=(first_look,) if first_look else (),
    )


def range_filter_pointer(*, on_range: str, on_voice: str) -> Judged:
    """Result and pointer when BOTH passed code and voice twice."""
    return range_filter(first="11", on_range=on_range, on_voice=on_voice, last="11")


_DIGITS = {bits: bits for bits in ("00", "01", "10", "11")}


def _position(name: str, arg: str) -> Ask:
    return Ask(
        name=name,
        words=f"heard on {name.replace('_', ' ')}: code, voice (1 heard, 0 not)",
        choices=_DIGITS,
        arg=arg,
    )


SOURCE = (
    "Our own truth table. That RANGE passes 1020 Hz alone and VOICE rejects it is published "
    "technicians' practice; no figure in decibels was found."
)

FAMILIES = by_name(
    Family(
        name="range_filter",
        asks=(
            _position("BOTH", "first"),
            _position("RANGE", "on_range"),
            _position("VOICE", "on_voice"),
            _position("BOTH_again", "last"),
        ),
        columns=("BOTH", "RANGE", "VOICE", "BOTH_again", "result", "proves", "look_first_at"),
        formula="BOTH unlike: repeat; nothing: not tested; both: good when RANGE passes the code "
        "alone and VOICE the voice alone; one of them: half proven",
        source=SOURCE,
        compute=range_filter,
    ),
    Family(
        name="range_filter_pointer",
        asks=(_position("RANGE", "on_range"), _position("VOICE", "on_voice")),
        columns=("RANGE", "VOICE", "result", "look_first_at"),
        formula="code and voice both heard on BOTH, before and after",
        source=SOURCE,
        compute=range_filter_pointer,
    ),
)
