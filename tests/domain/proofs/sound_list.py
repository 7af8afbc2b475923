"""A short list with nothing to find, and the ways to spoil one thing in it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from domain.proofs.tables import fit, functions, item, step, units
from hardstand.domain.checklist import Bounds, Checklist, Control, Manual, Peril, Zone


def peril(hazard: str, consequence: str = "It can kill.", avoid: str = "Keep clear.") -> Peril:
    """A warning with words in all three parts."""
    return Peril(hazard=hazard, consequence=consequence, avoid=avoid)


FIT = fit(
    {
        "battery": item(["BATTERY switch", "energy", "OFF", "hazard", "OFF > ON; ON > OFF"]),
        "panel": item(["radio panel", "access", "CLOSED", "", "CLOSED > OPEN; OPEN > CLOSED"]),
        "stand": item(["work stand", "placed", "AWAY", "", "AWAY > PLACED; PLACED > AWAY"]),
        "tools": item(["tools", "count", "0", "", ""]),
    },
    units=units("SET"),
    functions=functions(talk="SET"),
    controls={
        "battery": Control(plate="BATTERY", positions=("OFF", "ON")),
        "ptt": Control(plate="PRESS-TO-TALK"),
    },
)

ZONES = (
    Zone(
        id="log",
        title="aircraft and log",
        warning=(peril("Treat every propeller as live."), peril("Fuel vapour can be lit.")),
    ),
    Zone(
        id="safe",
        title="cockpit, make safe",
        warning=(peril("This set can have more than one supply."), peril("Take off metal.")),
    ),
    Zone(
        id="mast",
        title="antenna, hands on",
        warning=(peril("A keyed antenna burns."), peril("Lightning can strike the antenna.")),
    ),
    Zone(id="bay", title="radio bay", warning=(peril("Plate voltage can kill."),)),
    Zone(
        id="test",
        title="operating test",
        warning=(peril("Do not work alone."), peril("RF can fire a cartridge or squib.")),
    ),
    Zone(id="close", title="close up", warning=(peril("The set can still be charged."),)),
)

STEPS = (
    step("bring", "log", do="Count what you bring.", kind="count", sets={"tools": "counted"}),
    step(
        "dead",
        "safe",
        do="Look at the BATTERY switch.",
        kind="state",
        critical=True,
        touch="the BATTERY switch",
        states=("OFF", "ON"),
        expect="OFF",
        sets={"battery": "OFF"},
        why="Found on, it has drained the battery.",
        bad="It rests half-way.",
    ),
    step(
        "climb",
        "mast",
        do="Place the stand under the mast.",
        kind="set",
        sets={"stand": "PLACED"},
        warning=(peril("Falls kill."),),
        must_be={"battery": "OFF"},
    ),
    step("mast", "mast", do="Push the mast to all four sides.", bad="It rocks at the base."),
    step("down", "mast", do="Roll the stand away.", kind="state", sets={"stand": "AWAY"}),
    step("open", "bay", do="Open the panel.", kind="set", sets={"panel": "OPEN"}),
    step("bond", "bay", do="Look at the bonding strap.", why="Noise starts here."),
    step("shut", "bay", do="Close the panel.", kind="state", sets={"panel": "CLOSED"}),
    step("heads", "bay", do="Count the fasteners.", kind="count", expect="12"),
    step(
        "gate",
        "test",
        do="Say who watches outside.",
        kind="gate",
        evidence="name",
        if_fault="off",
        why="Somebody may stand at the mast.",
    ),
    step(
        "on",
        "test",
        do="Move the BATTERY switch to ON.",
        kind="state",
        sets={"battery": "ON"},
        proves=("battery",),
        why="From here the battery runs down.",
    ),
    step(
        "volts",
        "test",
        do="Read the bus voltage.",
        kind="reading",
        unit="V",
        accept=Bounds(low=Decimal(24), high=Decimal(29)),
        must_be={"battery": "ON"},
    ),
    step(
        "listen",
        "test",
        do="Listen on the tower channel.",
        kind="listen",
        warning=(peril("A burst can harm hearing."),),
        must_be={"battery": "ON"},
    ),
    step(
        "call",
        "test",
        do="Call the tower.",
        kind="transmit",
        after=("gate",),
        proves=("talk", "ptt"),
        warning=(peril("The next step radiates."),),
        must_be={"battery": "ON"},
    ),
    step(
        "off",
        "close",
        do="Move the BATTERY switch to OFF.",
        kind="state",
        critical=True,
        touch="the BATTERY switch",
        sets={"battery": "OFF"},
        why="Left on it is flat by noon.",
    ),
    step(
        "back",
        "close",
        place="the tray",
        do="Count what you brought.",
        kind="count",
        sets={"tools": "0"},
    ),
    step("end", "close", do="Say aloud that the walk is complete."),
)

SOUND = Checklist(
    id="sound",
    title="Sound",
    fit="fit",
    purpose="preflight",
    revision="1",
    manual=Manual(title="Manual", revision="1"),
    zones=ZONES,
    steps=STEPS,
)


def with_step(step_id: str, **fields: Any) -> Checklist:
    """The sound list with fields of one step changed."""
    return replace(
        SOUND,
        steps=tuple(replace(s, **fields) if s.id == step_id else s for s in STEPS),
    )


def with_zone(zone_id: str, **fields: Any) -> Checklist:
    """The sound list with fields of one zone changed."""
    return replace(
        SOUND,
        zones=tuple(replace(z, **fields) if z.id == zone_id else z for z in ZONES),
    )


def without(step_id: str) -> Checklist:
    """The sound list less one step."""
    return replace(SOUND, steps=tuple(s for s in STEPS if s.id != step_id))


def swapped(one: str, other: str) -> Checklist:
    """The sound list with two steps in each other's place."""
    places = {one: SOUND.step(other), other: SOUND.step(one)}
    return replace(SOUND, steps=tuple(places.get(s.id, s) for s in STEPS))
