"""A walk is as strict as the proof of its list: needs of actions, forbidden pairs, gates, jumps."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest

from builders import IO, entry
from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.tables import checklist, fit, item, step, table
from dry_walk import FIVE
from hardstand.domain.answering import Reply, decide, missing, stale_gate
from hardstand.domain.chain import ZERO
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.close_up import is_forbidden
from hardstand.domain.closing import jump, pass_over
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ledger_paths import explore, program, restores
from hardstand.domain.quantity import later
from hardstand.domain.walk import Plan, WalkState, begin, evolve

OK, FAULT = Reply(key="O"), Reply(key="F")
SKIPPED = Reply(key="S", reason="no time")
FACTS = AirframeFacts(tail="QM-161", type="low", fits=(), short="161")


@dataclass(slots=True)
class Walked:
    """A walk of any list on any fit, with no record behind it."""

    listed: Checklist
    kit: Fit
    facts: tuple[str, ...] = ()
    state: WalkState = field(init=False)
    seq: int = 0

    def __post_init__(self) -> None:
        plan = Plan(
            checklist=self.listed, fit=self.kit, digest="d", places={}, facts=frozenset(self.facts)
        )
        self.state = begin(plan, walk="A1", airframe="QM-161", items={})

    def give(self, step_id: str, reply: Reply = OK) -> Walked:
        """Answer a step, with the steps that a fault passes over."""
        asked = self.listed.step(step_id)
        bodies = decide(self.state, FACTS, asked, reply, device="A", by=IO)
        assert not isinstance(bodies, Refused), bodies.what
        if reply is FAULT:
            bodies = (*bodies, *pass_over(self.state, FACTS, asked, device="A", by=IO))
        for body in bodies:
            self.seq += 1
            at = later(FIVE, seconds=60 * self.seq)
            made = entry(body, seq=self.seq, at=at, walk="A1", prev=ZERO)
            self.state = evolve(self.state, made)
        return self

    def stops(self, step_id: str) -> str:
        """What keeps a step from OK."""
        return missing(self.state, self.listed.step(step_id))

    def passed(self, step_id: str) -> list[str]:
        """What a FAULT there would pass over."""
        return [s.id for s in jump(self.state, self.listed.step(step_id))]


# -- what an OK needs ------------------------------------------------------------------------------

L1, KIT = table("proof_l1.txt")


def test_the_needs_of_the_fit_s_own_action_keep_a_step_from_ok() -> None:
    """Vector L1, "the stand comes away only with the cover fitted", stated on the item alone."""
    walked = Walked(L1, KIT).give("1").give("2")
    assert (L1.step("11").must_be or {}) == {}
    assert walked.stops("11") == "cover is recorded off, it must be fitted"
    refused = decide(walked.state, FACTS, L1.step("11"), OK, device="A", by=IO)
    assert refused == Refused(
        what="Step 1.04 cannot be OK now: cover is recorded off, it must be fitted",
        hint="Z takes the last answer back; S skips this step with a reason.",
    )
    walked.give("8")
    assert walked.stops("11") == ""


def test_a_forbidden_combination_is_never_brought_about_by_an_ok() -> None:
    walked = Walked(L1, KIT, facts=("hf_fitted",)).give("1").give("2").give("3").give("4")
    assert walked.stops("6") == "key on and cover off may not stand together"
    walked.give("8")
    assert walked.stops("6") == ""


def test_a_fault_found_where_an_ok_is_kept_back_is_still_taken() -> None:
    walked = Walked(L1, KIT).give("1").give("2")
    assert walked.give("11", FAULT).state.answer("11") == "FAULT"


GATED = checklist(
    [
        step("gate", "test", kind="gate", if_fault="off"),
        step("on", "test", sets={"power": "on"}),
        step("off", "close", sets={"power": "off"}),
        step("log", "log"),
    ]
)
POWER = fit({"power": item(["power", "energy", "off", "hazard", "off > on; on > off"])})


@pytest.mark.parametrize("key", ["S", "N", "U"])
def test_a_gate_not_passed_stops_what_it_guards_though_no_after_names_it(key: str) -> None:
    walked = Walked(GATED, POWER).give("gate", Reply(key=key, reason="fuelling"))
    assert walked.stops("on") == "the gate 1.01 was not passed"
    assert walked.stops("off") == ""


def test_a_gate_that_does_not_apply_here_stands_in_nobodys_way() -> None:
    steps = [replace(s, applies_if="high_wing" if s.id == "gate" else "") for s in GATED.steps]
    assert Walked(replace(GATED, steps=tuple(steps)), POWER).stops("on") == ""


def test_a_gate_goes_stale_for_what_it_guards_though_no_after_names_it() -> None:
    steps = [replace(s, stale_after_min=10 if s.id == "gate" else 0) for s in GATED.steps]
    walked = Walked(replace(GATED, steps=tuple(steps)), POWER).give("gate")
    given = walked.state.given["gate"].at
    on = walked.listed.step("on")
    assert stale_gate(walked.state, on, later(given, seconds=600)) is None
    assert stale_gate(walked.state, on, later(given, seconds=601)) == walked.listed.step("gate")


# -- where a fault leads ---------------------------------------------------------------------------


def test_a_no_at_a_gate_passes_over_what_it_guards_though_its_target_is_not_for_this_aircraft() -> (
    None
):
    steps = [replace(s, applies_if="high_wing" if s.id == "off" else "") for s in GATED.steps]
    walked = Walked(replace(GATED, steps=tuple(steps)), POWER)
    assert walked.passed("gate") == ["on"]
    after = walked.give("gate", FAULT).state.next_step()
    assert after is not None
    assert after.id == "log"


def test_a_no_at_a_gate_passes_over_what_it_guards_though_its_target_has_its_answer() -> None:
    walked = Walked(GATED, POWER).give("gate").give("on").give("off")
    walked.state = replace(
        walked.state, given={k: g for k, g in walked.state.given.items() if k == "off"}
    )
    assert walked.passed("gate") == ["on"]


def test_a_fault_that_ends_the_walk_in_its_last_zones_passes_over_nothing() -> None:
    steps = [replace(s, if_fault="end" if s.id == "off" else s.if_fault) for s in GATED.steps]
    assert Walked(replace(GATED, steps=tuple(steps)), POWER).passed("off") == []


def test_a_fault_that_ends_the_walk_passes_over_all_but_the_last_two_zones() -> None:
    steps = [replace(s, if_fault="end" if s.id == "gate" else s.if_fault) for s in GATED.steps]
    assert Walked(replace(GATED, steps=tuple(steps)), POWER).passed("gate") == ["on"]


# -- against the proof -----------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(150))
def test_a_walk_meets_only_situations_the_proof_has_met_and_none_that_is_forbidden(
    seed: int,
) -> None:
    """Each walk answered by dice: FAULT and SKIPPED as the proof allows them, else OK if it can."""
    dice = Dice(seed)
    kit = random_fit(dice)
    listed = random_list(dice, kit)
    ready = program(listed, kit)
    met = [
        {tuple(ready.state(n).values()) for n in lvl} for lvl in explore(ready, skips=True).levels
    ]
    places = {s.id: i for i, s in enumerate(listed.steps)}
    for _ in range(12):
        facts = tuple(f for f in ("f", "g") if dice.chance(50))
        walked = Walked(listed, kit, facts)
        kept_back = False
        while (asked := walked.state.next_step()) is not None:
            values = tuple(walked.state.items[n] for n in kit.items)
            assert kept_back or values in met[places[asked.id]]
            stops = walked.stops(asked.id)
            kept_back |= stops.endswith("may not stand together") or "comes first" in stops
            roll = dice.below(10)
            may_fail = not restores(asked, kit) and not stops
            reply = SKIPPED if stops or (may_fail and roll < 3) else OK
            walked.give(asked.id, FAULT if may_fail and roll > 7 else reply)
            if roll <= 7:
                assert not is_forbidden(kit, walked.state.items) or is_forbidden(
                    kit, dict(zip(kit.items, values, strict=True))
                )
