"""What each act on the defect log writes: decisions as bodies, or a refusal.

Pure: the caller brings the facts and seals what comes back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain.authority import NOBODY_ENROLLED, Case, Deed, may, reads_x
from hardstand.domain.bodies import By
from hardstand.domain.bodies_log import Outcome
from hardstand.domain.checklist import Symbol
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.ids import entry_number
from hardstand.domain.quantity import Instant, local_day
from hardstand.domain.symbols import WORDS, is_graver
from hardstand.domain.verdict import effective, runs_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """An act that is not done: what, by which rule, who could, what to do instead.

    `deed` and `number` are named where authority refuses, so that the attempt can be kept.
    """

    what: str
    rule: str = ""
    who_could: str = ""
    hint: str = ""
    deed: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A defect as somebody tells it; only symbol and text are needed at first."""

    symbol: Symbol
    text: str
    takes: tuple[str, ...] = ()
    weakens: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()
    step: str = ""
    zone: str = ""
    place: str = ""
    unit: str = ""
    symptom: str = ""
    noticed: str = ""
    conditions: str = ""
    value: str = ""
    found_at: str = ""
    logged_at: str = ""
    stub: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """Work as somebody tells it; see bodies ActionRecorded."""

    text: str
    outcome: Outcome = "rectified"
    units_out: tuple[str, ...] = ()
    units_in: tuple[str, ...] = ()
    reference: str = ""
    taught_by: tuple[str, ...] = ()


def next_number(facts: AirframeFacts, device: str, after: int = 0) -> str:
    """The number the device's next entry on this airframe gets; `after` counts ahead."""
    used = (facts.raised or {}).get(device, 0)
    return entry_number(facts.short, device, used + 1 + after)


def raised(
    facts: AirframeFacts, report: Report, *, device: str, by: By, after: int = 0
) -> b.DefectRaised:
    """The body of a new entry, with its number and the serial now in the unit's position."""
    return b.DefectRaised(
        number=next_number(facts, device, after),
        symbol=report.symbol,
        text=report.text,
        takes=report.takes,
        weakens=report.weakens,
        untested=report.untested,
        step=report.step,
        zone=report.zone,
        place=report.place,
        unit=report.unit,
        serial=(facts.serials or {}).get(report.unit, ""),
        symptom=report.symptom,
        noticed=report.noticed,
        conditions=report.conditions,
        value=report.value,
        found_at=report.found_at,
        logged_at=report.logged_at,
        stub=report.stub,
        by=by,
    )


def untested(
    facts: AirframeFacts,
    functions: Iterable[str],
    report: Report,
    *,
    device: str,
    by: By,
    after: int = 0,
) -> tuple[b.Body, ...]:
    """Open one dash for the functions that have none yet, and extend those that have one.

    A function is named by at most one open dash, however many mornings it goes untested.
    """
    bodies: list[b.Body] = []
    waiting: list[str] = []
    extended: set[str] = set()
    for function in functions:
        dash = next((e for e in facts.open if function in e.untested), None)
        if dash is None:
            waiting.append(function)
        elif dash.number not in extended:
            extended.add(dash.number)
            bodies.append(
                b.DefectExtended(
                    number=dash.number, text=report.text, step=report.step, by=by, seen=dash.seen
                )
            )
    if waiting:
        new = raised(facts, report, device=device, by=by, after=after)
        bodies.append(replace(new, untested=tuple(dict.fromkeys(waiting))))
    return tuple(bodies)


def proved_by_walk(
    facts: AirframeFacts, proved: Iterable[str], steps: dict[str, tuple[str, ...]], by: By
) -> tuple[b.DefectProved, ...]:
    """For each open dash, the act that says which of its functions this walk proved."""
    good = frozenset(proved)
    acts = []
    for dash in facts.open:
        functions = tuple(f for f in dash.untested if f in good)
        if functions:
            names = tuple(dict.fromkeys(s for f in functions for s in steps.get(f, ())))
            acts.append(
                b.DefectProved(
                    number=dash.number, functions=functions, steps=names, by=by, seen=dash.seen
                )
            )
    return tuple(acts)


