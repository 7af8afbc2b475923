"""The writing rules: a sound list has no finding, each single fault has exactly its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from domain.proofs.sound_list import (
    FIT,
    SOUND,
    STEPS,
    peril,
    swapped,
    with_step,
    with_zone,
    without,
)
from domain.proofs.tables import checklist, fit, item, sections, step
from hardstand.domain.checklist import Cause, Checklist, Peril
from hardstand.domain.coverage import cover
from hardstand.domain.ledger_proof import prove
from hardstand.domain.writing import CODES, read_cold

Told = tuple[str, str, str, str, str]


def _told(steps: Checklist) -> list[Told]:
    return [(f.code, f.level, f.step, f.field, f.message) for f in read_cold(steps, FIT)]


def _hints(steps: Checklist) -> list[str]:
    return [f.hint for f in read_cold(steps, FIT)]


def test_a_sound_list_has_no_finding_of_any_kind() -> None:
    assert read_cold(SOUND, FIT) == ()
    assert prove(SOUND, FIT) == ()
    assert cover(SOUND, FIT) == ()


TEXTS = sections("proof_safety_texts.txt")["texts"]


@pytest.mark.parametrize("row", TEXTS, ids=lambda row: row[0])
def test_the_safety_texts_of_human_factors_12_pass(row: list[str]) -> None:
    """Each as a warning: hazard its first sentence, avoidance its last, the rest between."""
    first, *rest = row[1].split(". ")
    text = Peril(hazard=first, consequence=". ".join(rest[:-1]) or "Harm.", avoid=rest[-1])
    steps = with_step("bond", warning=(text,))
    assert [t for t in _told(steps) if t[0] in {"HS402", "HS403", "HS405", "HS423"}] == []


NO_WARNINGS = replace(SOUND, zones=tuple(replace(z, warning=()) for z in SOUND.zones))


def test_without_zone_warnings_each_danger_is_named_at_the_first_step_that_shows_it() -> None:
    """Topics of human-factors 12, each at the step where it is first met."""
    rows = sections("proof_writing.txt")["no zone warnings"]
    assert [[t[2], t[1], t[4]] for t in _told(NO_WARNINGS)] == rows


@pytest.mark.parametrize(
    ("step_id", "about"),
    [
        ("climb", "3.01 comes with no warning about falls at or before it."),
        ("listen", "5.04 comes with no warning about noise in the headset at or before it."),
        ("call", "5.05 comes with no warning about radiating at or before it."),
    ],
)
def test_a_step_without_the_warning_it_needs_is_an_error(step_id: str, about: str) -> None:
    assert _told(with_step(step_id, warning=())) == [("HS401", "error", step_id, "warning", about)]
    assert _hints(with_step(step_id, warning=())) == [
        "Put it at this step or at the head of its zone."
    ]


@pytest.mark.hf("WCN-02")
def test_a_warning_after_the_step_it_concerns_is_too_late() -> None:
    steps = with_step("climb", warning=())
    late = tuple(
        replace(s, warning=(peril("Falls kill."),)) if s.id == "down" else s for s in steps.steps
    )
    assert _told(replace(steps, steps=late)) == [
        (
            "HS401",
            "error",
            "climb",
            "warning",
            "3.01 comes with no warning about falls at or before it. One stands at 3.03, too late.",
        )
    ]


def test_work_from_a_stand_that_was_moved_needs_a_warning_of_its_own() -> None:
    moved = {"do": "When the stand is moved aft, wipe the aft end.", "must_be": {"stand": "PLACED"}}
    said = "3.02 comes with no warning about a stand that is moved at or before it."
    assert ("HS401", "error", "mast", "warning", said) in _told(with_step("mast", **moved))
    warned = with_step("mast", warning=(peril("A stand that is pushed throws you."),), **moved)
    assert not [t for t in _told(warned) if "stand that is moved" in t[4]]


def test_an_open_live_set_a_dial_a_distress_channel_and_a_late_closing_need_their_own() -> None:
    live = step("live", "bay", do="Listen at the open bay.", kind="listen", must_be={})
    live = replace(live, must_be={"battery": "ON", "panel": "OPEN"})
    kit = replace(FIT, items=FIT.items)
    steps = checklist(
        [
            step("open", "bay", do="Open it.", sets={"panel": "OPEN"}),
            step("on", "bay", do="Move it.", sets={"battery": "ON"}),
            live,
            step("dial", "bay", do="Read the dial."),
            step("six", "bay", do="Listen on the emergency channel."),
            step("shut", "bay", do="Close it.", sets={"panel": "CLOSED"}),
        ],
        purpose="bench",
    )
    found = {(f.step, f.level, f.message[5:]) for f in read_cold(steps, kit) if f.code == "HS401"}
    about = "comes with no warning about {} at or before it."
    assert {
        ("live", "error", about.format("voltage at the open set")),
        ("live", "advice", about.format("hot parts")),
        ("dial", "advice", about.format("radium paint")),
        ("six", "error", about.format("the distress channel")),
        ("shut", "error", about.format("charge left in the set")),
    } <= found
    assert not any("propellers" in message for _, _, message in found)


@pytest.mark.hf("WCN-05")
@pytest.mark.parametrize("part", ["hazard", "consequence", "avoid"])
def test_a_warning_without_one_of_its_parts_is_an_error(part: str) -> None:
    broken = replace(peril("Falls kill."), **{part: " "})
    steps = with_step("climb", warning=(peril("Falls kill."), broken))
    assert _told(steps) == [
        ("HS402", "error", "climb", f"warning.1.{part}", f"'{part}' of this warning is empty.")
    ]


@pytest.mark.hf("WCN-04")
def test_a_caution_that_asks_for_a_record_is_an_error_also_at_a_zone() -> None:
    asks = Peril(
        hazard="The tube wears.", consequence="It fails.", avoid="Wait, then record the volts."
    )
    said = "This caution asks for something to be recorded."
    assert _told(with_step("bond", caution=(asks,))) == [
        ("HS403", "error", "bond", "caution.0", said)
    ]
    assert _told(with_zone("bay", caution=(asks,))) == [
        ("HS403", "error", "", "zones.3.caution.0", said)
    ]


@pytest.mark.hf("WCN-06")
def test_warnings_are_a_budget() -> None:
    many = tuple(peril(f"Danger {n}.") for n in range(3))
    assert _told(with_step("bond", warning=many)) == [
        ("HS404", "advice", "bond", "warning", "4.02 carries 3 warnings.")
    ]
    again = SOUND.zones[3].warning
    assert _told(with_step("bond", warning=again)) == [
        ("HS404", "advice", "bond", "warning", "4.02 repeats a warning of its zone.")
    ]
    each = replace(
        SOUND,
        steps=tuple(
            replace(s, warning=(*s.warning, peril(f"Danger at {s.id}."))) if n < 4 else s
            for n, s in enumerate(STEPS)
        ),
    )
    assert _told(each) == [
        ("HS404", "advice", "", "", "6 of 17 steps carry a warning of their own.")
    ]


UNSAFE = (
    "Tape the door switch down.",
    "Bypass the interlock with a lead.",
    "Wedge the interlock in.",
    "Hold the cover interlock closed by hand.",
    "Bridge the safety switch.",
    "Work on the live set alone.",
    "Defeat the guard of the key.",
    "Jumper the interlock to see the lamp.",
)
SAFE = (
    "Leave every interlock working.",
    "Never bridge an interlock.",
    "Look whether a tool blocks the vent.",
    "Short each capacitor with the probe.",
    "Do not work on energised equipment alone.",
    "Tape marks the edge of the panel.",
)


@pytest.mark.hf("WCN-13")
@pytest.mark.parametrize("text", UNSAFE)
def test_text_that_defeats_a_protection_is_an_error(text: str) -> None:
    found = _told(with_step("bond", why=text))
    assert [t[:4] for t in found] == [("HS405", "error", "bond", "why")]
    assert found[0][4].startswith("4.02 reads as if a protection may be defeated: '")


@pytest.mark.parametrize("text", SAFE)
def test_text_that_keeps_protections_passes(text: str) -> None:
    assert _told(with_step("bond", why=text)) == []


def test_unsafe_text_is_found_at_the_head_of_a_zone_too() -> None:
    told = peril("Plate voltage can kill.", avoid="Tape the door switch in.")
    found = _told(with_zone("bay", warning=(told,), note=("Bypass the interlock.",)))
    assert found == [
        (
            "HS405", "error", "", "zones.3.note.0",
            "radio bay reads as if a protection may be defeated: 'Bypass the interlock'.",
        ),
        (
            "HS405", "error", "", "zones.3.warning.0.avoid",
            "radio bay reads as if a protection may be defeated: 'Tape the door switch'.",
        ),
    ]  # fmt: skip


def test_each_open_panel_with_power_on_needs_its_own_word_about_voltage() -> None:
    """A warning at one bay is not heard at the next; one at the head of the zone is, by both."""
    kit = replace(FIT, items={**FIT.items, "hatch": replace(FIT.items["panel"], title="hatch")})
    live = peril("The terminals are at lethal voltage.")
    at = {n: step(n, "test", must_be={"battery": "ON", n: "OPEN"}) for n in ("panel", "hatch")}

    def told(*warned: str, head: bool = False) -> list[str]:
        steps = tuple(replace(s, warning=(live,) if n in warned else ()) for n, s in at.items())
        zones = (replace(SOUND.zones[4], warning=(live,) if head else ()),)
        found = read_cold(replace(SOUND, zones=zones, steps=steps), kit)
        return [f.step for f in found if f.code == "HS401" and "open set" in f.message]

    assert told() == ["panel", "hatch"]
    assert told("panel") == ["hatch"]
    assert told("panel", "hatch") == []
    assert told(head=True) == []


def test_unsafe_text_is_found_in_every_field_a_person_reads() -> None:
    bad = "Bypass the interlock."
    steps = with_step("bond", note=(bad,), causes=(Cause(cause="worn", confirm=bad),), touch=bad)
    assert [t[3] for t in _told(steps)] == ["causes.0.confirm", "note.0", "touch"]


FAULTS: dict[str, Checklist] = {
    "a gate that goes on": with_step("gate", if_fault="go_on"),
    "a gate that leads to what it guards": with_step("gate", if_fault="call"),
    "no gate": with_step("gate", kind="look", evidence=""),
    "tools not counted": with_step("back", kind="look", do="Look at the tray."),
    "fasteners not counted": without("heads"),
    "plus or minus": with_step("bond", good="Under 3 milliohm ± 10 %."),
    "percent of": with_step("bond", good="It reads within 10 % of the card."),
    "no limits": with_step("volts", accept=None),
    "no unit": with_step("volts", unit=""),
    "no reference": with_step("bond", ref="TBD"),
    "critical and late": with_step("heads", critical=True),
    "critical and not looked at again": with_step("off", critical=False),
    "no end": with_step("end", do="Look at the sky."),
    "long zone": replace(
        SOUND,
        steps=(
            *STEPS[:7],
            *(replace(STEPS[6], id=f"x{n}", do=f"Look at strap {n}.") for n in range(9)),
            *STEPS[7:],
        ),
    ),
    "easily left out": with_step("heads", kind="look", do="Look behind the screws of the panel."),
    "hands on before the hazard was found safe": with_step("dead", sets={}),
    "no verb first": with_step("bond", do="The strap is looked at."),
    "two actions joined": with_step("bond", do="Look at the strap and tighten its nut."),
    "two sentences": with_step("bond", do="Look at the strap. Pull it."),
    "long sentence": with_step("bond", do=f"Look at the strap {'now ' * 17}here."),
    "long step": with_step("bond", do="Look at " + "the-strap-" * 20 + "."),
    "long warning": with_step("climb", warning=(replace(peril("Falls kill."), avoid="Go " * 21),)),
    "condition last": with_step("bond", do="Look at the strap if it is wet."),
    "nested conditions": with_step("bond", do="If it rains, look at the strap when it is wet."),
    "by exception": with_step("bond", do="Look at all straps except the last."),
    "negative question": with_step("bond", do="Look: is there no chafing?"),
    "another spelling": with_step("on", do="Move the Battery switch to ON."),
    "another spelling without its hyphens": with_step("bond", place="by the press to talk lead"),
    "verb of another kind": with_step("bond", do="Record the strap."),
    "check with hands": with_step("bond", do="Check the strap.", touch="the strap"),
    "time without a way out": with_step("bond", do="Look at the strap within 10 minutes."),
    "open choice": with_step("bond", do="Look at either strap."),
    "open repeat": with_step("bond", do="Pull the strap several times."),
    "why repeats": with_step("bond", why="Look at the bonding strap."),
    "vague bad": with_step("bond", bad="Not good."),
}


@pytest.mark.parametrize("name", FAULTS)
def test_each_single_fault_has_exactly_its_own_finding(name: str) -> None:
    """The messages stand, verbatim, in proof_writing.txt."""
    rows = sections("proof_writing.txt")
    wanted = [tuple(row[1:]) for row in rows["told"] if row[0] == name]
    assert _told(FAULTS[name]) == wanted
    assert _hints(FAULTS[name]) == [row[2] for row in rows["hints"] if row[0] == name]
    assert wanted


@pytest.mark.parametrize(
    "steps",
    [
        pytest.param(with_step("bond", do="If it is wet, look at the strap."), id="if first"),
        pytest.param(with_step("bond", do="Look at battery and key leads."), id="noun and noun"),
        pytest.param(with_step("bond", do="Pull the strap three times."), id="counted repeat"),
        pytest.param(with_step("bond", do="Look at one of the straps."), id="one of"),
        pytest.param(with_step("bond", do="What do you see at the clamp?", kind="look"), id="ask"),
        pytest.param(
            with_step(
                "bond", do="Look at the strap within 10 minutes.", note=("If late, start again.",)
            ),
            id="time with a way out",
        ),
        pytest.param(with_step("bond", ref="Common practice"), id="common practice"),
        pytest.param(with_step("dead", repeat_at_end=True), id="critical repeated at the end"),
        pytest.param(swapped("bond", "open"), id="order of the ledger is not judged here"),
    ],
)
def test_good_wording_passes(steps: Checklist) -> None:
    found = [t for t in _told(steps) if not (t[0] == "HS421" and "What do" in t[4])]
    assert found == []


def test_a_critical_step_that_can_only_come_late_is_left_where_it_is() -> None:
    """Its own order puts the others first: they all need the panel open."""
    late = with_step("shut", critical=True)
    needing = tuple(
        replace(s, must_be={"panel": "OPEN"}) if s.id == "bond" else s for s in late.steps
    )
    assert _told(replace(late, steps=needing)) == []


def test_a_count_at_the_same_mark_counts_what_fastens_the_panel() -> None:
    marked = tuple(
        replace(s, place="panel {bay.panel}")
        if s.id == "shut"
        else replace(s, place="right side", expect="{bay.fasteners}")
        if s.id == "heads"
        else s
        for s in STEPS
    )
    assert _told(replace(SOUND, steps=marked)) == []


def test_every_code_of_the_writing_rules_is_given_by_a_test_here() -> None:
    """The table and the rules agree: each code in it is met in this file."""
    from pathlib import Path

    text = Path(__file__).read_text(encoding="utf-8")
    text += "".join(f'"{row[1]}"' for row in sections("proof_writing.txt")["told"])
    assert [code for code in CODES if f'"{code}"' not in text] == []


def test_findings_stand_in_the_order_of_the_list() -> None:
    kit = fit({"tools": item(["tools", "count", "0", "", ""])})
    steps = checklist([step("b", ref="-"), step("a", ref="?"), step("c", do="End.", ref="")])
    assert [(f.step, f.code) for f in read_cold(steps, kit) if f.code == "HS409"] == [
        ("b", "HS409"),
        ("a", "HS409"),
        ("c", "HS409"),
    ]
