"""An airframe's log kept by the Quennock people on several devices, by the pure decisions alone.

Nothing here is signed: signatures are the flows' matter. Times are local, three hours behind UTC,
in the week that begins on Monday 8 March 2027.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

from builders import Watch, entry
from hardstand.domain import bodies as b
from hardstand.domain import clearing, defects, putting_off, ruling
from hardstand.domain.airframe import Ground, fold
from hardstand.domain.authority import Case
from hardstand.domain.bodies import By
from hardstand.domain.chain import ZERO
from hardstand.domain.checklist import Fit, Function, Permitted, Symbol, Unit
from hardstand.domain.dated import DatedFit
from hardstand.domain.defects import Done, Refused, Report
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, OpenEntry, RecordFacts
from hardstand.domain.people import People
from hardstand.domain.putting_off import PutOff, Within
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.domain.settings import Settings
from hardstand.domain.verdict import Verdict, verdict
from hardstand.flows.adopting import begin_record
from hardstand.flows.demo_people import enrol_demo_people
from hardstand.flows.pen import Pen
from hardstand.system.keys import DemoKeys
from memory import MemoryJournal

DAYS = {name: 8 + n for n, name in enumerate(("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"))}
ZONE = "Etc/GMT+3"
TAIL = "QM-107"


def at(text: str) -> Instant:
    """The instant of `Mon 05:09`, local, or of a whole time with its offset."""
    day, _, hour = text.partition(" ")
    whole = f"2027-03-{DAYS[day]:02d}T{hour}-03:00" if day in DAYS else text
    found = parse_instant(whole)
    assert found is not None
    return found


@cache
def people() -> People:
    """The Quennock people as a record holds them, NH's leaving on Wednesday included."""
    journal = MemoryJournal("S")
    clock = Watch(at=Instant("2026-11-01T12:00:00Z"), step=0)
    pen = Pen(journal=journal, clock=clock, author="ÅL")
    begin_record(pen, demo=True, program="test")
    enrol_demo_people(pen, DemoKeys())
    leaves = at("Wed 17:00")
    return tuple(
        p._replace(ended=leaves,
                grants=(*p.grants, *(g._replace(since=leaves, until=leaves) for g in p.grants)))
        if p.initials == "NH" else p
        for p in journal.record().people
    )  # fmt: skip


def ground(settings: Settings | None = None, *, enrolled: bool = True) -> Ground:
    """QM-107 with fit H, and who may do what there."""
    return Ground(
        tail=TAIL, type="Pask 4", fits=(DatedFit(since="2026-11-01", fit="H"),), short="107",
        serials={"RX-LF": "L-2207"}, entries_before={}, time_zone=ZONE,
        settings=settings or Settings(), people=people() if enrolled else (),
        founded={} if enrolled else None,
    )  # fmt: skip


FIT = Fit(
    id="H", title="hand-tuned set", items={}, controls={},
    units={"RX-LF": Unit(title="low-frequency receiver")},
    functions={"lf.rx": Function(title="low-frequency receiver", fed_by=("RX-LF",))},
    permitted={
        "23-H-01": Permitted(what="LF receiver noise", category="C", condition="copied on TK"),
        "23-H-04": Permitted(what="filter switch", category="C", condition='placard "use ALL"'),
        "23-H-05": Permitted(what="sidetone out", category="B", condition="placard; tower told"),
        "23-H-09": Permitted(what="dial lamp out", category="D", condition="pilot has a torch"),
        "23-H-20": Permitted(what="clock", category="A", condition="", interval="20 calendar days"),
        "23-H-21": Permitted(what="heater", category="A", condition="", interval="2 flight-days"),
    },
)  # fmt: skip

Decision = Callable[[AirframeFacts, Case], Sequence[b.Body] | Refused]


