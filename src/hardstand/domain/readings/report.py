"""What the tower said: the scale, the length of a test, reports weighed together, shared parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

LONGEST_TEST_S = Decimal(10)

SCALE: Mapping[str, tuple[str, str]] = {
    "1": ("unreadable", "fail"),
    "2": ("readable now and then", "fail"),
    "3": ("readable with difficulty", "investigate"),
    "4": ("readable", "pass_with_note"),
    "5": ("perfectly readable", "pass"),
}
OFF_SCALE = ("not on the scale", "reject")

FINDINGS = ("off frequency", "distorted", "over", "hum")
"""Words that are a finding even beside a 5."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One answer to a test call, as given.

    `digit` is the readability the station said, 1 to 5, or None where it said none: never invented.
    """

    station: str
    channel: str
    digit: int | None = None
    words: str = ""


def report_scale(*, digit: str) -> Judged:
    """The meaning of a readability digit, and what we suggest to do with it."""
    meaning, verdict = SCALE.get(digit, OFF_SCALE)
    return Judged(figures={"meaning": meaning, "suggested_verdict": verdict}, verdict=verdict)


def call_length(*, seconds: Decimal) -> Judged:
    """Whether a test call kept to ten seconds; none at all is rejected."""
    verdict = "reject" if seconds <= 0 else "pass" if seconds <= LONGEST_TEST_S else "fail"
    return Judged(
        figures={"verdict": verdict},
        value=seconds,
        unit="s",
        limit="10 s, inclusive",
        verdict=verdict,
    )


def weighed(reports: Sequence[Report]) -> Judged:
    """`pass`, `defect_offered` or `ask_again` for one transmitter, from all its reports.

    Two stations at 3 or less, or one at 3 or less on two channels, come first: a good third report
    does not take them back. Words that name a finding are kept beside any verdict.
    """
    said = [r for r in reports if r.digit is not None]
    poor = [r for r in said if r.digit is not None and r.digit <= 3]
    good = any(r.digit is not None and r.digit >= 4 for r in said)
    bad = any(r.digit is not None and r.digit <= 2 for r in said)
    agreed = len({r.station for r in poor}) > 1 or _twice_on_two_channels(poor)
    verdict = "defect_offered" if agreed else "pass" if good and not bad else "ask_again"
    look_at = [f"heard by {r.station}: {word}" for r in reports for word in findings(r.words)]
    if verdict == "ask_again":
        look_at.append(
            "ask another station, or the same one on another channel"
            if said
            else "no readability was given: ask for it"
        )
    return Judged(
        figures={"verdict": verdict},
        limit="4 or 5 passes; 3 or less from two stations, or twice on two channels, is a defect",
        verdict=verdict,
        basis="ICAO Annex 10 volume II 5.2.1.8, restated; the weighing is our own judgement.",
        look_at=tuple(look_at),
    )


def findings(words: str) -> tuple[str, ...]:
    """The words of a report that are a finding in themselves."""
    flat = f" {words.lower().replace(',', ' ').replace('.', ' ')} "
    return tuple(word for word in FINDINGS if f" {word} " in flat)


def _twice_on_two_channels(poor: Sequence[Report]) -> bool:
    """Whether some one station gave 3 or less on two channels."""
    return any(
        a.station == b.station and a.channel != b.channel for a in poor for b in poor if a is not b
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fed:
    """One item that was tested, its own box, and all it needs, by how it was found (P or D)."""

    item: str
    box: str
    poor: tuple[str, ...]
    dead: tuple[str, ...]

    def needs(self, result: str) -> tuple[str, ...]:
        """What stands under the item when it is found so; the box itself comes last."""
        return (*(self.dead if result == "D" else self.poor), self.box)


def look_first(items: Sequence[Fed], results: Mapping[str, str]) -> tuple[str, ...]:
    """What the bad items share and no good one uses; if nothing, the bad boxes one by one.

    Results are G good, P poor, D dead, U not tested. While an untested item uses a suspect, the
    answer is to test it before anything is opened.
    """
    bad = [i for i in items if results[i.item] in ("P", "D")]
    if not bad:
        return ()
    cleared = {
        need for i in items if results[i.item] == "G" for need in (*i.needs("P"), *i.needs("D"))
    }
    first, *others = (i.needs(results[i.item]) for i in bad)
    shared = [n for n in first if n not in cleared and all(n in other for other in others)]
    suspects = shared or [i.box for i in bad]
    for item in items:
        if results[item.item] == "U" and set(suspects) & set(item.needs("P") + item.needs("D")):
            return (f"test {item.box} before opening anything",)
    return tuple(suspects)


_UNDER_ALL = ("antenna wire and insulators", "relay RLY", "supply voltage", "bonding")
_SENDING = ("modulator", "microphone", "DYN-T", "control box CTL-T", *_UNDER_ALL)
_DEAD_SENDING = (
    *("selector or key line in CTL-T", "DYN-T", "microphone", "tower on watch?"),
    *_UNDER_ALL,
)
_HEARING = ("DYN-R", "control box CTL-R", "headset and cord", *_UNDER_ALL)

HAND_TUNED = (
    Fed(item="tx1", box="TX-1", poor=_SENDING, dead=_DEAD_SENDING),
    Fed(item="tx2", box="TX-2", poor=_SENDING, dead=_DEAD_SENDING),
    Fed(item="lf", box="RX-LF", poor=_HEARING, dead=_HEARING),
    Fed(item="hfa", box="RX-HFA", poor=_HEARING, dead=_HEARING),
    Fed(item="hfb", box="RX-HFB", poor=_HEARING, dead=_HEARING),
)
"""An example: the hand-tuned fit of the invented scenario. A walk uses its own fit."""


def shared_fault(*, tx1: str, tx2: str, lf: str, hfa: str, hfb: str) -> Judged:
    """Where to look first in the example fit, from what two senders and three receivers did."""
    results = {"tx1": tx1, "tx2": tx2, "lf": lf, "hfa": hfa, "hfb": hfb}
    first = look_first(HAND_TUNED, results)
    return Judged(figures={"look_first_at": "; ".join(first)}, look_at=first)


_FOUND = {"g": "G", "p": "P", "d": "D", "u": "U"}


def _found(name: str, words: str) -> Ask:
    return Ask(name=name, words=f"{words}: G good, P poor, D dead, U not tested", choices=_FOUND)


FAMILIES = by_name(
    Family(
        name="report_scale",
        asks=(Ask(name="digit", words="readability as given", free=True),),
        columns=("digit", "meaning", "suggested_verdict"),
        formula="1 unreadable to 5 perfectly readable",
        source="ICAO Annex 10 volume II 5.2.1.8, restated; the verdict is our own suggestion.",
        compute=report_scale,
    ),
    Family(
        name="test_transmission",
        asks=(Ask(name="seconds", words="length of the test call", units=("s",)),),
        columns=("seconds", "verdict"),
        formula="at most ten seconds, inclusive",
        source="ICAO Annex 10 volume II 5.1.3.",
        compute=call_length,
    ),
    Family(
        name="shared_fault",
        asks=(
            _found("tx1", "first transmitter"),
            _found("tx2", "second transmitter"),
            _found("lf", "low-frequency receiver"),
            _found("hfa", "first high-frequency receiver"),
            _found("hfb", "second high-frequency receiver"),
        ),
        columns=("tx1", "tx2", "lf", "hfa", "hfb", "look_first_at"),
        formula="the units under every bad item and under no good one; if none, each bad item",
        source="Our own judgement, on an example fit: look first at, never is.",
        compute=shared_fault,
    ),
)
