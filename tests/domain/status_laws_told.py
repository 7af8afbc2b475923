"""Laws of status told as one small story each, for what drawn histories seldom meet."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from domain.status_histories import START, Case
from domain.status_laws import RECORD, Rules, rank
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.bodies_log import Outcome
from hardstand.domain.checklist import Symbol
from hardstand.domain.defects import Done
from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, OpenWalk
from hardstand.domain.quantity import later
from line_office import TAIL, Office, at, ground


def a_deferral_holds_on_its_last_day_and_not_on_the_next(rules: Rules, case: Case) -> None:
    """Law 21: category B, logged on a Monday."""
    office = Office(ground())
    office.raises(f"Mon {case.pick:02d}:30", "RA", "/")
    office.defers("Mon 12:00", "MS", "23-H-05", met=("a", "b"))
    item = rules.fold(office.ground, office.lines["S"]).open[0]
    assert rules.effective(item, at("2027-03-11T23:59:59-03:00")) == "/"
    assert rules.effective(item, at("2027-03-12T00:00:00-03:00")) == "X"


def a_longer_deferral_is_never_worse(rules: Rules, case: Case) -> None:
    """Law 18."""
    found = []
    for item, met in (("23-H-05", ("a", "b")), ("23-H-04", ("a",)), ("23-H-09", ("a",))):
        office = Office(ground())
        office.raises("Mon 08:30", "RA", "/")
        office.defers("Mon 12:00", "MS", item, met=met)
        entry = rules.fold(office.ground, office.lines["S"]).open[0]
        found.append(rank(rules.effective(entry, later(START, hours=case.hour))))
    assert found == sorted(found)


def limits_end_when_they_say(rules: Rules, case: Case) -> None:
    """The circled X reads X again at its end, not a second before."""
    office = Office(ground())
    office.raises("Mon 08:30", "RA", "X")
    ends = later(at("Mon 09:00"), hours=1 + case.hour % 100)
    office.limits("Mon 09:00", "LH", str(ends))
    item = rules.fold(office.ground, office.lines["S"]).open[0]
    assert rules.effective(item, later(ends, seconds=-1)) == "(X)"
    assert rules.effective(item, later(ends, seconds=-1), trusted=False) == "X"
    assert rules.effective(item, ends) == "X"


def an_item_away_is_x_only_with_no_walk_in_progress(rules: Rules, case: Case) -> None:
    """Law 14, restated: access, removed, disconnected, energy; a walk is alive for 15 minutes."""
    walk = OpenWalk(walk="C1", device="C", checklist="H", revision="H5", digest="d",
                    started=START, by="YB", ref="C-1")  # fmt: skip
    for kind, counts in (("access", True), ("removed", True), ("disconnected", True),
                         ("energy", True), ("placed", False), ("tag", False)):  # fmt: skip
        line = Line(item="i", title="panel", kind=kind, home="SHUT", value="OPEN", since=START,
                    by="YB", ref="C-2")  # fmt: skip
        facts = AirframeFacts(tail=TAIL, type="t", fits=(), short="107", lines=(line,))
        walked = facts._replace(walks=(walk,))
        broken = facts._replace(walks=(walk._replace(broken=True),))
        alive = later(START, seconds=60 * 15 - 1 - case.pick)
        over = later(START, seconds=60 * 15 + case.pick)
        away = "X" if counts else "clear"
        last: dict[str, Any] = {"C1": START}
        assert rules.verdict(facts, alive, RECORD, {}).symbol == away
        assert rules.verdict(walked, alive, RECORD, last).symbol == "clear"
        assert rules.verdict(broken, alive, RECORD, last).symbol == away
        assert rules.verdict(walked, over, RECORD, last).symbol == away


def a_temporary_repair_and_a_void_x_need_their_second_half(rules: Rules, case: Case) -> None:
    """Neither a temporary repair alone, nor one person's word that an X is an error, closes it."""
    office = _one("X")
    office.voids("Mon 08:31", "RA")
    assert _now(rules, office) is not None
    by = By(doer="RA")
    office.write("Mon 08:32", "RA", b.DefectVoided(
        number="107-S01", reason="x", confirmed=True, by=by, seen=_seen(office)))  # fmt: skip
    assert _now(rules, office) is not None
    office = _one("X")
    office.acts("Mon 09:00", "BT", Done(text="taped", outcome="temporary"))
    _cleared(office, "Mon 09:30", "DQ", "temporary")
    assert _now(rules, office) is not None
    office = _one("X")
    office.acts("Mon 09:00", "BT", Done(text="taped", outcome="temporary"))
    office.clears("Mon 09:30", "DQ")
    facts = rules.fold(office.ground, office.lines["S"])
    assert [e.number for e in facts.open] == ["107-S02"]
    del case


def _one(symbol: Symbol = "/", *names: str, enrolled: bool = True) -> Office:
    office = Office(ground(enrolled=enrolled))
    office.raises("Mon 08:30", "RA", symbol, untested=names)
    return office


def _now(rules: Rules, office: Office) -> OpenEntry | None:
    return rules.fold(office.ground, office.lines["S"]).entry("107-S01")