def act_on(
    facts: AirframeFacts,
    number: str,
    deed: Deed,
    by: By,
    case: Case = NOBODY_ENROLLED,
    *,
    category: str = "",
) -> OpenEntry | Refused:
    """The open entry an act names, or why the person may not do that to it."""
    item = facts.entry(number)
    if item is None:
        return Refused(
            what=f"{number} is not open on {facts.tail}",
            hint=f"Open there: {', '.join(e.number for e in facts.open) or 'nothing'}.",
        )
    return refused_by(item, deed, by, case, category=category) or item


def refused_by(
    item: OpenEntry, deed: Deed, by: By, case: Case, *, category: str = ""
) -> Refused | None:
    """The refusal of a deed by authority, with the rule and who could; None if it may be done."""
    barred = may(deed, by.doer, case, item, with_=by.with_, category=category)
    if barred is None:
        return None
    return Refused(
        what=f"{item.number} stays as it is",
        rule=barred.rule,
        who_could=barred.who_could,
        deed=deed,
        number=item.number,
    )


def set_symbol(
    facts: AirframeFacts,
    number: str,
    symbol: Symbol,
    reason: str,
    by: By,
    case: Case = NOBODY_ENROLLED,
) -> tuple[b.Body, ...] | Refused:
    """Make an entry more serious; less serious needs authority."""
    known = facts.entry(number)
    if known is not None and known.symbol == symbol:
        return Refused(what=f"{number} already reads {symbol}, {WORDS[symbol]}")
    lower = known is not None and not is_graver(symbol, known.symbol)
    circled = symbol == "(X)" and known is not None and not lower
    if circled:
        return Refused(
            what=f"{number}: a circled red X needs written limits and an end",
            rule="a circled X is given to an X by authority, with limits",
            hint="Raise it to X, or leave it as it is; `hardstand defect limit` circles an X.",
        )
    item = act_on(facts, number, "lower_symbol" if lower else "raise_symbol", by, case)
    if isinstance(item, Refused):
        return item
    if lower:
        return (
            b.SymbolLowered(number=number, symbol=symbol, reason=reason, by=by, seen=item.seen),
        )
    return (b.SymbolRaised(number=number, symbol=symbol, reason=reason, by=by, seen=item.seen),)


def record_action(
    facts: AirframeFacts, number: str, done: str | Done, by: By, case: Case = NOBODY_ENROLLED
) -> tuple[b.Body, ...] | Refused:
    """Write down what was done; the symbol stands until somebody else clears it."""
    item = act_on(facts, number, "act", by, case)
    if isinstance(item, Refused):
        return item
    work = Done(text=done) if isinstance(done, str) else done
    return (
        b.ActionRecorded(
            number=number, text=work.text, outcome=work.outcome, units_out=work.units_out,
            units_in=work.units_in, reference=work.reference, taught_by=work.taught_by, by=by,
            seen=item.seen,
        ),
    )  # fmt: skip


def reject(
    facts: AirframeFacts, number: str, reason: str, by: By, case: Case = NOBODY_ENROLLED
) -> tuple[b.Body, ...] | Refused:
    """Not accept the work recorded: the entry is open again, both stay readable."""
    item = act_on(facts, number, "reject", by, case)
    if isinstance(item, Refused):
        return item
    return (b.DefectRejected(number=number, reason=reason, by=by, seen=item.seen),)


def prove(
    facts: AirframeFacts,
    number: str,
    functions: tuple[str, ...],
    words: str,
    by: By,
    case: Case = NOBODY_ENROLLED,
) -> tuple[b.Body, ...] | Refused:
    """Say outside a walk that functions of a dash were tested good; all of them if none named."""
    item = act_on(facts, number, "prove", by, case)
    if isinstance(item, Refused):
        return item
    if not item.untested:
        return Refused(
            what=f"{number} waits for no test; it is closed by action and clearing",
            hint="Use `hardstand defect action`, then `hardstand clear`.",
        )
    unknown = [f for f in functions if f not in item.untested]
    if unknown:
        return Refused(
            what=f"{number} does not wait for {', '.join(unknown)}",
            hint=f"It waits for: {', '.join(item.untested)}.",
        )
    named = functions or item.untested
    return (b.DefectProved(number=number, functions=named, words=words, by=by, seen=item.seen),)


