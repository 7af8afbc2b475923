"""What the ledger proof says, word for word: the shortest way that offends, and the way out."""

from __future__ import annotations

from domain.proofs.tables import checklist, fit, item, step, table
from domain.proofs.told import KIT, messages
from hardstand.domain.ledger_proof import offences, prove

L1, FIT = table("proof_l1.txt")


def test_left_names_the_fault_that_passes_over_the_step_that_puts_it_back() -> None:
    steps = checklist(
        [
            step("open", "a", sets={"panel": "open"}),
            step("look", "a", if_fault="log"),
            step("close", "a", sets={"panel": "closed"}),
            step("log", "b"),
        ]
    )
    assert messages(steps, KIT) == [
        (
            "HS301",
            "open",
            "panel stays open: 1.01, 1.02 FAULT, 2.01, end of the list.",
            (
                "1.03 brings it to closed, but FAULT at 1.02 passes over it: "
                "send the fault to 1.03 or earlier."
            ),
        )
    ]


def test_left_says_when_no_later_step_brings_it_home() -> None:
    steps = checklist([step("open", sets={"panel": "open"}), step("look")])
    assert messages(steps, KIT) == [
        (
            "HS301",
            "open",
            "panel stays open: 1.01 to 1.02, end of the list.",
            "No later step brings it to closed: add one.",
        )
    ]


def test_left_says_when_the_step_that_brings_it_home_applies_elsewhere_only() -> None:
    steps = checklist(
        [
            step("open", sets={"panel": "open"}),
            step("close", sets={"panel": "closed"}, applies_if="not belly_panel"),
        ]
    )
    assert messages(steps, KIT) == [
        (
            "HS301",
            "open",
            "panel stays open: 1.01, where belly_panel, end of the list.",
            "1.02 brings it to closed, but only where not belly_panel.",
        )
    ]


def test_left_says_when_the_step_that_brings_it_home_cannot_start() -> None:
    found = {m for _, step_id, m, _ in messages(L1, FIT) if step_id == "1"}
    hints = {h for _, step_id, _, h in messages(L1, FIT) if step_id == "1"}
    assert found == {
        (
            "stand stays placed: 1.01 to 3.01, 3.02 FAULT, 3.05 to 2.02, 1.04 cannot start, "
            "end of the list."
        )
    }
    assert hints == {"1.04 brings it to away, but cannot start on this way."}


def test_the_way_told_is_the_shortest_also_where_a_fact_is_met_early_or_late() -> None:
    """1.05 is reached in two steps with the fact met at 1.02, in three without meeting it."""
    steps = checklist(
        [
            step("a", if_fault="c"),
            step("b", applies_if="wire", if_fault="e"),
            step("c"),
            step("d"),
            step("e", applies_if="wire", sets={"power": "on"}),
        ]
    )
    assert [m for _, _, m, _ in messages(steps, KIT)] == [
        "power stays on: 1.01, where wire, 1.02 FAULT, 1.05, end of the list."
    ]


def test_forbidden_names_both_items_and_the_step_that_completes_it() -> None:
    steps = checklist(
        [
            step("open", sets={"panel": "open"}),
            step("on", sets={"power": "on"}),
            step("off", sets={"power": "off"}),
            step("close", sets={"panel": "closed"}),
        ]
    )
    assert messages(steps, KIT) == [
        (
            "HS302",
            "on",
            "panel open and power on stand together: 1.01 to 1.02.",
            (
                "The fit forbids it under never. Ask for the safe value at 1.02 with must_be, or "
                "change the order."
            ),
        )
    ]


def test_no_close_up_names_the_items_no_action_brings_home() -> None:
    steps = checklist([step("pull", sets={"plug": "out"}), step("push", sets={"plug": "in"})])
    assert [m for m in messages(steps, KIT) if m[0] == "HS303"] == [
        (
            "HS303",
            "pull",
            "Nobody could close up safely after 1.01; away: plug.",
            (
                "Give these items actions home in the fit, with what each needs, so that an order "
                "exists."
            ),
        )
    ]


def test_a_move_the_fit_has_no_action_for_is_told_since_it_inherits_nothing() -> None:
    steps = checklist([step("pull", sets={"plug": "out"}), step("push", sets={"plug": "in"})])
    assert [m for m in messages(steps, KIT) if m[0] == "HS307"] == [
        (
            "HS307",
            "push",
            "1.02 moves plug from out to in, and the fit has no such action: 1.01.",
            (
                "Add {from: out, to: in} to its actions, with only_with what it needs: every list "
                "is then held to that."
            ),
        )
    ]
    assert {f.level for f in prove(steps, KIT) if f.code == "HS307"} == {"advice"}
    bare = fit({"tools": item(["tools", "count", "0", "", ""])})
    counted = [step("in", sets={"tools": "counted"}), step("out", sets={"tools": "0"})]
    assert not [m for m in messages(checklist(counted), bare) if m[0] == "HS307"]


