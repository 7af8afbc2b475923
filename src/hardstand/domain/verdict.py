"""verdict: what the record says of an airframe at an instant. Pure; never stored.

Three answers, never one: symbol, preflight, mission fit. It records checks; it is no release.
Small types are tuples with names: every hot read makes them, and ten cost what a dataclass does.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta, tzinfo
from typing import TYPE_CHECKING, Literal, NamedTuple

from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, RecordFacts
from hardstand.domain.quantity import Instant, day_time, later, local_day, moment, zone
from hardstand.domain.symbols import ORDER, WORDS, worst
from hardstand.domain.words import brief

if TYPE_CHECKING:
    from hardstand.domain.mission_fit import Fitness, Known

PreflightState = Literal["none", "in_date", "ran_out", "ended"]

NOT_PUT_BACK = frozenset({"access", "removed", "disconnected", "energy"})
"""Kinds of open line that count as X while no walk is in progress. Source: whole-job C-9."""


class Reason(NamedTuple):
    """One sentence of why, with what it rests on: entry numbers or lines of the record.

    `column` is the answer it belongs to.
    """

    text: str
    entries: tuple[str, ...]
    column: Literal["symbol", "preflight", "missions"] = "symbol"


class Preflight(NamedTuple):
    """The preflight column: state, until when it counts or counted, and who finished it."""

    state: PreflightState
    until: Instant | None = None
    by: str = ""


class Standing(NamedTuple):
    """An open entry with the symbol it counts with at that instant."""

    entry: OpenEntry
    symbol: str


class Verdict(NamedTuple):
    """The answers for one airframe at one instant, each with its reasons, worst first.

    `missions` is empty where the record holds no missions of the fit; `known` is what they were
    judged by.
    """

    tail: str
    fit: str
    as_of: Instant
    symbol: str
    preflight: Preflight
    open: tuple[Standing, ...]
    lines: tuple[Line, ...]
    in_progress: str
    reasons: tuple[Reason, ...]
    missions: tuple[Fitness, ...] = ()
    known: Known | None = None


def verdict(
    facts: AirframeFacts,
    now: Instant,
    record: RecordFacts,
    last: Mapping[str, Instant],
    *,
    trusted: bool = True,
    missions: bool = True,
) -> Verdict:
    """Say how an airframe stands at `now`.

    Args:
        facts: the airframe's folded facts.
        now: the instant asked about.
        record: the settings in force.
        last: for each open walk, the instant of its last line.
        trusted: False when that clock is not to be trusted: what hangs on a date then counts as
            run out, and says CANNOT TELL.
        missions: whether the third answer is asked for too.
    """
    standing = _standing(facts, now, trusted=trusted)
    walk = _in_progress(facts, now, record, last)
    away = () if walk else tuple(line for line in facts.lines if line.kind in NOT_PUT_BACK)
    empty = _uncovered(facts, standing)
    telling = Telling(now=now, time_zone=record.time_zone)
    symbol, reasons = _symbol(facts, standing, away, empty, telling)
    preflight, why = _preflight(facts, now, record, trusted=trusted)
    found = Verdict(
        tail=facts.tail,
        fit=fit_of(facts, now, record),
        as_of=now,
        symbol=symbol,
        preflight=preflight,
        open=standing,
        lines=facts.lines,
        in_progress=walk,
        reasons=(*reasons, *_left_reasons(facts, record), *_walk_reasons(facts, walk), why),
    )
    barring = _grounds(facts, standing, away, empty)
    return with_missions(found, facts, record, barring) if missions else found


def _standing(facts: AirframeFacts, now: Instant, *, trusted: bool) -> tuple[Standing, ...]:
    """The open entries by the symbol they count with now, the worst first."""
    counted = (Standing(entry=e, symbol=effective(e, now, trusted=trusted)) for e in facts.open)
    return tuple(sorted(counted, key=_worst_first))


def _grounds(
    facts: AirframeFacts, standing: tuple[Standing, ...], away: tuple[Line, ...], empty: Moved
) -> tuple[str, ...]:
    """What makes the airframe read X, as a mission that it bars names it."""
    return (
        *(s.entry.number for s in standing if s.symbol == "X"),
        *(f"{line.title} not put back" for line in away),
        *(f"{position} empty" for position in empty),
        *(["cannot say"] if facts.unknown else []),
    )


def with_missions(
    found: Verdict, facts: AirframeFacts, record: RecordFacts, grounds: tuple[str, ...]
) -> Verdict:
    """The verdict with its third answer; as it was where the record has no missions of the fit.

    Args:
        found: the first two answers.
        facts: the airframe.
        record: the settings in force, with the missions of each fit.
        grounds: what makes it read X.
    """
    from hardstand.domain import mission_fit as fit  # noqa: PLC0415  only who asks pays for it
    from hardstand.domain.daylight import is_day  # noqa: PLC0415  only missions ask for the sun
    from hardstand.domain.mission_book import book_in  # noqa: PLC0415  the symbol has no missions

    book = book_in(record, found.fit)
    if book is None or not book.tasks:
        return found
    where = zone(record.time_zone)
    known = fit.known(
        book, facts, grounded=grounds,
        circled=tuple(s.entry.number for s in found.open if s.symbol == "(X)"),
        expired=_expired(found.preflight, where),
        by_day=is_day(record.daylight or {}, found.as_of, where),
    )  # fmt: skip
    missions = fit.fitness(known)
    alike: dict[tuple[str, str, tuple[str, ...]], list[str]] = {}
    for said in missions:
        if said.word != "CAN":
            alike.setdefault((said.word, said.why, said.entries), []).append(said.mission)
    told = tuple(
        Reason(text=f"{', '.join(names)} {word} — {why}", entries=entries, column="missions")
        for (word, why, entries), names in alike.items()
    )
    return found._replace(missions=missions, known=known, reasons=(*found.reasons, *told))


def _expired(preflight: Preflight, where: tzinfo) -> str:
    """Why no preflight is in date; empty while one is."""
    if preflight.state == "in_date":
        return ""
    if preflight.until is None:
        return "no preflight"
    if preflight.state == "ended":
        return "preflight ended"
    return f"preflight ran out {day_time(preflight.until, where)}"


Moved = Mapping[str, tuple[str, ...]]
"""Positions with what was done there and the line that says so."""


def _uncovered(facts: AirframeFacts, standing: tuple[Standing, ...]) -> Moved:
    """Empty positions that no entry accounts for: each counts as X.

    An entry about the position does, by its own symbol, once it is deferred or reads X itself.
    """
    told = {
        s.entry.unit for s in standing if s.symbol in {"X", "(X)"} or s.entry.deferral is not None
    }
    return {p: moved for p, moved in (facts.empty or {}).items() if p not in told}


def _symbol(
    facts: AirframeFacts,
    standing: tuple[Standing, ...],
    away: tuple[Line, ...],
    empty: Moved,
    told: Telling,
) -> tuple[str, list[Reason]]:
    """The worst of everything open, and each reason for it, worst first."""
    newer = Reason(text="cannot say: needs a newer hardstand", entries=facts.unknown)
    unknown = [newer] if facts.unknown else []
    holes = [
        Reason(text=f"X — {position} is empty: {what}", entries=(ref,))
        for position, (what, ref) in empty.items()
    ]
    doubts = [
        Reason(text=f"- — {position} is in doubt until read off the box", entries=(ref,))
        for position, (_, ref) in (facts.doubtful or {}).items()
    ]
    symbols = [
        *(s.symbol for s in standing),
        *("X" for _ in (*away, *holes, *unknown)),
        *("-" for _ in doubts),
    ]
    known = [*holes, *_symbol_reasons(standing, away, told), *doubts]
    known.sort(key=lambda r: ORDER.index(r.text.split(" ")[0]))
    clear = Reason(text="clear — nothing is open in the log", entries=())
    return worst(symbols), [*unknown, *known] or [clear]


def fit_of(facts: AirframeFacts, now: Instant, record: RecordFacts) -> str:
    """The fit an airframe carries at that instant, by the local day."""
    if facts.fits and facts.fits[-1].since < now[:10]:  # then it is so in every time zone
        return facts.fits[-1].fit
    return facts.fit_on(local_day(now, zone(record.time_zone)).isoformat())


def effective(entry: OpenEntry, now: Instant, *, trusted: bool = True) -> str:
    """The symbol an open entry counts with at `now`.

    A circled X past the end of its limits, and an entry whose deferral has run out, count as X,
    with nothing entered in between; so does one that follows a repair for a while, once what its
    forerunner was put off by has. A recorded action changes nothing until cleared.

    Source: whole-job C-9, M-15 (the original date counts, also when it is entered again).
    """
    if entry.closed:
        return "clear"
    if entry.symbol == "(X)":
        limits = entry.limits
        return "(X)" if limits is not None and trusted and now < limits.ends else "X"
    waits = entry.waits_by
    if waits is not None and not (trusted and now < waits.runs_out):
        return "X"
    return entry.symbol


def runs_out(entry: OpenEntry) -> str:
    """When an entry begins to count as X by itself; empty if it never does."""
    if entry.symbol == "(X)":
        return entry.limits.ends if entry.limits else ""
    waits = None if entry.symbol == "X" else entry.waits_by
    return waits.runs_out if waits else ""


def _worst_first(standing: Standing) -> tuple[int, str, str]:
    return ORDER.index(standing.symbol), standing.entry.found_at, standing.entry.number


def _in_progress(
    facts: AirframeFacts, now: Instant, record: RecordFacts, last: Mapping[str, Instant]
) -> str:
    """The walk in progress: its last line is an answer or a resume, and young enough."""
    for walk in facts.walks:
        newest = last.get(walk.walk, walk.started)
        if not walk.broken and now < later(newest, seconds=60 * record.walk_alive_min):
            return walk.walk
    return ""


class Telling(NamedTuple):
    """How dates are told: when it is now by that clock, and in which zone."""

    now: Instant
    time_zone: str


def _symbol_reasons(
    standing: tuple[Standing, ...], away: tuple[Line, ...], told: Telling
) -> list[Reason]:
    lines = [
        Reason(
            text=f"X — not put back: {line.title} recorded {line.value}, home is {line.home}",
            entries=(line.ref,),
        )
        for line in away
    ]
    entries = [
        Reason(text=f"{s.symbol} — {s.entry.number} {_says(s, told)}", entries=(s.entry.number,))
        for s in standing
    ]
    return [*lines, *entries]


def _says(standing: Standing, told: Telling) -> str:
    entry = standing.entry
    state = " (action recorded, not cleared)" if entry.state == "action_recorded" else ""
    fork = "".join(f" (disagreement: {d.text})" for d in entry.disputes)
    return f"{_symbol_says(standing, told)}: {brief(entry.text)}{state}{fork}"


def _symbol_says(standing: Standing, told: Telling) -> str:
    """What gives the entry its symbol: what it was raised to, or what ran out when."""
    entry = standing.entry
    until = runs_out(entry)
    if not until:
        return WORDS[standing.symbol]
    day = day_end(Instant(until), zone(told.time_zone))
    if standing.symbol != "X":
        if entry.limits:
            return f"{WORDS[standing.symbol]} to {day}, within limits: {entry.limits.text}"
        waits = f"deferred to {day}" if entry.deferral else f"runs out {day}, as put off before"
        return f"{WORDS[standing.symbol]}, {waits}"
    if told.now < until:  # then only a clock that is not trusted makes it count as X
        return f"CANNOT TELL whether it ran out {day}, so it counts as X"
    return f"{'limits' if entry.symbol == '(X)' else 'deferral'} ran out {day}"


def day_end(at: Instant, where: tzinfo) -> str:
    """An instant at the end of a local day as that day's 24:00: `11 Mar 24:00`; else its time."""
    local = moment(at).astimezone(where)
    if (local.hour, local.minute, local.second) == (0, 0, 0):
        before = local - timedelta(days=1)
        return f"{before.day} {before:%b} 24:00"
    return f"{local.day} {local:%b %H:%M}"


