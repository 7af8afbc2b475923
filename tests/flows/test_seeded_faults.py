"""Ten files with one fault each, told word for word, and mended by doing what the words say.

Each fault is put into the shipped list of the VHF set. What is told is asserted whole: the line it
points at, the message, the way out. The mend is what that message asks for, in words of whoever
has nothing but the message: what the list said before is not put back, except by moving.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from hardstand.flows.checking import Checked, check_files

_FOLDER = Path(__file__).parents[2] / "checklists" / "vhf"
LIST = (_FOLDER / "preflight.yaml").read_text(encoding="utf-8")
FIT = (_FOLDER / "fit.yaml").read_text(encoding="utf-8")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seeded:
    """One fault: a text of the list, what it became, what is told, and how it is mended.

    `told` are findings as `text of the line | message | hint`. `mend` puts one text of the faulty
    file in the place of another.
    """

    name: str
    old: str
    new: str
    told: tuple[str, ...]
    mend: tuple[str, str]


def _step(name: str) -> str:
    """The text of a step, whole."""
    found = re.search(rf"  - id: {name}\n(?:(?!  - id: |  # ----).*\n)*", LIST)
    assert found is not None
    return found[0]


def _check(text: str) -> tuple[Checked, tuple[str, ...]]:
    checked = check_files([("fit.yaml", FIT.encode()), ("list.yaml", text.encode())])
    lines = {"fit.yaml": FIT.splitlines(), "list.yaml": text.splitlines()}
    return checked, tuple(
        f"{lines[d.file][d.line - 1][d.column - 1 :]} | {d.code} {d.message} | {d.hint}"
        for d in checked.findings
    )


VOLTAGE = """\
      - hazard: With power on, plate and screen voltages in here can kill.
        consequence: A shock through the chest can stop the heart.
        avoid: Hands on shells and insulation only. Leave every cover and interlock as it is.
"""
OWN_WARNING = """\
      - hazard: There is high voltage at the open set.
        consequence: It can kill.
        avoid: Keep your hands on insulation.
"""
OWN_STEP = """\
  - id: own-{name}
    zone: close-up
    place: "panel {{{place}.panel}}"
    do: "{do} panel {{{place}.panel}}."
    kind: {kind}
    {more}
    why: Nobody else looks here before the flight.
    good: It looks as the one beside it.
    bad: Something stands out or is missing.
    ref: Common practice

