"""A record of years: walks of seventy steps, their put-back lines, defects raised and cleared.

`big.py FILE [FRACTION]` builds it: 1 is 2,000 airframes, 1 M defects, 20 M step results. Chains,
digests and bodies are those of the real thing; only the journal's own bookkeeping is done once at
the end instead of at each append.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from hashlib import sha256
from pathlib import Path

HERE = Path(__file__).resolve()
if __name__ == "__main__":
    sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[2] / "src")]

from builders import IO, Watch, checklist, fit, fleet, papers, step
from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist, Symbol
from hardstand.domain.codec import encode
from hardstand.domain.fleet import Airframe, Fleet
from hardstand.domain.quantity import Instant, later
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.pen import Pen
from hardstand.store import statements
from hardstand.store.journal import SqlJournal, create

AIRFRAMES, DEFECTS, RESULTS = 2_000, 1_000_000, 20_000_000
STEPS, MOVED, OPEN_SHARE = 70, 8, 20
"""Steps of a walk; items it moves away and home again; of so many defects one stays open."""

DEVICES = "ABCDEFGH"
BATCH = 50_000
BEGIN = Instant("2020-01-01T06:00:00Z")
ITEMS = tuple(f"item-{n}" for n in range(MOVED))
SEEN = "0" * 64
TEXT = "sidetone comes and goes on the second transmitter when the generator is on line"


def tails(count: int = AIRFRAMES) -> list[str]:
    """The tails of the fleet."""
    return [f"QM-{1000 + n}" for n in range(count)]


def whole_fleet(count: int = AIRFRAMES) -> Fleet:
    """A fleet of one type and one fit."""
    one: Airframe = fleet().airframes["QM-161"]
    return replace(fleet(), airframes=dict.fromkeys(tails(count), one))


def long_list() -> Checklist:
    """Seventy steps, each answered OK."""
    return checklist(listed=[step(f"s-{n:02d}", "cockpit", proves=("rx",)) for n in range(STEPS)])


def begun_empty(path: Path, airframes: int = AIRFRAMES) -> None:
    """A record with the fleet, the fit and the list, and nothing else."""
    create(path, "A")
    journal = SqlJournal(path)
    pen = Pen(journal=journal, clock=Watch(at=BEGIN), author="IO")
    begin_record(pen, demo=True, program="bench")
    adopt(pen, papers(listed=long_list(), flown=whole_fleet(airframes), fitted=fit()))
    journal.close()


@dataclass(slots=True)
class _Chain:
    """Where one device's chain stands."""

    seq: int = 0
    digest: bytes = bytes(32)
    tick: int = 0
    walks: int = 0
    at: Instant = BEGIN


class _Builder:
    """Makes lines one after another, with the one tick they share."""

    def __init__(self, ends: dict[str, _Chain], tick: int) -> None:
        self.chains = {device: ends.get(device, _Chain()) for device in DEVICES}
        self.tick = tick
        self.at = BEGIN
        self.moved: dict[tuple[str, str], bytes] = {}

    def line(self, device: str, tail: str, walk: str | None, kind: str, body: bytes,
             author: str = "IO") -> tuple[object, ...]:  # fmt: skip
        """The next line of a device, sealed."""
        chain = self.chains[device]
        chain.seq += 1
        self.tick += 1
        header = (
            f"hardstand/entry/1\n{device}\n{chain.seq}\n{self.tick}\n{self.at}\n{author}\n{tail}\n"
            f"{walk or ''}\n{kind}\n1\n"
        )
        prev = chain.digest
        chain.digest = sha256(header.encode() + prev + body).digest()
        chain.tick, chain.at = self.tick, self.at
        return (device, chain.seq, self.tick, self.at, author, tail, walk, kind, 1, body, prev,
                chain.digest, None)  # fmt: skip

    def seen(self, device: str) -> bytes:
        """The digest of a device's last line, as a body names it."""
        return self.chains[device].digest.hex().encode()


@cache
def _answer(number: int) -> bytes:
    return encode(b.StepAnswered(step=f"s-{number:02d}", answer="OK", by=IO))


@cache
def _move(item: str, *, away: bool) -> bytes:
    to, from_ = ("OPEN", "SHUT") if away else ("SHUT", "OPEN")
    return encode(
        b.LineMoved(item=item, title=f"panel {item}", item_kind="access", home="SHUT", from_=from_,
                    to=to, step="s-10", by=IO, seen=(SEEN,))
    )  # fmt: skip


def _walk(build: _Builder, device: str, tail: str) -> Iterator[tuple[object, ...]]:
    """A whole walk: started, log read, items away, seventy answers, items home, finished."""
    chain = build.chains[device]
    chain.walks += 1
    walk = f"{device}{chain.walks}"
    started = b.WalkStarted(checklist="T-PRE", revision="1", digest="d" * 64, purpose="preflight",
                            fit="T", planned=tail, typed=tail, by=IO)  # fmt: skip
    yield build.line(device, tail, walk, "walk.started", encode(started))
    read = b.LogRead(listed=(), digest="d" * 64, taken=(), by=IO)
    yield build.line(device, tail, walk, "log.read", encode(read))
    yield from _moves(build, device, tail, walk, away=True)
    for number in range(STEPS):
        yield build.line(device, tail, walk, "step.answered", _answer(number))
    yield from _moves(build, device, tail, walk, away=False)
    closed = b.WalkClosed(outcome="finished", purpose="preflight", checklist="T-PRE", revision="1",
                          proved=("rx",), gaps=(), open_lines=(), by=IO)  # fmt: skip
    yield build.line(device, tail, walk, "walk.closed", encode(closed))


