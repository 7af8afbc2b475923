"""What one aircraft needs before it can fly each mission, and what one failure more would cost."""

from __future__ import annotations

from hardstand.domain.mission_advice import one_failure_more, to_clear
from hardstand.domain.mission_fit import Fitness, Known
from hardstand.domain.quantity import date_time, zone
from hardstand.domain.words import visible
from hardstand.flows.leading import LeadBoard
from hardstand.views.missions import out_loud
from hardstand.views.output import prose
from hardstand.views.status import FOOT


def text(found: LeadBoard, tail: str) -> str:
    """The sentence to say, a line for each mission, a line for each unit that matters."""
    v = next(v for v in found.stand.verdicts if v.tail == tail)
    where = zone(found.record.time_zone)
    repeats = [r for t, r in found.repeats if t == tail]
    lines = [f"As of {date_time(v.as_of, where)}:", out_loud(v, repeats)]
    if v.known is None:
        lines.append("The record holds no missions of its fit.")
    else:
        lines += [_mission(v.known, said) for said in v.missions]
        lines.append("One failure more, dearest first:")
        lines += _costs(v.known)
    return prose("\n".join([*(visible(line) for line in lines), FOOT]))


def _costs(known: Known) -> list[str]:
    """Units by the missions their loss would lose, dearest first."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for unit, lost in one_failure_more(known):
        alike.setdefault(lost, []).append(unit)
    told = [f"  {', '.join(units)}: loses {', '.join(lost)}" for lost, units in alike.items()]
    return told or ["  nothing more to lose"]


def _mission(known: Known, said: Fitness) -> str:
    """A mission, why it is not simply CAN, and the least that would give it back.

    Nothing less than a walk is named where no preflight is in date: an inspection is not shortened.
    """
    line = f"{said.mission} {said.word}{f': {said.why}' if said.why else ''}."
    if said.word in {"CANNOT", "BARRED"} and not known.book.tasks[said.mission].never:
        found = to_clear(known, said.mission)
        if found.sets != ((),):
            return f"{line} To be cleared: {found.sentence()}."
    if said.word == "UNKNOWN" and known.why_unknown:
        return f"{line} Walk it."
    return line