def _seen(office: Office) -> tuple[str, ...]:
    item = office.entry()
    assert item is not None
    return item.seen


def raising_raises_and_lowering_lowers_and_neither_does_the_other(rules: Rules, case: Case) -> None:
    """Symbols go up freely; a line that says it raises never makes anything milder."""
    by, order = By(doer="IO"), ("/", "-", "X")
    for of in ("/", "-", "X"):
        for to in ("/", "-", "X"):
            office = _one(of)
            office.write("Mon 09:00", "IO", b.SymbolRaised(
                number="107-S01", symbol=to, reason="x", by=by, seen=_seen(office)))  # fmt: skip
            item = _now(rules, office)
            assert item is not None
            assert item.symbol == order[max(order.index(of), order.index(to))]
    office = _one("-")
    by = By(doer="MS")
    office.write("Mon 09:00", "MS", b.SymbolLowered(
        number="107-S01", symbol="X", reason="x", by=by, seen=_seen(office)))  # fmt: skip
    item = _now(rules, office)
    assert item is not None
    assert item.symbol == "-"
    del case


def every_pair_of_hands_is_barred_for_good(rules: Rules, case: Case) -> None:
    """Whoever had a hand in any of the work recorded, on any device, does not clear it."""
    for who in ("YB", "DQ"):
        office = _one("X")
        office.acts("Mon 09:00", "YB")
        office.acts("Mon 10:00", "BT", with_=("BTR",))
        office.acts("Mon 11:00", "IO", with_=("DQ",))
        _cleared(office, "Mon 12:00", who)
        item = _now(rules, office)
        assert item is not None
        assert {"YB", "BT", "BTR", "IO", "DQ"} <= set(item.doers)
        fork = _one("X")
        fork.exchange("S", "A", "C")
        fork.acts("Mon 09:00", "YB", device="A")
        fork.acts("Mon 09:00", "BTR", with_=("DQ",), device="C")
        fork.exchange("S", "A", "C")
        _cleared(fork, "Mon 12:00", who)
        assert _now(rules, fork) is not None
    del case


def _cleared(office: Office, when: str, who: str, outcome: Outcome = "rectified") -> None:
    by = By(doer=who)
    office.write(when, who, b.DefectCleared(
        number="107-S01", text="x", outcome=outcome, by=by, seen=_seen(office)))  # fmt: skip


def only_the_entitled_ease_anything(rules: Rules, case: Case) -> None:
    """A line that eases an entry counts for nothing where its author had no right to it."""
    by, n = By(doer="BT"), "107-S01"
    seen = _seen(_one("-"))
    for symbol, body in (
        ("-", b.SymbolLowered(number=n, symbol="/", reason="x", by=by, seen=seen)),
        ("X", b.SymbolLowered(number=n, symbol="/", reason="x", by=By(doer="MS"), seen=seen)),
        ("X", b.SymbolLimited(number=n, limits="x", ends="2027-03-12T00:00:00Z", reason="x",
                              by=by, seen=seen)),
        ("/", b.DefectDeferred(number=n, item="i", category="D", what="x", conditions=(),
                               reason="x", by=by, seen=seen)),
        ("/", b.DefectRuled(number=n, text="x", by=by, seen=seen)),
        ("/", b.DefectSameAs(number=n, other=n, by=by, seen=seen)),
        ("/", b.DefectVoided(number=n, reason="x", by=by, seen=seen)),
    ):  # fmt: skip
        office = _one("X" if symbol == "X" else "-" if symbol == "-" else "/")
        office.write("Mon 09:00", body.by.doer, body)
        item = _now(rules, office)
        assert item is not None, body
        eased = (item.symbol, item.deferral, item.limits, item.ruled)
        assert eased == (symbol, None, None, "")
        assert len(item.disputes) == 1
    del case


def what_counts_as_x_by_running_out_is_not_deferred_again(rules: Rules, case: Case) -> None:
    """Law 9 for an entry that counts as X though it was never raised to it."""
    office = _one("/")
    office.defers("Mon 12:00", "OH", "23-H-05", met=("a", "b"))
    before = _now(rules, office)
    assert before is not None
    office.write("Fri 06:00", "MS", b.DefectDeferred(
        number="107-S01", item="i", category="D", what="x", conditions=(), reason="x",
        by=By(doer="MS"), seen=before.seen))  # fmt: skip
    after = _now(rules, office)
    assert after is not None
    assert after.deferral == before.deferral
    del case


def a_fork_is_read_carefully_until_it_is_settled_and_no_longer(rules: Rules, case: Case) -> None:
    """Laws 8 and 17 on the fork of the demo, whatever was written meanwhile on a third device."""
    office = _one("/")
    office.acts("Mon 09:00", "BT")
    office.exchange("S", "A", "C")
    office.worse("Mon 10:00", "YB", device="C")
    office.clears("Mon 10:01", "DQ", "A")
    office.exchange("S", "A", "C")
    item = _now(rules, office)
    assert item is not None
    assert (item.symbol, len(item.disputes)) == ("X", 1)
    party = Office(office.ground, {"S": list(office.lines["S"])})
    party.write("Mon 10:30", "DQ", b.DefectSettled(
        number="107-S01", words="x", by=By(doer="DQ"), seen=item.seen))  # fmt: skip
    unsettled = _now(rules, party)
    assert unsettled is not None
    assert len(unsettled.disputes) == 2
    office.settles("Mon 11:00", "LH")
    office.acts("Mon 11:01", "BTR", device="A")
    office.exchange("S", "A", "C")
    settled = _now(rules, office)
    assert settled is not None
    assert (settled.symbol, settled.disputes) == ("X", ())
    del case


