"""What a good aircraft of the Quennock week shows, step by step; and when each step is answered."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise

from hardstand.domain import measuring
from hardstand.domain.checklist import COUNTED, Step
from hardstand.domain.defects import Refused
from hardstand.domain.quantity import Instant, later, seconds_between
from hardstand.errors import Usage
from hardstand.flows.giving import good_pick, ident

DIALS: Mapping[str, tuple[str, str]] = {
    "L-2201": ("0.0020", "0"), "L-2204": ("-0.0030", "0"), "L-2207": ("0.0010", "0.5"),
    "L-2213": ("0.0045", "0"), "L-2216": ("0.0085", "0"), "A-2401": ("0.0010", "0"),
    "A-2404": ("-0.0020", "0"), "A-2407": ("0.0030", "0"), "A-2410": ("0.0015", "5"),
    "A-2413": ("-0.0010", "0"), "A-2416": ("0.0048", "0"), "B-2601": ("0.0005", "0"),
    "B-2604": ("0.0015", "0"), "B-2607": ("-0.0025", "0"), "B-2610": ("0.0020", "0"),
    "B-2613": ("0.0010", "0"), "B-2616": ("-0.0040", "0"),
}  # fmt: skip
"""Error of each receiver's dial: reading = true × (1 + p) + q, to the graduation."""


def spaced(
    steps: Sequence[str], start: Instant, end: Instant, own: Mapping[str, Instant]
) -> dict[str, Instant]:
    """When each step is answered: own times kept, in the order of the steps, evenly between."""
    places = list(steps)
    known = sorted((places.index(step), at) for step, at in own.items())
    points = [(-1, start), *known, (len(steps) - 1, end)]
    found: dict[str, Instant] = {}
    for (before, since), (place, at) in pairwise(points):
        whole, count = seconds_between(since, at), place - before
        for k in range(1, count + 1):
            found[places[before + k]] = later(since, seconds=whole * k // count)
    return found


def well(fill: Callable[[str], str], step: Step, serials: Mapping[str, str]) -> tuple[str, str]:
    """The line of a script that answers a step as a good aircraft would."""
    if step.kind == "state":
        return good_pick(step), ""
    if step.kind == "count":
        counted = COUNTED in (step.sets or {}).values() or not step.expect
        return ("9" if counted else fill(step.expect)), ""
    if step.kind == "reading":
        return read_off(step, dial(step, serials)), ""
    if step.judge is not None:
        return _heard(step, step.judge)
    return "OK", SAID.get(step.kind, "") if step.evidence else ""


SAID = {
    "gate": "BT outside at the wing tip; tower agreed; fuel truck away; no charges fitted",
    "record": "as said: strength good, modulation good; told MS",
    "listen": "as heard: steady, clear",
    "transmit": "own tone steady, every dot whole; Tarrick Tower: clear",
}
"""What the demo's people write where a step asks for words."""


def _heard(step: Step, rule: Mapping[str, str]) -> tuple[str, str]:
    """What is heard or told on a good set: high frequency is given a digit, VHF only words."""
    if rule["name"] == "ident_match":
        return "OK", ident(step)
    if rule["name"] == "range_filter":
        return good_pick(step), ""
    station = rule.get("called") or "Second set"
    if rule["frequency"].endswith("kHz"):
        return "5", f"{station}: strength good, modulation good"
    return "OK", f"{station}: loud and clear"


def dial(step: Step, serials: Mapping[str, str]) -> str:
    """The reading of a dial step by the error of the receiver's serial, half up."""
    rule = step.judge or {}
    if "true_khz" not in rule:
        raise Usage(f"Step {step.id} reads no dial.")
    p, q = DIALS.get(serials.get(rule.get("position", ""), ""), ("0", "0"))
    grain = step.graduation or Decimal(1)
    steps = ((Decimal(rule["true_khz"]) * (1 + Decimal(p)) + Decimal(q)) / grain).quantize(
        Decimal(1), rounding=ROUND_HALF_UP
    )
    return format((steps * grain).normalize(), "f")


def read_off(step: Step, number: str) -> str:
    """A dial reading as a script gives it: too close to call, it is taken from both sides too."""
    found = measuring.settle(step, (number,))
    return f"{number} {number} {number}" if isinstance(found, Refused) else number