def test_cannot_start_and_twice_name_the_value_that_stands() -> None:
    steps = checklist(
        [
            step("hear", must_be={"power": "on"}),
            step("on", sets={"power": "on"}),
            step("again", sets={"power": "on"}),
            step("off", sets={"power": "off"}),
        ]
    )
    assert messages(steps, KIT) == [
        (
            "HS304",
            "hear",
            "1.01 needs power on, but it stands off: at the very start, then 1.01.",
            "1.02 brings it to on, too late: move it before 1.01.",
        ),
        (
            "HS305",
            "again",
            "1.03 moves power to on, where it already stands: 1.01 cannot start, 1.02.",
            "Ask for power: on with must_be instead, or bring it home in between.",
        ),
    ]


def test_what_only_follows_from_a_step_that_cannot_start_is_told_with_it() -> None:
    steps = checklist(
        [
            step("open", sets={"panel": "open"}),
            step("on", must_be={"panel": "closed"}, sets={"power": "on"}),
            step("hear", must_be={"power": "on"}),
            step("tune", must_be={"power": "on"}),
            step("off", sets={"power": "off"}),
            step("close", sets={"panel": "closed"}),
        ]
    )
    assert [o.step for o in offences(steps, KIT).offences if o.code == "HS304"] == [1, 2, 3]
    assert [m for m in messages(steps, KIT) if m[0] == "HS304"] == [
        (
            "HS304",
            "on",
            "1.02 needs panel closed, but it stands open: 1.01, then 1.02.",
            (
                "1.06 brings it to closed, too late: move it before 1.02. "
                "Because of it these cannot start either: 1.03, 1.04."
            ),
        )
    ]


def test_a_fault_at_a_step_that_brings_home_passes_over_what_it_names() -> None:
    steps = checklist(
        [
            step("on", sets={"power": "on"}),
            step("open", sets={"plug": "out"}),
            step("shut", sets={"plug": "in"}, if_fault="end-of-it"),
            step("off", sets={"power": "off"}),
            step("end-of-it"),
        ]
    )
    kit = fit(
        {
            "power": item(["power", "energy", "off", "hazard", "off > on; on > off"]),
            "plug": item(["plug", "disconnected", "in", "", "in > out; out > in"]),
        }
    )
    assert messages(steps, kit) == [
        (
            "HS301",
            "on",
            "power stays on: 1.01 to 1.02, 1.03 FAULT, 1.05, end of the list.",
            (
                "1.04 brings it to off, but FAULT at 1.03 passes over it: send the fault to 1.04 "
                "or earlier."
            ),
        )
    ]


def test_what_one_fault_keeps_from_starting_is_told_once_with_that_fault() -> None:
    steps = checklist(
        [
            step("ask", if_fault="hear"),
            step("on", sets={"power": "on"}),
            step("hear", must_be={"power": "on"}),
            step("look"),
            step("tune", must_be={"power": "on"}),
            step("off", sets={"power": "off"}),
        ]
    )
    assert [o.step for o in offences(steps, KIT).offences] == [2, 4]
    assert messages(steps, KIT) == [
        (
            "HS304",
            "hear",
            "1.03 needs power on, but it stands off: 1.01 FAULT, then 1.03.",
            (
                "1.02 brings it to on, but FAULT at 1.01 passes over it: send the fault to 1.02 or "
                "earlier, or past 1.03. Because of it these cannot start either: 1.05."
            ),
        )
    ]


def test_what_one_late_step_keeps_from_starting_is_told_once_and_runs_are_drawn_together() -> None:
    steps = checklist(
        [
            step("hear", must_be={"power": "on"}),
            step("tune", must_be={"power": "on"}),
            step("look"),
            step("call", must_be={"power": "on"}),
            step("on", sets={"power": "on"}),
            step("open", sets={"panel": "open"}),
            step("off", sets={"power": "off"}),
            step("close", sets={"panel": "closed"}),
        ]
    )
    found = messages(steps, KIT)
    assert [m for m in found if m[0] == "HS304"] == [
        (
            "HS304",
            "hear",
            "1.01 needs power on, but it stands off: at the very start, then 1.01.",
            (
                "1.05 brings it to on, too late: move it before 1.01. Because of it these cannot "
                "start either: 1.02, 1.04."
            ),
        )
    ]
    assert [m for code, _, m, _ in found if code == "HS302"] == [
        (
            "panel open and power on stand together: 1.01 to 1.02 cannot start, 1.03, 1.04 cannot "
            "start, 1.05 to 1.06."
        )
    ]


def test_a_step_that_brings_what_is_needed_but_is_undone_again_is_no_way_out() -> None:
    steps = checklist(
        [
            step("on", sets={"power": "on"}),
            step("off", sets={"power": "off"}),
            step("hear", must_be={"power": "on"}),
        ]
    )
    assert [h for _, _, _, h in messages(steps, KIT)] == [
        "Bring it to on before 1.03 on this way, or pass 1.03 over."
    ]
