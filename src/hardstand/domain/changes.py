"""What each act of the log makes of an entry, as its author had it in front of them. Pure.

Nothing here asks who was entitled to it: that is authority's; nor who had seen what: life's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.deferral import NotYet, days_of, granted, last_day, runs_out
from hardstand.domain.entry import Entry
from hardstand.domain.facts import Act, Deferral, Limits, OpenEntry, Retested, Work
from hardstand.domain.quantity import Instant
from hardstand.domain.symbols import is_graver
from hardstand.domain.verdict import effective


def dated(state: OpenEntry, where: tzinfo) -> OpenEntry:
    """The entry with each deferral's last day and run-out, counted from when it was logged."""
    if not state.put_off:
        return state
    logged = Instant(state.logged_at)
    now = state.deferral
    return state._replace(
        deferral=None if now is None else _ends(now, logged, where),
        put_off_before=tuple(_ends(d, logged, where) for d in state.put_off_before),
    )


def _ends(put_off: Deferral, logged: Instant, where: tzinfo) -> Deferral:
    day = last_day(logged, put_off.days + put_off.extended, where)
    if put_off.last_day == day.isoformat():
        return put_off
    return put_off._replace(last_day=day.isoformat(), runs_out=runs_out(day, where))


def _extended(state: OpenEntry, _: Entry, body: b.DefectExtended, act: Act) -> OpenEntry:
    del body
    return state._replace(again=(*state.again, act.at))


def _raised(state: OpenEntry, _: Entry, body: b.SymbolRaised, act: Act) -> OpenEntry:
    del act
    if not is_graver(body.symbol, state.symbol):
        return state
    return state._replace(symbol=body.symbol, work=None, limits=None)


def _lowered(state: OpenEntry, _: Entry, body: b.SymbolLowered, act: Act) -> OpenEntry:
    del act
    return state if is_graver(body.symbol, state.symbol) else state._replace(symbol=body.symbol)


def _limited(state: OpenEntry, entry: Entry, body: b.SymbolLimited, _: Act) -> OpenEntry:
    limits = Limits(
        text=body.limits, ends=body.ends, one_operation=body.one_operation, by=entry.author,
        ref=entry.ref, digest=entry.digest.hex(),
    )  # fmt: skip
    return state._replace(symbol="(X)", limits=limits, deferral=None, put_off_before=state.put_off)


def _deferred(state: OpenEntry, entry: Entry, body: b.DefectDeferred, _: Act) -> OpenEntry:
    given = days_of(body.category)
    days = body.days if isinstance(given, NotYet) else given
    days, extended = granted(body.category, days, state.put_off)
    deferral = Deferral(
        item=body.item, category=body.category, days=days, by=entry.author, ref=entry.ref,
        extended=extended,
        met=tuple(f"{c.condition}: {c.met}" for c in body.conditions),
        digest=entry.digest.hex(),
    )  # fmt: skip
    return state._replace(deferral=deferral, put_off_before=state.put_off)


def _prolonged(state: OpenEntry, entry: Entry, body: b.DefectProlonged, _: Act) -> OpenEntry:
    if state.deferral is None:
        return state
    longer = state.deferral._replace(extended=body.days, digest=entry.digest.hex())
    return state._replace(deferral=longer)


def _ruled(state: OpenEntry, _: Entry, body: b.DefectRuled, act: Act) -> OpenEntry:
    ordered = act.by if body.again_by_doer else state.ordered_by
    return state._replace(ruled=f"{act.by}: {body.text}", ordered_by=ordered)


def _acted(state: OpenEntry, entry: Entry, body: b.ActionRecorded, act: Act) -> OpenEntry:
    work = Work(
        ref=entry.ref, digest=entry.digest.hex(), at=act.at, by=body.by.doer, text=body.text,
        outcome=body.outcome, units_out=body.units_out, units_in=body.units_in,
        reference=body.reference,
    )  # fmt: skip
    hands = dict.fromkeys((*state.doers, entry.author, body.by.doer, *body.by.with_))
    taught = dict.fromkeys((*state.taught, *body.taught_by))
    return state._replace(work=work, doers=tuple(hands), taught=tuple(taught), ordered_by="")


def _retested(state: OpenEntry, _: Entry, body: b.DefectRetested, act: Act) -> OpenEntry:
    """A proving step that was not OK: the work recorded does not hold."""
    return state._replace(retested=(*state.retested, retest(body, act)), work=None)


