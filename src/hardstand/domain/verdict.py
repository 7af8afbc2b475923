"""verdict: what the record says of an airframe at an instant. Pure; never stored.

Two of the three answers: the symbol and the preflight. It records checks; it is no release.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, RecordFacts
from hardstand.domain.quantity import Instant, later, local_day, zone
from hardstand.domain.symbols import ORDER, WORDS, worst

PreflightState = Literal["none", "in_date", "ran_out", "ended"]

NOT_PUT_BACK = frozenset({"access", "removed", "disconnected", "energy"})
"""Kinds of open line that count as X while no walk is in progress. Source: whole-job C-9."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One sentence of why, with what it rests on: entry numbers or lines of the record.

    `column` is the answer it belongs to: symbol or preflight.
    """

    text: str
    entries: tuple[str, ...]
    column: Literal["symbol", "preflight"] = "symbol"


@dataclass(frozen=True, slots=True, kw_only=True)
class Preflight:
    """The preflight column: state, until when it counts or counted, and who finished it."""

    state: PreflightState
    until: Instant | None = None
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """An open entry with the symbol it counts with at that instant."""

    entry: OpenEntry
    symbol: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The answers for one airframe at one instant, each with its reasons, worst first."""

    tail: str
    fit: str
    as_of: Instant
    symbol: str
    preflight: Preflight
    open: tuple[Standing, ...]
    lines: tuple[Line, ...]
    in_progress: str
    reasons: tuple[Reason, ...]


def verdict(
    facts: AirframeFacts, now: Instant, record: RecordFacts, last: Mapping[str, Instant]
) -> Verdict:
    """Say how an airframe stands at `now`.

    Args:
        facts: the airframe's folded facts.
        now: the instant asked about.
        record: the settings in force.
        last: for each open walk, the instant of its last line.
    """
    standing = tuple(
        sorted((Standing(entry=e, symbol=effective(e)) for e in facts.open), key=_worst_first)
    )
    walk = _in_progress(facts, now, record, last)
    away = () if walk else tuple(line for line in facts.lines if line.kind in NOT_PUT_BACK)
    reasons = [*_symbol_reasons(standing, away), *_walk_reasons(facts, walk)]
    symbol = worst([*(s.symbol for s in standing), *("X" for _ in away)])
    if facts.unknown:
        symbol = "X"
        reasons.insert(0, Reason(text="cannot say: needs a newer hardstand", entries=facts.unknown))
    preflight, why = _preflight(facts, now, record)
    return Verdict(
        tail=facts.tail,
        fit=fit_of(facts, now, record),
        as_of=now,
        symbol=symbol,
        preflight=preflight,
        open=standing,
        lines=facts.lines,
        in_progress=walk,
        reasons=(*reasons, why),
    )


def fit_of(facts: AirframeFacts, now: Instant, record: RecordFacts) -> str:
    """The fit an airframe carries at that instant, by the local day."""
    if len(facts.fits) == 1 and facts.fits[0].since <= now[:10]:
        return facts.fits[0].fit
    return facts.fit_on(local_day(now, zone(record.time_zone)).isoformat())


def effective(entry: OpenEntry) -> str:
    """The symbol an open entry counts with; a recorded action changes nothing until cleared."""
    return entry.symbol


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


def _symbol_reasons(standing: tuple[Standing, ...], away: tuple[Line, ...]) -> list[Reason]:
    lines = [
        Reason(
            text=f"X — not put back: {line.title} recorded {line.value}, home is {line.home}",
            entries=(line.ref,),
        )
        for line in away
    ]
    entries = [
        Reason(text=f"{s.symbol} — {s.entry.number} {_says(s)}", entries=(s.entry.number,))
        for s in standing
    ]
    together = sorted([*lines, *entries], key=lambda r: ORDER.index(r.text.split(" ")[0]))
    return together or [Reason(text="clear — nothing is open in the log", entries=())]


def _says(standing: Standing) -> str:
    entry = standing.entry
    state = {"action_recorded": " (action recorded, not cleared)"}.get(entry.state, "")
    fork = " (disagreement: two acts had not seen each other)" if len(entry.heads) > 1 else ""
    return f"{WORDS[standing.symbol]}: {entry.text}{state}{fork}"


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
    return reasons


def _preflight(facts: AirframeFacts, now: Instant, record: RecordFacts) -> tuple[Preflight, Reason]:
    done = facts.finished
    if done is None:
        none = Reason(
            text="no preflight — no finished walk on record", entries=(), column="preflight"
        )
        return Preflight(state="none"), none
    until = later(done.at, hours=record.preflight_hours)
    gaps = f", {done.gaps} not answered OK" if done.gaps else ""
    told = f"walk {done.walk} finished by {done.by} on {done.checklist} {done.revision}{gaps}"
    state: PreflightState = "in_date" if now < until else "ran_out"
    words: str = told
    entries: tuple[str, ...] = (done.ref,)
    if done.ended is not None and done.ended.at <= now:
        state, entries = "ended", (done.ref, done.ended.ref)
        words = f"{told}; ended by: {done.ended.what}"
    reason = Reason(
        text=f"preflight {state.replace('_', ' ')} — {words}", entries=entries, column="preflight"
    )
    return Preflight(state=state, until=until, by=done.by), reason
