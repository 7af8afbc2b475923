"""The order to put everything back, as it is told to whoever must leave or asks from outside."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path

import pytest

from builders import TAIL, fit, lines, on_disk, step
from builders import checklist as tiny
from command import command
from domain.proofs.tables import table
from hardstand.domain.checklist import Action, Checklist, Fit, Item
from hardstand.domain.facts import AirframeFacts, Line
from hardstand.domain.quantity import Instant
from hardstand.domain.walk import Plan, begin
from hardstand.flows.putting_back import leave_ask, order_of_close_up
from hardstand.views.walk_screen import lines as screen
from scripted import Scripted

L1, KIT = table("proof_l1.txt")
SINCE = Instant("2027-03-08T08:00:00Z")


def _plan(listed: Checklist = L1, kit: Fit = KIT) -> Plan:
    places = {"bay": {"panel": "7"}}
    return Plan(checklist=listed, fit=kit, digest="d", places=places, facts=frozenset())


def _facts(away: dict[str, str], kit: Fit = KIT) -> AirframeFacts:
    found = tuple(
        Line(
            item=name, title=kit.items[name].title if name in kit.items else "panel L4",
            kind=kit.items[name].kind if name in kit.items else "access",
            home=kit.items[name].home if name in kit.items else "AS FOUND",
            value=value, since=SINCE, by="IO", ref="A-7",
        )
        for name, value in away.items()
    )  # fmt: skip
    return AirframeFacts(tail=TAIL, type="low", fits=(), short="161", lines=found)


def _order(away: dict[str, str], *, at: str = "", kit: Fit = KIT) -> tuple[str, ...]:
    return order_of_close_up(_plan(kit=kit), _facts(away, kit), UTC, at=at)


@pytest.mark.hf("LED-07")
def test_energy_comes_off_first_and_each_move_names_the_step_and_place_that_make_it() -> None:
    """The last row but one of the close-up table of computations 2.4."""
    away = {"panel": "open", "stand": "placed", "cover": "off", "power": "on"}
    assert _order(away, at="bay") == (
        "Put back in this order:",
        "1. power: on to off; 3.05, panel",
        "2. cover: off to fitted; 1.03, panel",
        "3. stand: placed to away; 1.04, panel",
        "4. panel: open to closed; 2.02, panel",
    )


def test_where_nothing_safer_decides_the_list_does_and_what_is_counted_comes_last() -> None:
    plan = _plan(tiny(), fit())
    facts = _facts({"tools": "9", "panel": "OPEN", "battery": "ON"}, fit())
    assert [line.split(":")[0] for line in order_of_close_up(plan, facts, UTC)[1:]] == [
        "1. BATTERY switch", "2. panel 7", "3. tools",
    ]  # fmt: skip


def test_a_tag_stays_on_until_hands_are_out_and_panels_shut() -> None:
    """29 CFR 1910.147(e)(1), from memory: the place is clear and whole before a tag comes off."""
    tag = Item(title="tag", kind="tag", home="NONE", actions=(Action(from_="HUNG", to="NONE"),))
    kit = replace(fit(), items={"tag": tag, **fit().items})
    off = step("tag-off", "cockpit", "set", sets={"tag": "NONE"})
    listed = tiny(listed=(off, *tiny().steps))
    away = {"tag": "HUNG", "panel": "OPEN", "tools": "9"}
    told = order_of_close_up(_plan(listed, kit), _facts(away, kit), UTC, at="bay")
    assert [line.split(":")[0] for line in told[1:]] == ["1. panel 7", "2. tag", "3. tools"]


def test_an_item_that_is_home_is_moved_where_another_needs_it() -> None:
    assert _order({"cover": "off"}, at="cockpit") == (
        "Put back in this order:",
        "1. stand: away to placed; 1.01, panel",
        "2. cover: off to fitted; 1.03, panel",
        "3. stand: placed to away; 1.04, panel",
    )


def test_without_a_safe_way_the_lines_have_no_order_and_the_lead_is_to_be_called() -> None:
    """Computations 2.4: cover off, stand gone, and no action places it."""
    stand = replace(KIT.items["stand"], actions=KIT.items["stand"].actions[1:])
    stuck = replace(KIT, items={**KIT.items, "stand": stand})
    assert _order({"cover": "off"}, at="cockpit", kit=stuck) == (
        "No safe way to close up from here: cover. Call the lead.",
        "not put back: cover — recorded off Mon 08:00 IO",
    )


def test_a_line_nobody_planned_comes_after_the_plan() -> None:
    assert _order({"line-A1-7": "MOVED", "panel": "open"}) == (
        "Put back in this order:",
        "1. panel: open to closed; 2.02, panel",
        "also not put back: panel L4 — recorded MOVED Mon 08:00 IO",
    )


@pytest.mark.hf("LED-07")
def test_energy_that_nobody_planned_comes_before_the_plan() -> None:
    facts = _facts({"line-A1-7": "MOVED", "panel": "open"})
    heater = facts.lines[0]._replace(kind="energy", title="heater under the panel")
    told = order_of_close_up(_plan(), facts._replace(lines=(heater, facts.lines[1])), UTC)
    assert told == (
        "first, not put back: heater under the panel — recorded MOVED Mon 08:00 IO",
        "Put back in this order:",
        "1. panel: open to closed; 2.02, panel",
    )


def test_things_counted_are_counted_back_and_what_is_away_at_home_is_nothing() -> None:
    plan = _plan(tiny(), fit())
    facts = _facts({"tools": "9"}, fit())
    assert order_of_close_up(plan, facts, UTC) == (
        "Put back in this order:",
        "1. tools: count 9 back; 4.02, at count",
    )
    assert _order({}) == ()


@pytest.mark.hf("LED-15")
def test_the_leave_card_holds_the_plan_and_what_to_write_on_the_tag() -> None:
    plan = _plan(tiny(), fit())
    state = begin(plan, walk="A1", airframe=TAIL, items={})
    ask = leave_ask(state, _facts({"panel": "OPEN", "battery": "ON"}, fit()), "IO", UTC)
    assert list(screen(ask, 72, drawn=False)) == [
        "NOTE — Leave a tag that anyone can read: QM-161 — radio check not",
        "  finished, 2 not put back, ask IO.",
        "Walk A1 at QM-161 is left at 1.01 Do tools.",
        "  Put back in this order:",
        "  1. BATTERY switch: ON to OFF; 4.01, at off",
        "  2. panel 7: OPEN to SHUT; 2.03, at shut",
        "  1  come back later",
        "  2  end this walk: aircraft taken away",
        "  3  end this walk: stopped by a red X",
        "  4  end this walk: left unfinished",
        "Keys: 1 to 4, B come back later, R rescue card.",
    ]


@pytest.mark.parametrize("ending", ["1", "2"])
def test_the_plan_is_shown_at_every_break_and_can_be_asked_for_after_it(
    ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    typed = [*lines(until="plugs"), "b", ending, "161"]
    said = Scripted.until_left(pen, typed).said
    order = ("1. panel 7: OPEN to SHUT; 2.03, at shut", "2. tools: count 9 back; 4.02, at count")
    assert all(line in said for line in order)
    told = f"QM-161  2 not put back\n  Put back in this order:\n  {order[0]}\n  {order[1]}\n"
    for words in (("161",), ()):
        assert command("--record", tmp_path / "record.db", "walks", *words, "--close-up") == 0
        assert capsys.readouterr().out == told


def test_an_aircraft_with_nothing_away_is_told_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    on_disk(tmp_path)
    assert command("--record", tmp_path / "record.db", "walks", "--close-up") == 0
    assert capsys.readouterr().out == "Nothing is away from home on any aircraft.\n"
    assert command("--record", tmp_path / "record.db", "walks", "QM-161", "--close-up") == 0
    assert capsys.readouterr().out == "QM-161  nothing is away from home\n"