def _left_reasons(facts: AirframeFacts, record: RecordFacts) -> list[Reason]:
    """Said of an airframe that the fleet file does not list while something about it is in hand."""
    if facts.tail not in record.left:
        return []
    return [Reason(text=f"{facts.tail} is in the fleet file no more", entries=())]


def _walk_reasons(facts: AirframeFacts, in_progress: str) -> list[Reason]:
    reasons = []
    for walk in facts.walks:
        if walk.walk == in_progress:
            text = f"walk {walk.walk} is in progress ({walk.by}, device {walk.device})"
        elif walk.broken:
            text = f"walk {walk.walk} was left for a while ({walk.by}, device {walk.device})"
        else:
            text = f"walk {walk.walk} was not finished ({walk.by}, device {walk.device})"
        reasons.append(Reason(text=text, entries=(walk.ref,), column="preflight"))
    reasons += [Reason(text=d.what, entries=(d.ref,), column="preflight") for d in facts.doubts]
    reasons += [
        Reason(text=f"{n} was cleared by its doer, WEAKER until an inspector looks", entries=(n,))
        for n in facts.weaker
    ]
    return reasons


def _preflight(
    facts: AirframeFacts, now: Instant, record: RecordFacts, *, trusted: bool
) -> tuple[Preflight, Reason]:
    done = facts.finished
    if done is None:
        none = Reason(
            text="no preflight — no finished walk on record", entries=(), column="preflight"
        )
        return Preflight(state="none"), none
    until = later(done.at, hours=record.preflight_hours)
    gaps = f", {done.gaps} not answered OK" if done.gaps else ""
    told = f"walk {done.walk} finished by {done.by} on {done.checklist} {done.revision}{gaps}"
    state: PreflightState = "in_date" if trusted and now < until else "ran_out"
    words = told if trusted or now >= until else f"CANNOT TELL, this clock is not trusted; {told}"
    entries: tuple[str, ...] = (done.ref,)
    if done.ended is not None and done.ended.at <= now:
        state, entries = "ended", (done.ref, done.ended.ref)
        words = f"{told}; ended by: {done.ended.what}"
    reason = Reason(
        text=f"preflight {state.replace('_', ' ')} — {words}", entries=entries, column="preflight"
    )
    return Preflight(state=state, until=until, by=done.by), reason