@dataclass(slots=True)
class Office:
    """The airframe's lines, device by device; a device knows others' only after `exchange`."""

    ground: Ground = field(default_factory=ground)
    lines: dict[str, list[Entry]] = field(default_factory=dict)

    def facts(self, device: str = "S") -> AirframeFacts:
        """The airframe as a device sees it."""
        return fold(self.ground, self.lines.get(device, []))

    def entry(self, number: str = "107-S01", device: str = "S") -> OpenEntry | None:
        """One open entry as a device sees it."""
        return self.facts(device).entry(number)

    def verdict(self, when: str, device: str = "S", *, trusted: bool = True) -> Verdict:
        """How the airframe stands, as a device sees it."""
        record = RecordFacts(time_zone=ZONE, settings=self.ground.settings)
        return verdict(self.facts(device), at(when), record, {}, trusted=trusted)

    def case(self, when: str, facts: AirframeFacts, number: str = "107-S01") -> Case:
        """The circumstances of an act."""
        item = facts.entry(number)
        names = {*item.takes, *item.weakens, item.unit} - {""} if item else set[str]()
        before = sum(1 for w in facts.watched if names & set(w.names))
        return Case(
            people=self.ground.people, settings=self.ground.settings, at=at(when), fit="H",
            where=self.ground.days, cnd_before=before,
        )  # fmt: skip

    def does(
        self, when: str, who: str, decide: Decision, device: str = "S", number: str = "107-S01"
    ) -> Refused | tuple[Entry, ...]:
        """Decide on what the device knows and write it there; a refusal comes back."""
        facts = self.facts(device)
        found = decide(facts, self.case(when, facts, number))
        if isinstance(found, Refused):
            return found
        return tuple(self.write(when, who, body, device) for body in found)

    def write(self, when: str, who: str, body: b.Body, device: str = "S") -> Entry:
        """Write one body as it is, whoever may or may not."""
        known = self.lines.setdefault(device, [])
        own = [e for e in known if e.device == device]
        tick = max((e.tick for e in known), default=0) + 1
        made = entry(
            body, device=device, seq=len(own) + 1, tick=tick, at=at(when), tail=TAIL, author=who,
            prev=own[-1].digest if own else ZERO,
        )  # fmt: skip
        known.append(made)
        return made

    def exchange(self, *devices: str) -> None:
        """Give each of the devices what the others hold."""
        every = {(e.device, e.seq): e for d in devices for e in self.lines.get(d, [])}
        for device in devices:
            self.lines[device] = list(every.values())

    # -- the acts, as people say them -------------------------------------------------------------

    def raises(
        self, when: str, who: str, symbol: Symbol = "/", text: str = "hum", device: str = "S",
        **more: tuple[str, ...] | str,
    ) -> str:  # fmt: skip
        """A new entry; its number."""
        report = replace(Report(symbol=symbol, text=text), **more)  # type: ignore[arg-type]  # named by the test
        facts = self.facts(device)
        body = defects.raised(facts, report, device=device, by=By(doer=who))
        self.write(when, who, body, device)
        return body.number

    def worse(
        self, when: str, who: str, symbol: Symbol = "X", device: str = "S", number: str = "107-S01"
    ) -> Refused | tuple[Entry, ...]:
        """Set a symbol."""
        return self.does(
            when, who,
            lambda f, c: defects.set_symbol(f, number, symbol, "grew", By(doer=who), c), device,
            number,
        )  # fmt: skip

    def acts(
        self, when: str, who: str, done: str | Done = "strap remade", device: str = "S",
        with_: tuple[str, ...] = (), number: str = "107-S01",
    ) -> Refused | tuple[Entry, ...]:  # fmt: skip
        """Record an action; a trainee's is written by whoever supervises."""
        by = By(doer=who, with_=with_)
        author = with_[0] if with_ and who == "IO" else who
        return self.does(
            when, author, lambda f, c: defects.record_action(f, number, done, by, c), device, number
        )

    def clears(
        self, when: str, who: str, device: str = "S", number: str = "107-S01",
        how: clearing.Looked | str = "seen, tight",
    ) -> Refused | tuple[Entry, ...]:  # fmt: skip
        """Clear an entry."""
        return self.does(
            when, who,
            lambda f, c: clearing.clear(f, number, how, By(doer=who), c, device=device), device,
            number,
        )  # fmt: skip

    def rejects(
        self, when: str, who: str, device: str = "S", number: str = "107-S01"
    ) -> Refused | tuple[Entry, ...]:
        """Not accept the work."""
        return self.does(
            when, who, lambda f, c: defects.reject(f, number, "loose", By(doer=who), c), device,
            number,
        )  # fmt: skip

    def defers(
        self, when: str, who: str = "MS", item: str = "23-H-04", device: str = "S",
        met: tuple[str, ...] = ("on the switch",), number: str = "107-S01",
    ) -> Refused | tuple[Entry, ...]:  # fmt: skip
        """Put an entry off."""
        asked = PutOff(item=item, met=met, reason="no spare")
        return self.does(
            when, who, lambda f, c: putting_off.defer(f, number, asked, FIT, By(doer=who), c),
            device, number,
        )  # fmt: skip

    def extends(
        self, when: str, who: str, days: int, number: str = "107-S01", device: str = "S"
    ) -> Refused | tuple[Entry, ...]:
        """Extend a deferral."""
        return self.does(
            when, who,
            lambda f, c: putting_off.extend(f, number, days, "late", By(doer=who), c), device,
            number,
        )  # fmt: skip

    def limits(
        self, when: str, who: str, ends: str, text: str = "by day, to base",
        *, one_operation: bool = False, device: str = "S", number: str = "107-S01",
    ) -> Refused | tuple[Entry, ...]:  # fmt: skip
        """Circle an X."""
        asked = Within(limits=text, ends=at(ends), one_operation=one_operation, reason="move it")
        return self.does(
            when, who, lambda f, c: putting_off.limit(f, number, asked, By(doer=who), c), device,
            number,
        )  # fmt: skip

    def voids(
        self, when: str, who: str, device: str = "S", number: str = "107-S01"
    ) -> Refused | tuple[Entry, ...]:
        """Say it was entered in error."""
        return self.does(
            when, who, lambda f, c: defects.void(f, number, "wrong aircraft", By(doer=who), c),
            device, number,
        )  # fmt: skip

    def joins(
        self, when: str, who: str, number: str, other: str, device: str = "S"
    ) -> Refused | tuple[Entry, ...]:
        """Join an entry to another."""
        return self.does(
            when, who, lambda f, c: defects.same_as(f, number, other, By(doer=who), c), device,
            number,
        )  # fmt: skip

    def settles(
        self, when: str, who: str, stands: str = "", device: str = "S", number: str = "107-S01"
    ) -> Refused | tuple[Entry, ...]:
        """Settle a disagreement."""
        return self.does(
            when, who,
            lambda f, c: ruling.settle(f, number, stands, "looked", By(doer=who), c), device,
            number,
        )  # fmt: skip

    def rules(
        self, when: str, who: str, *, again_by_doer: bool = False
    ) -> Refused | tuple[Entry, ...]:
        """A lead's word, or a chief's order of a second look by the doer."""
        return self.does(
            when, who,
            lambda f, c: ruling.rule(f, "107-S01", "bench it", By(doer=who), c,
                                     again_by_doer=again_by_doer),
        )  # fmt: skip


def refused(found: Refused | tuple[Entry, ...]) -> Refused:
    """The refusal, which must be one."""
    assert isinstance(found, Refused), found
    return found


def done(found: Refused | tuple[Entry, ...]) -> tuple[Entry, ...]:
    """The lines written, which must be some."""
    assert not isinstance(found, Refused), found
    return found
