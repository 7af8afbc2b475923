"""The laws of status, each a function of an implementation, so that mutants of it can be tried.

Restated from computations 11 by the design: an X is never deferred; clearing by the doer changes
nothing; an item away is X only with no walk in progress; nothing ever improves by an added open
entry, a later time or a fork. Histories are drawn with people enrolled, on three devices.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from random import Random

from hypothesis import strategies as st

from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.clearing import Looked
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, OpenEntry, RecordFacts
from hardstand.domain.quantity import Instant, later
from hardstand.domain.settings import Settings
from hardstand.domain.symbols import ORDER
from hardstand.domain.verdict import Verdict, effective, verdict
from line_office import ZONE, Office, at, ground

RECORD = RecordFacts(time_zone=ZONE)
START = at("Mon 04:00")


@dataclass(frozen=True, slots=True)
class Rules:
    """An implementation of the fold and of the verdict."""

    fold: Callable[..., AirframeFacts] = fold
    verdict: Callable[..., Verdict] = verdict
    effective: Callable[..., str] = effective


TRUE = Rules()


@dataclass(frozen=True, slots=True)
class Move:
    """One thing somebody does on a device at an hour of the week, to one of the entries."""

    what: str
    who: str
    device: str
    number: int
    hours: int


WHO = ("", "", "", "", "", "BT", "YB", "DQ", "MS", "LH", "IO", "NH", "RA")
"""Empty: whoever is entitled to it, so that histories do not consist of refusals."""

ENTITLED = {
    "limit": "LH", "extend": "LH", "settle": "LH", "defer": "MS", "defer B": "OH", "lower": "MS",
    "join": "MS", "act": "BT", "clear": "DQ", "reject": "DQ", "prove": "YB", "void": "RA",
}  # fmt: skip
WHAT = (
    "raise", "dash", "raise X", "worse", "lower", "act", "act", "act", "clear", "clear", "clear",
    "reject", "defer", "defer", "defer B", "defer B", "extend", "extend", "extend", "limit",
    "limit", "limit", "void", "void", "join", "settle", "settle", "prove", "exchange", "exchange",
    "mend", "mend", "mend", "fork", "put off", "put off",
)  # fmt: skip

moves = st.builds(
    Move, what=st.sampled_from(WHAT), who=st.sampled_from(WHO), device=st.sampled_from("SAC"),
    number=st.sampled_from([0, 0, 0, 1, 1, 2, 3]), hours=st.integers(0, 9),
)  # fmt: skip


def played(script: list[Move], settings: Settings | None = None) -> Office:
    """The office after these moves; what is refused is left out.

    Three entries are known to all devices before.
    """
    office = Office(ground(settings))
    for symbol in ("/", "X", "-"):
        office.raises(str(START), "RA", "X" if symbol == "X" else "-" if symbol == "-" else "/",
                      untested=("lf.rx",) if symbol == "-" else ())  # fmt: skip
    office.exchange("S", "A", "C")
    now = START
    for move in script:
        now = later(now, hours=move.hours)
        who = move.who or ENTITLED.get(move.what, "IO")
        move = replace(move, who=who)  # noqa: PLW2901  the move as it is made
        _DO[move.what](office, move, str(now), _name(office, move))
    return office


def _name(office: Office, move: Move) -> str:
    open_ = [e.number for e in office.facts(move.device).open] or ["107-S01"]
    return open_[move.number % len(open_)]


def _raise(symbol: Symbol) -> Callable[[Office, Move, str, str], object]:
    def do(office: Office, m: Move, when: str, _: str) -> object:
        names = ("lf.rx",) if symbol == "-" else ()
        return office.raises(when, m.who, symbol, "hum", m.device, untested=names)

    return do


def _join(office: Office, m: Move, when: str, number: str) -> object:
    others = [e.number for e in office.facts(m.device).open if e.number != number]
    return office.joins(when, m.who, number, others[0], m.device) if others else None


def _mend(office: Office, m: Move, when: str, number: str) -> None:
    """Work by one person, cleared by another."""
    office.acts(when, "NH" if m.hours % 2 else "BT", "done", m.device, number=number)
    how = Looked(text="seen", placard_off=True)
    office.clears(when, "YB" if m.hours % 3 else "DQ", m.device, number, how)


def _fork(office: Office, m: Move, when: str, number: str) -> None:
    """Work that one tablet clears while another makes the entry worse, or puts it off."""
    office.exchange("S", "A", "C")
    office.acts(when, "BT", number=number)
    office.exchange("S", "A", "C")
    office.clears(when, "DQ", "A", number, Looked(text="seen", placard_off=True))
    if m.hours % 2:
        office.worse(when, "YB", "X", "C", number)
    else:
        office.acts(when, "YB", "more", "C", number=number)
    office.exchange("S", "A", "C")


def _put_off(office: Office, m: Move, when: str, number: str) -> None:
    """Put off by two leads who had not heard of each other; one of the two is extended."""
    office.exchange("A", "C")
    office.defers(when, "MS", "23-H-04", "A", number=number)
    office.defers(when, "OH", "23-H-05", "C", ("a", "b"), number)
    if m.hours % 2:
        office.exchange("A", "C")
    office.extends(when, "LH", 1 + m.hours % 3, number, "A")


_DO: Mapping[str, Callable[[Office, Move, str, str], object]] = {
    "raise": _raise("/"),
    "raise X": _raise("X"),
    "dash": _raise("-"),
    "worse": lambda o, m, w, n: o.worse(w, m.who, "X", m.device, n),
    "lower": lambda o, m, w, n: o.worse(w, m.who, "/", m.device, n),
    "act": lambda o, m, w, n: o.acts(w, m.who, "done", m.device,
                                     ("BT",) if m.who == "IO" else (), n),
    "clear": lambda o, m, w, n: o.clears(w, m.who, m.device, n,
                                         Looked(text="seen", placard_off=True)),
    "reject": lambda o, m, w, n: o.rejects(w, m.who, m.device, n),
    "defer": lambda o, m, w, n: o.defers(w, m.who, "23-H-04", m.device, number=n),
    "defer B": lambda o, m, w, n: o.defers(w, m.who, "23-H-05", m.device, ("a", "b"), n),
    "extend": lambda o, m, w, n: o.extends(w, m.who, 2, n, m.device),
    "limit": lambda o, m, w, n: o.limits(w, m.who, str(later(Instant(w), hours=60)),
                                         device=m.device, number=n),
    "void": lambda o, m, w, n: o.voids(w, m.who, m.device, n),
    "join": _join,
    "settle": lambda o, m, w, n: o.settles(w, m.who, "", m.device, n),
    "prove": lambda o, m, w, n: o.does(
        w, m.who,
        lambda f, c: (b.DefectProved(number=n, functions=("lf.rx",), words="heard",
                                     by=By(doer=m.who), seen=e.seen),)
        if (e := f.entry(n)) else (), m.device, n,
    ),
    "mend": _mend,
    "fork": _fork,
    "put off": _put_off,
    "exchange": lambda o, m, w, n: o.exchange(m.device, "SAC"[m.number % 3]),
}  # fmt: skip

scripts = st.lists(moves, min_size=1, max_size=18)
hours = st.integers(0, 24 * 20)


@dataclass(frozen=True, slots=True)
class Case:
    """A history and what a law needs beside it."""

    office: Office
    lines: tuple[Entry, ...]
    hour: int
    more: int
    pick: int


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Histories with two instants and a choice."""
    office = played(draw(scripts))
    office.exchange("S", "A", "C")
    lines = tuple(office.lines.get("S", ()))
    return Case(office, lines, draw(hours), draw(hours), draw(st.integers(0, 9)))


def pool(count: int, seed: int = 107) -> tuple[Case, ...]:
    """So many histories, always the same ones, for laws that are tried many times over."""
    dice = Random(seed)  # noqa: S311  for histories, not for keys
    return tuple(_drawn(dice) for _ in range(count))


def _drawn(dice: Random) -> Case:
    script = [
        Move(dice.choice(WHAT), dice.choice(WHO), dice.choice("SSAC"), dice.choice((0, 0, 0, 1, 2)),
             dice.randrange(7))
        for _ in range(dice.randrange(6, 30))
    ]  # fmt: skip
    office = played(script)
    office.exchange("S", "A", "C")
    numbers = (dice.randrange(480), dice.randrange(480), dice.randrange(10))
    return Case(office, tuple(office.lines["S"]), *numbers)


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
