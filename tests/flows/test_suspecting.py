"""What would explain the faults of a walk, on the shipped hand-tuned list and on the tiny one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builders import IO, lines, on_disk
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply
from hardstand.domain.bodies import Answer
from hardstand.domain.quantity import Instant
from hardstand.domain.walk import Given, Plan, WalkState, begin
from hardstand.flows.checking import check_files
from hardstand.flows.suspecting import would_explain
from scripted import Scripted

_SHIPPED = Path(__file__).parents[2] / "checklists" / "hand_tuned"
_READ = check_files([(p.name, p.read_bytes()) for p in sorted(_SHIPPED.glob("*.yaml"))])
_AT = Instant("2027-03-08T08:00:00Z")


def _walk(**answers: Answer) -> WalkState:
    (listed,) = _READ.checklists
    plan = Plan(checklist=listed, fit=_READ.fits["H"], digest="d", places={}, facts=frozenset())
    given = {
        name: Given(
            body=b.StepAnswered(step=name, answer=answer, by=IO), digest=name, ref="A-1", at=_AT,
            author="IO",
        )
        for name, answer in ((n.replace("_", "-"), a) for n, a in answers.items())
    }  # fmt: skip
    return replace(begin(plan, walk="A1", airframe="QM-101", items={}), given=given)


def test_one_dead_receiver_beside_two_good_ones_is_the_receiver() -> None:
    state = _walk(lis_hear_lf="FAULT", lis_hear_hfa="OK", lis_hear_hfb="OK")
    assert would_explain(state) == (
        f"FAULT at {state.plan.checklist.number('lis-hear-lf')}. "
        "The loss of RX-LF would explain this."
    )


def test_with_one_transmitter_dead_the_other_is_the_next_best_check() -> None:
    state = _walk(lis_hear_lf="OK", op_call_1="FAULT")
    number = state.plan.checklist.number
    assert would_explain(state) == (
        f"FAULT at {number('op-call-1')}. The loss of TX-1, or DYN-T, or CTL-T would explain this. "
        f"To tell them apart: {number('op-call-2')} Call Tarrick Tower on SET 2, 5310 kHz."
    )


@pytest.mark.parametrize("answer", ["OK", "FAULT"])
def test_what_was_only_looked_at_shows_nothing_about_what_works(answer: Answer) -> None:
    """A receiver firm on its tray may still be dead; one that moves may work."""
    heard = {"lis_hear_lf": "FAULT", "lis_hear_hfa": "OK"}
    alone = would_explain(_walk(**heard))  # type: ignore[arg-type]  # answers by step
    both = would_explain(_walk(comp_lf=answer, **heard))  # type: ignore[arg-type]  # the same
    assert both == alone
    assert "RX-LF" in alone


def test_a_pattern_no_unit_gives_is_said_to_have_no_simple_explanation() -> None:
    state = _walk(op_call_1="OK", op_call_2="OK", op_modulation="FAULT", op_sidetone="OK")
    assert would_explain(state).endswith(
        "No simple explanation: the fault may come and go, or be partial."
    )


def test_while_nothing_failed_nothing_is_said() -> None:
    assert would_explain(_walk()) == ""
    assert would_explain(_walk(lis_hear_lf="OK", op_call_1="SKIPPED")) == ""


def test_the_help_of_a_later_step_tells_it(tmp_path: Path) -> None:
    faulty = lines(until="tune", hear=("f", ""))
    said = Scripted.until_left(on_disk(tmp_path), [*faulty, "h"]).said
    assert "FAULT at 3.03. The loss of TR would explain this." in " ".join(said.split())
    well = Scripted.until_left(on_disk(tmp_path / "b"), [*lines(until="tune"), "h"]).said
    assert "would explain" not in well


def test_the_tiny_list_has_one_unit_and_it_explains_everything() -> None:
    bench = DryWalk().walk(until="call", hear=Reply(key="F"))
    assert would_explain(bench.state) == "FAULT at 3.03. The loss of TR would explain this."