"""
ON, TAG, GATE, BATTERY = (_step(n) for n in ("lis-on", "lis-tag", "lis-gate", "lis-battery"))

SEEDED = (
    Seeded(
        name="a panel is opened and nobody closes it",
        old=_step("close-bay"),
        new="",
        told=(
            (
                "OPEN} | HS244 no later step brings 'bay_panel' back to 'CLOSED' | "
                "add a step that sets bay_panel: CLOSED"
            ),
        ),
        mend=(
            _step("close-bay-fasteners"),
            OWN_STEP.format(
                name="bay",
                place="dynamotor_bay",
                do="Close",
                kind="set",
                more="sets: {bay_panel: CLOSED}",
            )
            + _step("close-bay-fasteners"),
        ),
    ),
    Seeded(
        name="the hands are on the live set before they are told of the voltage",
        old=VOLTAGE,
        new="",
        told=(
            (
                "warning: | HS401 6.05 comes with no warning about voltage at the open set at or "
                "before it. One stands at 6.06, too late. | "
                "Put it at this step or at the head of its zone."
            ),
        ),
        mend=(
            "      - hazard: Valves, resistors and dynamotor cases stay hot.\n",
            OWN_WARNING + "      - hazard: Valves, resistors and dynamotor cases stay hot.\n",
        ),
    ),
    Seeded(
        name="a no at the gate goes on to the calls",
        old="    if_fault: op-hear-5\n",
        new="",
        told=(
            (
                "id: op-gate | HS406 A no at the gate 7.01 leads straight on to what it guards. | "
                "Send if_fault past the guarded steps, or end."
            ),
        ),
        mend=("  - id: op-gate\n", "  - id: op-gate\n    if_fault: end\n"),
    ),
    Seeded(
        name="a fault passes over the step that switches the set off",
        old=ON,
        new=ON.replace("    wait_s: 60\n", "    wait_s: 60\n    if_fault: close-battery\n"),
        told=(
            (
                "sets: {set_lever: ON} | HS301 VHF lever stays ON: 1.01 to 2.04, where high_wing, "
                "3.01 to 6.03, 6.04 FAULT, 8.02 to 9.04, end of the list. | 8.01 brings it to OFF, "
                "but FAULT at 6.04 passes over it: send the fault to 8.01 or earlier."
            ),
        ),
        mend=("if_fault: close-battery", "if_fault: close-lever"),
    ),
    Seeded(
        name="nobody counts the fasteners of a panel",
        old=_step("close-fasteners"),
        new="",
        told=(
            (
                "kind: state | HS407 8.03 closes radio compartment panel, and nobody counts what "
                "fastens it. | Put a count step after it with the same place, or the same place "
                "mark."
            ),
        ),
        mend=(
            _step("close-bay"),
            OWN_STEP.format(
                name="count",
                place="radio_compartment",
                do="Count the fasteners of",
                kind="count",
                more='expect: "{radio_compartment.fasteners}"',
            )
            + _step("close-bay"),
        ),
    ),
    Seeded(
        name="a warning asks for something to be written down",
        old="        avoid: Stay out of the arc.\n",
        new="        avoid: Stay out of the arc and record where each one stands.\n",
        told=(
            (
                "hazard: Treat every propeller as live, even with the engine stopped. | "
                "HS403 This warning asks for something to be recorded. | "
                "Make it a step of its own; here say only how to keep clear."
            ),
        ),
        mend=(" and record where each one stands", ""),
    ),
    Seeded(
        name="a warning tells how to get round an interlock",
        old="avoid: Keep the covers of the units on and every interlock working.",
        new="avoid: Tape the door switch in while you look.",
        told=(
            (
                "avoid: Tape the door switch in while you look. | "
                "HS405 radio compartment reads as if a protection may be defeated: "
                "'Tape the door switch'. | Interlocks, guards and the second person stay; write "
                "the step without it, or answer this with the name of who reviewed it."
            ),
        ),
        mend=("Tape the door switch in while you look.", "Keep every interlock working."),
    ),
    Seeded(
        name="a limit is a figure with plus or minus",
        old="    good: Nothing moves at the base; the mast springs back straight; tip",
        new="    good: It moves by ± 2 mm at the tip; the mast springs back straight; tip",
        told=(
            (
                "good: It moves by ± 2 mm at the tip; the mast springs back straight; tip and "
                "sleeve are whole. | HS408 3.02 gives a limit as '±'. | "
                "Give the lowest and the highest number, with the unit the meter shows."
            ),
        ),
        mend=("by ± 2 mm", "by 0 to 2 mm"),
    ),
    Seeded(
        name="the tag comes off after the switch it hangs on is moved",
        old=TAG + GATE + BATTERY,
        new=GATE + BATTERY + TAG,
        told=(
            (
                "sets: {battery_tag: HUNG} | HS301 tag on the BATTERY switch stays HUNG: "
                "1.01 to 2.04, where high_wing, 3.01 to 5.04, 6.01 FAULT, 8.01 to 9.04, end of the "
                "list. | 6.03 brings it to NONE, but FAULT at 6.01 passes over it: send the fault "
                "to 6.03 or earlier."
            ),
            (
                "must_be: {battery_tag: NONE, stand: AWAY} | HS304 6.02 needs tag on the BATTERY "
                "switch NONE, but it stands HUNG: 1.01 to 2.04, where high_wing, 3.01 to 6.01, "
                "then 6.02. | 6.03 brings it to NONE, too late: move it before 6.02. Because of it "
                "these cannot start either: 6.04, 6.05, 6.06, 7.02, 7.03, 7.04, 7.05, 7.06, 7.07."
            ),
        ),
        mend=(GATE + BATTERY + TAG, TAG + GATE + BATTERY),
    ),
    Seeded(
        name="a channel is in the fit and no step proves it",
        old="    proves: [ch4]\n",
        new="",
        told=(
            (
                "steps: | HS243 no step proves the function 'ch4' | "
                "add a step that does, or name the function in the proves of one that does"
            ),
        ),
        mend=("  - id: op-call-4\n", "  - id: op-call-4\n    proves: [ch4]\n"),
    ),
)


def test_there_are_ten_and_the_list_they_spoil_has_no_fault() -> None:
    assert len(SEEDED) == 10
    assert _check(LIST)[1] == ()


@pytest.mark.parametrize("seeded", SEEDED, ids=lambda s: s.name.replace(" ", "_"))
def test_a_fault_is_told_word_for_word_and_mended_by_its_words(seeded: Seeded) -> None:
    assert LIST.count(seeded.old) == 1
    faulty = LIST.replace(seeded.old, seeded.new)
    checked, told = _check(faulty)
    assert told == seeded.told
    assert not checked.may_be_used
    before, after = seeded.mend
    assert faulty.count(before) == 1
    checked, told = _check(faulty.replace(before, after))
    assert told == ()
    assert checked.may_be_used