def retest(body: b.DefectRetested, act: Act) -> Retested:
    """What is kept of a proving step done again."""
    return Retested(
        ref=act.ref, at=act.at, by=body.by.doer, step=body.step, title=body.title,
        answer=body.answer, value=body.value, unit=body.unit, low=body.low, high=body.high,
        revision=body.revision, words=body.words,
    )  # fmt: skip


def _rejected(state: OpenEntry, _: Entry, body: b.DefectRejected, act: Act) -> OpenEntry:
    del body, act
    return state._replace(work=None)


def _proved(state: OpenEntry, _: Entry, body: b.DefectProved, act: Act) -> OpenEntry:
    """Only a dash is closed by its test; what counts as X by then waits for action and clearing."""
    left = tuple(f for f in state.untested if f not in body.functions)
    done = bool(state.untested) and not left and effective(state, act.at) == "-"
    return state._replace(untested=left, closed="closed by test" if done else "")


def _cleared(state: OpenEntry, _: Entry, body: b.DefectCleared, act: Act) -> OpenEntry:
    del act
    closed = "cleared" if body.outcome != "could_not_duplicate" else "could not duplicate"
    return state._replace(closed=f"{closed} by the doer" if body.again_by_doer else closed)


def _joined(state: OpenEntry, _: Entry, body: b.DefectSameAs, act: Act) -> OpenEntry:
    del act
    return state._replace(closed=f"same as {body.other}")


def _voided(state: OpenEntry, entry: Entry, body: b.DefectVoided, act: Act) -> OpenEntry:
    del act
    if body.asked and not body.confirmed:
        return state._replace(voiders=(*state.voiders, entry.author))
    return state._replace(closed="entered in error")


def _settled(state: OpenEntry, _: Entry, body: b.DefectSettled, act: Act) -> OpenEntry:
    del body, act
    return state._replace(disputes=())


@dataclass(frozen=True, slots=True)
class Said:
    """How an act is told, and what it makes of the entry."""

    words: Callable[[Any], str]
    change: Callable[[OpenEntry, Entry, Any, Act], OpenEntry]


def _told(what: str, field_: str) -> Callable[[Any], str]:
    return lambda body: f"{what}: {getattr(body, field_)}"


CHANGES: Mapping[type[Any], Said] = {
    b.DefectNoted: Said(lambda x: f"words: {x.text or x.symptom}", lambda s, *_: s),
    b.DefectExtended: Said(_told("again", "text"), _extended),
    b.SymbolRaised: Said(lambda x: f"made {x.symbol}: {x.reason}", _raised),
    b.SymbolLowered: Said(lambda x: f"lowered to {x.symbol}: {x.reason}", _lowered),
    b.SymbolLimited: Said(lambda x: f"circled: {x.limits}, until {x.ends}", _limited),
    b.DefectDeferred: Said(
        lambda x: f"deferred, category {x.category}, item {x.item}: {x.reason}", _deferred
    ),
    b.DefectProlonged: Said(lambda x: f"extended by {x.days} days: {x.reason}", _prolonged),
    b.DefectRuled: Said(_told("ruled", "text"), _ruled),
    b.ActionRecorded: Said(_told("action recorded", "text"), _acted),
    b.DefectRetested: Said(
        lambda x: f"tested again, step {x.step}: {x.answer} {x.value} {x.unit}".rstrip(), _retested
    ),
    b.DefectRejected: Said(_told("rejected", "reason"), _rejected),
    b.DefectProved: Said(
        lambda x: f"tested good: {x.words or 'by step ' + ', '.join(x.steps)}", _proved
    ),
    b.DefectCleared: Said(lambda x: f"{_outcome(x)}: {x.text}", _cleared),
    b.DefectSameAs: Said(lambda x: f"same as {x.other}", _joined),
    b.DefectVoided: Said(lambda x: f"entered in error: {x.reason}{_instead(x)}", _voided),
    b.DefectSettled: Said(_told("settled", "words"), _settled),
}

ACTS = tuple(CHANGES)
"""Every body that is an act on an entry of the log."""


def _instead(body: b.DefectVoided) -> str:
    return f"; in its place {body.other}" if body.other else ""


def _outcome(body: b.DefectCleared) -> str:
    told = {"could_not_duplicate": "cleared as could not duplicate",
            "temporary": "cleared as a temporary repair"}.get(body.outcome, "cleared")  # fmt: skip
    if not body.again_by_doer:
        return told
    return f"{told} by the doer, WEAKER ({body.again_by_doer})"
