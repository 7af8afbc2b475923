"""The laws of status, each a function of an implementation, so that mutants of it can be tried.

Restated from computations 11 by the design: an X is never deferred; clearing by the doer changes
nothing; an item away is X only with no walk in progress; nothing ever improves by an added open
entry, a later time or a fork. Histories are drawn with people enrolled, on three devices.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from domain.status_histories import START, Case
from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, OpenEntry, RecordFacts
from hardstand.domain.quantity import later
from hardstand.domain.symbols import ORDER
from hardstand.domain.verdict import Verdict, effective, verdict
from line_office import ZONE, Office

RECORD = RecordFacts(time_zone=ZONE)


@dataclass(frozen=True, slots=True)
class Rules:
    """An implementation of the fold and of the verdict."""

    fold: Callable[..., AirframeFacts] = fold
    verdict: Callable[..., Verdict] = verdict
    effective: Callable[..., str] = effective


TRUE = Rules()


def rank(symbol: str) -> int:
    """How grave a symbol is; 0 is the worst."""
    return ORDER.index(symbol)


def reads(rules: Rules, case: Case, lines: tuple[Entry, ...], hour: int) -> Verdict:
    """How the airframe stands by these lines at an hour after the week began."""
    facts = rules.fold(case.office.ground, lines)
    return rules.verdict(facts, later(START, hours=hour), RECORD, {})


# -- the laws --------------------------------------------------------------------------------------


def the_order_of_arrival_changes_nothing(rules: Rules, case: Case) -> None:
    """Law 1 and 2: a set of lines, in any order, has one meaning."""
    assert rules.fold(case.office.ground, case.lines[::-1]) == rules.fold(
        case.office.ground, case.lines
    )


def the_symbol_is_the_worst_that_is_listed(rules: Rules, case: Case) -> None:
    """Law 5."""
    found = reads(rules, case, case.lines, case.hour)
    listed = [s.symbol for s in found.open]
    assert found.symbol == min(listed, key=rank, default="clear")


def a_later_time_never_improves(rules: Rules, case: Case) -> None:
    """Law 7."""
    first = reads(rules, case, case.lines, case.hour).symbol
    then = reads(rules, case, case.lines, case.hour + case.more).symbol
    assert rank(then) <= rank(first)


def an_added_entry_never_improves(rules: Rules, case: Case) -> None:
    """Law 4."""
    before = reads(rules, case, case.lines, case.hour).symbol
    office = Office(case.office.ground, {"S": list(case.lines)})
    symbols: tuple[Symbol, ...] = ("/", "-", "X")
    office.raises("Sun 20:00", "RA", symbols[case.pick % 3])
    after = reads(rules, case, tuple(office.lines["S"]), case.hour).symbol
    assert rank(after) <= rank(before)


def a_fork_never_improves(rules: Rules, case: Case) -> None:
    """Law 8: an act by somebody who had seen only the raising never makes it look better."""
    facts = rules.fold(case.office.ground, case.lines)
    now = later(START, hours=case.hour)
    for first in (e for e in case.lines if e.kind == "defect.raised"):
        number, seen = _number(first), (first.digest.hex(),)
        item = facts.entry(number)
        if item is None or item.heads == seen:
            continue
        for who, body in _forks(number, seen):
            office = Office(case.office.ground, {"S": list(case.lines)})
            office.write("Sun 20:00", who, body, "S")
            after = rules.fold(case.office.ground, office.lines["S"]).entry(number)
            assert after is not None, body
            assert rank(rules.effective(after, now)) <= rank(rules.effective(item, now)), body


def _number(entry: Entry) -> str:
    import json

    return str(json.loads(entry.body)["number"])


def _forks(number: str, seen: tuple[str, ...]) -> list[tuple[str, b.Body]]:
    return [
        ("DQ", b.DefectCleared(number=number, text="x", by=By(doer="DQ"), seen=seen)),
        ("MS", b.DefectVoided(number=number, reason="x", confirmed=True, by=By(doer="MS"),
                              seen=seen)),
        ("MS", b.SymbolLowered(number=number, symbol="/", reason="x", by=By(doer="MS"),
                               seen=seen)),
        ("LH", b.SymbolLimited(number=number, limits="x", ends="2027-03-21T12:00:00Z", reason="x",
                               by=By(doer="LH"), seen=seen)),
        ("MS", b.DefectDeferred(number=number, item="i", category="D", what="x", conditions=(),
                                reason="x", by=By(doer="MS"), seen=seen)),
        ("LH", b.DefectProlonged(number=number, days=9, reason="x", by=By(doer="LH"), seen=seen)),
        ("YB", b.DefectProved(number=number, functions=("lf.rx",), words="x", by=By(doer="YB"),
                              seen=seen)),
        ("MS", b.DefectSameAs(number=number, other=number, by=By(doer="MS"), seen=seen)),
    ]  # fmt: skip


def an_x_is_never_deferred(rules: Rules, case: Case) -> None:
    """Law 9: a deferral of an X, or of what counts as X, changes no symbol at any time."""
    facts = rules.fold(case.office.ground, case.lines)
    for item in facts.open:
        if rules.effective(item, case.lines[-1].at) != "X":
            continue
        after = _with(rules, case, item, "MS", b.DefectDeferred(
            number=item.number, item="i", category="D", what="x", conditions=(), reason="x",
            by=By(doer="MS"), seen=item.seen,
        ))  # fmt: skip
        assert after is not None
        assert after.deferral == item.deferral
        for hour in (0, case.hour, case.more):
            assert rank(rules.effective(after, later(START, hours=hour))) <= rank(
                rules.effective(item, later(START, hours=hour))
            )


def clearing_by_the_doer_changes_nothing(rules: Rules, case: Case) -> None:
    """Law 10."""
    facts = rules.fold(case.office.ground, case.lines)
    for item in facts.open:
        for doer in (*item.doers, *item.taught):
            after = _with(rules, case, item, doer, b.DefectCleared(
                number=item.number, text="x", by=By(doer=doer), seen=item.seen))  # fmt: skip
            assert after is not None
            assert after.symbol == item.symbol


def _with(rules: Rules, case: Case, item: OpenEntry, who: str, body: b.Body) -> OpenEntry | None:
    office = Office(case.office.ground, {"S": list(case.lines)})
    last = max(case.lines, key=lambda e: e.tick)
    office.write(str(last.at), who, body, "S")
    return rules.fold(case.office.ground, office.lines["S"]).entry(item.number)


def only_an_inspector_over_recorded_work_clears(rules: Rules, case: Case) -> None:
    """Law 6 the other way: nobody else, and not without work, whatever the line says."""
    facts = rules.fold(case.office.ground, case.lines)
    for item in facts.open:
        for who in ("BTR", "MS", "LH", "RA", "CA", "JW", "ZZ"):
            after = _with(rules, case, item, who, b.DefectCleared(
                number=item.number, text="x", by=By(doer=who), seen=item.seen))  # fmt: skip
            assert after is not None
            assert after.symbol == item.symbol
        if item.work is None or item.disputes:
            after = _with(rules, case, item, "DQ", b.DefectCleared(
                number=item.number, text="x", by=By(doer="DQ"), seen=item.seen))  # fmt: skip
            assert after is not None


def work_and_another_persons_clearing_close_it(rules: Rules, case: Case) -> None:
    """Law 6: what is settled, worked on and cleared by somebody fresh is closed."""
    office = Office(case.office.ground, {"S": list(case.lines)})
    when = str(case.lines[-1].at)
    facts = rules.fold(case.office.ground, office.lines["S"])
    for item in facts.open:
        fresh = next((w for w in ("DQ", "YB") if w not in {*item.doers, *item.taught}), "")
        if item.disputes or not fresh:
            continue
        acted = b.ActionRecorded(number=item.number, text="done", by=By(doer="BTR"),
                                 seen=item.seen)  # fmt: skip
        line = office.write(when, "BTR", acted, "S")
        seen = (*item.seen, line.digest.hex())
        cleared = b.DefectCleared(number=item.number, text="x", by=By(doer=fresh), seen=seen)
        office.write(when, fresh, cleared, "S")
        assert rules.fold(case.office.ground, office.lines["S"]).entry(item.number) is None


def every_line_cited_is_in_the_record(rules: Rules, case: Case) -> None:
    """Law 20."""
    facts = rules.fold(case.office.ground, case.lines)
    refs = {e.ref for e in case.lines}
    digests = {e.digest.hex() for e in case.lines}
    for item in facts.open:
        assert {a.ref for a in item.acts} <= refs
        assert set(item.seen) <= digests
        assert {x for d in item.disputes for x in d.acts} <= digests


def a_settled_fork_is_settled_and_only_by_a_third_person(rules: Rules, case: Case) -> None:
    """Law 17."""
    facts = rules.fold(case.office.ground, case.lines)
    for item in facts.open:
        parties = {p for d in item.disputes for p in d.parties}
        for who in ("LH", "DQ", "YB"):
            if not item.disputes:
                continue
            after = _with(rules, case, item, who, b.DefectSettled(
                number=item.number, words="x", by=By(doer=who), seen=item.seen))  # fmt: skip
            assert after is not None
            assert bool(after.disputes) == (who in parties)
            assert after.symbol == item.symbol


def an_untrusted_clock_counts_what_is_dated_as_run_out(rules: Rules, case: Case) -> None:
    """CANNOT TELL never reads better than run out."""
    facts = rules.fold(case.office.ground, case.lines)
    now = later(START, hours=case.hour)
    for item in facts.open:
        blind = rules.effective(item, now, trusted=False)
        assert rank(blind) <= rank(rules.effective(item, now))
        dated = item.symbol == "(X)" or (item.deferral is not None and item.symbol != "X")
        assert not dated or blind == "X"


DRAWN: tuple[Callable[[Rules, Case], None], ...] = (
    the_order_of_arrival_changes_nothing,
    the_symbol_is_the_worst_that_is_listed,
    a_later_time_never_improves,
    an_added_entry_never_improves,
    a_fork_never_improves,
    an_x_is_never_deferred,
    clearing_by_the_doer_changes_nothing,
    only_an_inspector_over_recorded_work_clears,
    work_and_another_persons_clearing_close_it,
    every_line_cited_is_in_the_record,
    a_settled_fork_is_settled_and_only_by_a_third_person,
    an_untrusted_clock_counts_what_is_dated_as_run_out,
)