def an_entry_joined_to_one_that_was_closed_stays_open(rules: Rules, case: Case) -> None:
    """Joining to a cleared entry holds on neither device."""
    office = _one("/")
    office.raises("Mon 08:31", "AF", "/", "hum again")
    office.acts("Mon 09:00", "BT")
    office.exchange("S", "A", "C")
    office.clears("Mon 09:10", "DQ", "A")
    office.joins("Mon 09:20", "OH", "107-S02", "107-S01", "C")
    office.exchange("S", "A", "C")
    facts = rules.fold(office.ground, office.lines["S"])
    assert [e.number for e in facts.open] == ["107-S02"]
    del case


def rejected_work_is_no_work(rules: Rules, case: Case) -> None:
    """After a rejection nothing is cleared until something is done again."""
    office = _one("X")
    office.acts("Mon 09:00", "BT")
    office.rejects("Mon 10:00", "DQ")
    office.write("Mon 11:00", "YB", b.DefectCleared(
        number="107-S01", text="x", by=By(doer="YB"), seen=_seen(office)))  # fmt: skip
    assert _now(rules, office) is not None
    del case


def a_test_closes_a_dash_that_waits_for_it_and_nothing_else(rules: Rules, case: Case) -> None:
    """Only a dash, and only when all it waits for was tested."""
    for symbol, names, proved, closes in (
        ("-", ("a", "b"), ("a", "b"), True), ("-", ("a", "b"), ("a",), False),
        ("-", (), ("a",), False), ("/", ("a",), ("a",), False), ("X", ("a",), ("a",), False),
    ):  # fmt: skip
        office = _one("X" if symbol == "X" else "-" if symbol == "-" else "/", *names)
        office.write("Mon 09:00", "YB", b.DefectProved(
            number="107-S01", functions=proved, words="x", by=By(doer="YB"),
            seen=_seen(office)))  # fmt: skip
        assert (_now(rules, office) is None) == closes, (symbol, names, proved)
    del case


def an_extension_gives_its_days_once_and_deferring_again_none(rules: Rules, case: Case) -> None:
    """C, logged on Monday 8 March: to the 18th; five days more: to the 23rd; never more."""
    office = _one("/")
    office.defers("Mon 12:00", "MS", "23-H-04")
    office.extends("Tue 12:00", "LH", 5)
    for body in (
        b.DefectProlonged(number="107-S01", days=5, reason="x", by=By(doer="LH"),
                          seen=_seen(office)),
        b.DefectDeferred(number="107-S01", item="i", category="D", what="x", conditions=(),
                         reason="x", by=By(doer="MS"), seen=_seen(office)),
    ):  # fmt: skip
        again = Office(office.ground, {"S": list(office.lines["S"])})
        again.write("Wed 12:00", body.by.doer, body)
        item = _now(rules, again)
        assert item is not None
        assert rules.effective(item, at("2027-03-23T23:59:59-03:00")) == "/"
        assert rules.effective(item, at("2027-03-24T00:00:00-03:00")) == "X"
    del case


def without_people_an_x_in_error_still_takes_a_second_person(rules: Rules, case: Case) -> None:
    """The bars that need no register stand in a record where nobody is enrolled."""
    for who, closes in (("RA", False), ("IO", True)):
        office = _one("X", enrolled=False)
        office.write("Mon 09:00", who, b.DefectVoided(
            number="107-S01", reason="x", confirmed=True, by=By(doer=who),
            seen=_seen(office)))  # fmt: skip
        assert (_now(rules, office) is None) == closes
    del case


FIXED: tuple[Callable[[Rules, Case], None], ...] = (
    raising_raises_and_lowering_lowers_and_neither_does_the_other,
    every_pair_of_hands_is_barred_for_good,
    only_the_entitled_ease_anything,
    what_counts_as_x_by_running_out_is_not_deferred_again,
    a_fork_is_read_carefully_until_it_is_settled_and_no_longer,
    an_entry_joined_to_one_that_was_closed_stays_open,
    rejected_work_is_no_work,
    a_test_closes_a_dash_that_waits_for_it_and_nothing_else,
    an_extension_gives_its_days_once_and_deferring_again_none,
    without_people_an_x_in_error_still_takes_a_second_person,
    a_temporary_repair_and_a_void_x_need_their_second_half,
    a_deferral_holds_on_its_last_day_and_not_on_the_next,
    a_longer_deferral_is_never_worse,
    limits_end_when_they_say,
    an_item_away_is_x_only_with_no_walk_in_progress,
)
"""Laws that make their own histories; a few cases are enough."""