def same_as(
    facts: AirframeFacts, number: str, other: str, by: By, case: Case = NOBODY_ENROLLED
) -> tuple[b.Body, ...] | Refused:
    """Join an entry to another open one; the earlier discovery counts, both texts stay."""
    item = act_on(facts, number, "join", by, case)
    if isinstance(item, Refused):
        return item
    target = act_on(facts, other, "join", by, case)
    if isinstance(target, Refused):
        return target
    if number == other:
        return Refused(what=f"{number} cannot be the same as itself")
    return _looks_better(item, target, case) or (
        b.DefectSameAs(number=number, other=other, by=by, seen=item.seen),
    )


def _looks_better(item: OpenEntry, target: OpenEntry, case: Case) -> Refused | None:
    """Why a joining would make the aircraft look better, now or later; None if it would not."""
    rule = "joining never makes an aircraft look better"
    now = effective(item, case.at, trusted=case.trusted)
    reads = effective(target, case.at, trusted=case.trusted)
    if is_graver(now, reads) or is_graver(item.symbol, target.symbol):
        return Refused(
            what=f"{item.number} reads {now} and {target.number} only {target.symbol}",
            rule=rule,
            hint=f"Raise {target.number} to {now} first, or join {target.number} to {item.number}.",
        )
    ends, others = runs_out(item), runs_out(target)
    if ends and target.symbol != "X" and (not others or ends < others):
        return Refused(
            what=f"{item.number} runs out before {target.number}",
            rule=rule,
            hint=f"Join {target.number} to {item.number} instead.",
        )
    left = [name for name in item.untested if name not in target.untested]
    if left:
        return Refused(
            what=f"{item.number} waits for a test of {', '.join(left)}, {target.number} does not",
            rule=rule,
            hint=f"Join {target.number} to {item.number} instead, or test it.",
        )
    return None


def void(
    facts: AirframeFacts, number: str, reason: str, by: By, case: Case, *, other: str = ""
) -> tuple[b.Body, ...] | Refused:
    """Mark an entry as entered in error; it stays readable, `other` named if it stands instead.

    The finder's own, which nobody else has acted on, by the finder alone. What counts as X is
    closed so by two: once people are enrolled its finder says it first and signs, a second person
    confirms.
    """
    item = act_on(facts, number, "void", by, case)
    if isinstance(item, Refused):
        return item
    first = by.doer == item.found_by and reads_x(item, case) and bool(case.people)
    if first or (_is_ones_own(item, by) and not reads_x(item, case)):
        return (
            b.DefectVoided(
                number=number, reason=reason, other=other, asked=first, by=by, seen=item.seen
            ),
        )
    barred = refused_by(item, "confirm_void", by, case)
    return barred or (
        b.DefectVoided(
            number=number, reason=reason, other=other, confirmed=True, by=by, seen=item.seen
        ),
    )


def not_instead(error: OpenEntry, other: OpenEntry, where: tzinfo) -> Refused | None:
    """Why an entry of another airframe does not stand in place of an error; None if it may.

    On one airframe it takes over the days of the error; of another the fold knows nothing.
    """
    rule = "what is entered again keeps its day, on another aircraft too"
    first, day = (local_day(Instant(e.logged_at or e.found_at), where) for e in (error, other))
    if day > first:
        return Refused(
            what=f"{other.number} counts from {day}, and {error.number} from {first}",
            rule=rule,
            hint=f"Name one made by `hardstand defect raise --instead-of {error.number}`.",
        )
    ends, others = runs_out(error), runs_out(other)
    if ends and other.symbol != "X" and (not others or ends < others):
        return Refused(
            what=f"{error.number} runs out before {other.number}",
            rule=rule,
            hint=f"Put {other.number} off first, by an item that gives no more days.",
        )
    return None


def take_back(
    facts: AirframeFacts, number: str, reason: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """What the finder takes back with an answer; anything else stays for `void` and two people."""
    item = facts.entry(number)
    if item is not None and _is_ones_own(item, by):
        return (b.DefectVoided(number=number, reason=reason, by=by, seen=item.seen),)
    return Refused(
        what=f"{number} stays",
        rule="only the finder takes back alone, no X, and nothing that others have acted on",
        who_could="two people, by `hardstand defect void`",
    )


GRAVE = frozenset({"X", "(X)"})


def _is_ones_own(item: OpenEntry, by: By) -> bool:
    """Whether the finder may take an entry back alone."""
    mine = by.doer == item.found_by and item.symbol not in GRAVE
    return mine and all(act.by == by.doer for act in item.acts)