def _moves(build: _Builder, device: str, tail: str, walk: str, *, away: bool
           ) -> Iterator[tuple[object, ...]]:  # fmt: skip
    """Every item away or home again, each having seen the item's line before."""
    for item in ITEMS:
        before = build.moved.get((tail, item))
        body = _move(item, away=away)
        whole = (
            body.replace(SEEN.encode(), before)
            if before
            else body.replace(f'"seen":["{SEEN}"],'.encode(), b"")
        )
        yield build.line(device, tail, walk, "ledger.moved", whole)
        build.moved[tail, item] = build.seen(device)


def _defect(build: _Builder, device: str, tail: str, count: int, *, stays: bool
            ) -> Iterator[tuple[object, ...]]:  # fmt: skip
    """An entry raised; and, but for one in twenty, worked on and cleared by somebody else."""
    number = f"{tail.replace('-', '')}-{device}{count:02d}"
    symbol: Symbol = "X" if count % 50 == 0 else "/"
    raised = b.DefectRaised(number=number, symbol=symbol, text=TEXT, weakens=("tx",), by=IO)
    yield build.line(device, tail, None, "defect.raised", encode(raised))
    if stays:
        return
    head = (build.seen(device).decode(),)
    acted = b.ActionRecorded(number=number, text="plug cleaned", by=IO, seen=head)
    yield build.line(device, tail, None, "defect.action", encode(acted))
    head = (build.seen(device).decode(),)
    cleared = b.DefectCleared(number=number, text="heard", by=b.By(doer="DQ"), seen=head)
    yield build.line(device, tail, None, "defect.cleared", encode(cleared), author="DQ")


def lines(
    build: _Builder, walks: int, defects: int, airframes: int
) -> Iterator[tuple[object, ...]]:
    """Every line of the years, in the order of their ticks."""
    names = tails(airframes)
    counts: dict[tuple[str, str], int] = {}
    made = 0
    for number in range(walks):
        tail = names[number % airframes]
        device = DEVICES[number // airframes % len(DEVICES)]
        build.at = later(BEGIN, seconds=number * 180_000_000 // max(walks, 1))
        yield from _walk(build, device, tail)
        while made < defects * (number + 1) // walks:
            made += 1
            counts[tail, device] = counts.get((tail, device), 0) + 1
            stays = made % OPEN_SHARE == 0
            yield from _defect(build, device, tail, counts[tail, device], stays=stays)


def build(path: Path, fraction: float, airframes: int = AIRFRAMES, *, told: bool = False) -> int:
    """Build the record; how many lines it has."""
    walks, defects = int(RESULTS * fraction / STEPS), int(DEFECTS * fraction)
    return build_of(path, walks, defects, airframes, told=told)


def build_of(path: Path, walks: int, defects: int, airframes: int, *, told: bool = False) -> int:
    """Build a record of so many walks and entries on so many airframes; how many lines it has."""
    began = time.monotonic()
    begun_empty(path, airframes)
    journal = SqlJournal(path)
    made = 0
    with journal.reading() as connection:
        connection.exec_driver_sql("PRAGMA cache_size = -400000")
    heads = journal.heads()
    chains = {d: _Chain(h.seq, h.digest, h.tick) for d, h in heads.items()}
    builder = _Builder(chains, max(h.tick for h in heads.values()))
    batch = list[tuple[object, ...]]()
    for line in lines(builder, walks, defects, airframes):
        batch.append(line)
        if len(batch) == BATCH:
            made += _store(journal, batch)
            if told and made % (BATCH * 20) == 0:
                sys.stderr.write(f"{made} lines, {time.monotonic() - began:.0f} s\n")
    made += _store(journal, batch)
    _finish(journal, builder, told=told)
    journal.close()
    return made


def _store(journal: SqlJournal, batch: list[tuple[object, ...]]) -> int:
    count = len(batch)
    if count:
        with journal.write(), journal.reading() as connection:
            connection.exec_driver_sql(statements.ADD_ENTRY, batch)
    batch.clear()
    return count


def _finish(journal: SqlJournal, builder: _Builder, *, told: bool) -> None:
    """Set the heads and fold every airframe."""
    began = time.monotonic()
    with journal.write() as writing, journal.reading() as connection:
        for device, chain in builder.chains.items():
            if chain.seq:
                values = (
                    device,
                    chain.seq,
                    chain.digest,
                    chain.tick,
                    chain.at,
                    chain.at,
                    chain.walks,
                )
                connection.exec_driver_sql(statements.ADVANCE, values)
        writing.rebuild()
    if told:
        sys.stderr.write(f"folded in {time.monotonic() - began:.0f} s\n")


if __name__ == "__main__":
    place = Path(sys.argv[1])
    count = build(place, float(sys.argv[2]) if sys.argv[2:] else 1.0, told=True)
    sys.stdout.write(f"{count} lines, {place.stat().st_size / 1e9:.2f} GB\n")
