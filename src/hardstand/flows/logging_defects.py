"""The defect log outside a walk: raise, act, clear, each one decision and one write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain import clearing, defects, ruling
from hardstand.domain.authority import Case, may
from hardstand.domain.bodies import By
from hardstand.domain.bodies_log import Outcome
from hardstand.domain.checklist import Fit, Symbol
from hardstand.domain.codec import decode
from hardstand.domain.defects import Done, Refused, Report
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.flight_acts import no_longer
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.ids import bearers, find_tail
from hardstand.domain.symbols import WORDS
from hardstand.domain.verdict import effective, fit_of
from hardstand.domain.words import is_storable, too_long
from hardstand.errors import NotThere, Refusal, Usage
from hardstand.flows.adopting import lists
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record, refusal
from hardstand.flows.signing import case_of, case_on
from hardstand.flows.splitting import parts

OUTCOMES: tuple[Outcome, ...] = ("rectified", "could_not_duplicate", "temporary")
NOTICED = ("ground", "taxi", "take-off", "climb", "cruise", "landing", "look")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A defect as typed on the command line, not yet looked at."""

    words: str
    symbol: str = "/"
    unit: str = ""
    takes: str = ""
    weakens: str = ""
    zone: str = ""
    symptom: str = ""
    noticed: str = ""
    conditions: str = ""
    found_at: str = ""
    instead_of: str = ""


def raise_defect(pen: Pen, typed: str, told: Told, *, by: By, split: bool | None = None) -> str:
    """Write a defect, or one for each part between semicolons; what was written, in words.

    Args:
        pen: who writes where.
        typed: the tail.
        told: the defect.
        by: whose hands.
        split: whether each part gets an entry; None if nobody was asked, then it is offered.

    Raises:
        Usage: a word is not one of those accepted.
        Refusal: it concerns something this airframe's fit does not have.
        NotThere: no such tail, or no open entry in whose place it stands.
    """
    tail = the_tail(pen, typed)
    refuse_text(told.words)
    facts = pen.journal.facts(tail)
    texts = parts(told.words) if split else (told.words,)
    report = _report(pen, facts, told)
    reports = tuple(_with_text(report, text, told.words) for text in texts)
    known = pen.journal.record()

    def decision(now: AirframeFacts) -> Sequence[b.Body] | Refused:
        return _entries(pen, now, reports, by, case_of(pen, known, now))

    written = record(pen, tail, decision)
    now = pen.journal.facts(tail)
    bodies = (decode(entry) for entry in written)  # another program may have raised one since
    numbers = [body.number for body in bodies if isinstance(body, b.DefectRaised)]
    offer = ""
    if split is None and len(parts(told.words)) > 1:
        offer = "\nMore than one fault? `--split` writes one entry for each part between ;"
    offer += "".join(_likely(now, n, known.settings.likely_same_hours) for n in numbers)
    said = f"{', '.join(numbers)} raised on {tail}: {told.symbol} {WORDS[told.symbol]}."
    return f"{said}{_undone(facts, now)}{offer}"


def _entries(
    pen: Pen, now: AirframeFacts, reports: Sequence[Report], by: By, case: Case
) -> Sequence[b.Body] | Refused:
    """A new entry for each report, or why this person raises none."""
    barred = may("raise", by.doer, case)
    if barred is None:
        return tuple(
            defects.raised(now, report, device=pen.device, by=by, after=n)
            for n, report in enumerate(reports)
        )
    return Refused(
        what=f"Nothing was raised on {now.tail}",
        rule=barred.rule,
        who_could=barred.who_could,
        deed="raise",
    )


def _undone(before: AirframeFacts, now: AirframeFacts) -> str:
    """That a pilot's acceptance has come undone by this, with what to call across."""
    words = no_longer(now.tail, flown_of(before), flown_of(now))
    return f"\n{words}" if words else ""


def _likely(facts: AirframeFacts, number: str, hours: int) -> str:
    """The offer to join a new entry to another that is likely the same; never done by itself."""
    same = ruling.likely_same(facts, number, hours)
    if not same:
        return ""
    return f"\nLikely the same as {', '.join(same)}: `hardstand defect same-as {number} {same[0]}`"


def _with_text(report: Report, text: str, whole: str) -> Report:
    """One part of what was told, with the words as told beside it."""
    conditions = report.conditions if text == whole else f"{report.conditions} as told: {whole}"
    return replace(report, text=text, conditions=conditions.strip())


def the_tail(pen: Pen, typed: str) -> str:
    """The airframe whose whole tail was typed.

    Raises:
        NotThere: there is none.
    """
    found = find_tail(typed, pen.journal.record().tails)
    if found is None:
        raise NotThere(
            f"{typed!r} is no tail of this fleet.",
            safe="Nothing was written.",
            hint="Type the whole tail; `hardstand fleet show` lists them.",
        )
    return found


def _report(pen: Pen, facts: AirframeFacts, told: Told) -> Report:
    symbol = the_symbol(told.symbol)
    if told.noticed and told.noticed not in NOTICED:
        raise Usage(
            f"--noticed {told.noticed!r} is not known.", hint=f"One of {', '.join(NOTICED)}."
        )
    takes, weakens = names(told.takes), names(told.weakens)
    fit = lists(pen.journal).fits.get(fit_of(facts, pen.now(), pen.journal.record()))
    _refuse_not_fitted(facts, fit, told.unit, (*takes, *weakens))
    error = _borne(pen, told.instead_of)[1] if told.instead_of else None
    return Report(
        symbol=symbol, text=told.words, takes=takes, weakens=weakens, zone=told.zone,
        unit=told.unit, symptom=told.symptom, noticed=told.noticed, conditions=told.conditions,
        found_at=told.found_at or (error.found_at if error else ""),
        logged_at=error.logged_at if error else "",
    )  # fmt: skip


def names(text: str) -> tuple[str, ...]:
    """The names typed between commas."""
    return tuple(part.strip() for part in text.split(",") if part.strip())


def _refuse_not_fitted(
    facts: AirframeFacts, fit: Fit | None, unit: str, functions: Sequence[str]
) -> None:
    """Stop where words and fit disagree: one of the two is wrong, and a person must say which."""
    known = fit.functions if fit else {}
    odd = [f for f in functions if f not in known]
    if unit and unit not in (fit.units if fit else {}):
        odd.insert(0, unit)
    if odd and fit is not None:
        raise Refusal(
            f"{facts.tail} carries fit {fit.id}, which has no {', '.join(odd)}.",
            rule="a fault on something not in this fit stops: the fit or the words are wrong",
            safe="Nothing was written.",
            hint=f"Units: {', '.join(fit.units)}. Functions: {', '.join(fit.functions)}. If the "
            "aircraft carries it after all, raise a dash: fit not as recorded.",
        )


def the_symbol(text: str) -> Symbol:
    """The symbol typed.

    Raises:
        Usage: it is none that is typed freely.
    """
    known: dict[str, Symbol] = {"X": "X", "(X)": "(X)", "-": "-", "/": "/"}
    if text.upper() not in known:
        raise Usage(f"{text!r} is no symbol.", hint="X, - or /")
    return known[text.upper()]


def refuse_text(text: str) -> None:
    """Stop words that cannot be kept.

    Raises:
        Usage: there are none, or too many, or they are no text.
    """
    if not text.strip() or not is_storable(text):
        raise Usage("A defect needs words.", hint='Such as: "no sidetone on either transmitter"')
    long = too_long(text)
    if long:
        raise Usage(long)


Decide = Callable[[AirframeFacts, Case], Sequence[b.Body] | Refused]


def on_entry(pen: Pen, number: str, decide: Decide, done: str) -> str:
    """Decide on one open entry and write it; what was done, and what the entry reads now.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    number = number.strip().upper()
    tail = tail_of(pen, number)
    known = pen.journal.record()

    def decision(facts: AirframeFacts) -> Sequence[b.Body] | Refused:
        return decide(facts, case_on(pen, known, facts, number))

    before = pen.journal.facts(tail)
    record(pen, tail, decision)
    now = pen.journal.facts(tail)
    still, told = now.entry(number), _undone(before, now)
    signed = "" if known.founded is not None else " (not signed: nobody is enrolled)"
    if still is None:
        return f"{number} on {tail}: {done}{signed}; it is closed.{told}"
    reads = effective(still, pen.now(), trusted=pen.dates)
    return f"{number} on {tail}: {done}; it reads {reads} {WORDS[reads]}.{told}"


def act(pen: Pen, number: str, deed: str, words: tuple[str, ...], *, by: By) -> str:
    """One act on an entry that takes nothing but words; what was written, in words.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    for text in words[-1:]:
        refuse_text(text)
    name = number.strip().upper()
    if deed == "void" and words[0] and len(words) > 1:
        _refuse_gained_days(pen, name, words[0])

    def decide(facts: AirframeFacts, case: Case) -> Sequence[b.Body] | Refused:
        return _decided(facts, name, deed, words, by, case)

    said = on_entry(pen, name, decide, _DONE[deed])
    return said.replace(_DONE["void"], HALF_VOID) if _waits(pen, name, deed) else said


def _refuse_gained_days(pen: Pen, number: str, other: str) -> None:
    (tail, error), (there, instead) = _borne(pen, number), _borne(pen, other)
    where = case_of(pen, pen.journal.record()).where
    refused = None if tail == there else defects.not_instead(error, instead, where)
    if refused is not None:
        raise refusal(refused)


HALF_VOID = "said to be entered in error, and stays until a second person confirms"


def _waits(pen: Pen, number: str, deed: str) -> bool:
    """Whether the finder alone has said that an X was entered in error."""
    if deed != "void":
        return False
    tails = bearers(number, pen.journal.record().tails)
    return any(pen.journal.facts(tail).entry(number) is not None for tail in tails)


_DONE = {
    "symbol": "symbol set", "action": "action recorded, not cleared", "prove": "tested good",
    "same-as": "joined", "void": "entered in error", "clear": "cleared",
    "reject": "rejected, open again", "rule": "ruled",
}  # fmt: skip


def _decided(
    facts: AirframeFacts, number: str, deed: str, words: tuple[str, ...], by: By, case: Case
) -> Sequence[b.Body] | Refused:
    match deed:
        case "symbol":
            return defects.set_symbol(facts, number, the_symbol(words[0]), words[1], by, case)
        case "action":
            return defects.record_action(facts, number, words[0], by, case)
        case "prove":
            return defects.prove(facts, number, names(words[0]), words[1], by, case)
        case "same-as":
            return defects.same_as(facts, number, words[0].strip().upper(), by, case)
        case "void":
            *other, reason = words
            return defects.void(facts, number, reason, by, case, other="".join(other))
        case "rule":
            return ruling.rule(facts, number, words[0], by, case)
        case "clear":
            return clearing.clear(facts, number, words[0], by, case)
        case _:
            return defects.reject(facts, number, words[0], by, case)


def acted(pen: Pen, number: str, done: Done, *, by: By) -> str:
    """Record what was done about an entry, with units in and out; what was written, in words."""
    refuse_text(done.text)
    name = number.strip().upper()
    return on_entry(
        pen, name, lambda facts, case: defects.record_action(facts, name, done, by, case),
        _DONE["action"],
    )  # fmt: skip


def ordered(pen: Pen, number: str, words: str, *, by: By) -> str:
    """A chief's order that the doer looks at their own work again; what was written, in words."""
    refuse_text(words)
    name = number.strip().upper()
    return on_entry(
        pen,
        name,
        lambda facts, case: ruling.rule(facts, name, words, by, case, again_by_doer=True),
        "a second look by the doer is ordered",
    )


def settled(pen: Pen, number: str, words: str, *, stands: str = "", by: By) -> str:
    """Settle acts that disagree; `stands` names the line that stands, such as `C-12`.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number, or no line that name.
    """
    refuse_text(words)
    name = number.strip().upper()
    digest = ""
    if stands:
        entries = pen.journal.entries(airframe=tail_of(pen, name))
        line = next((e for e in entries if e.ref == stands.strip().upper()), None)
        if line is None:
            raise NotThere(f"No line {stands} is about {name}.", safe="Nothing was written.")
        digest = line.digest.hex()
    return on_entry(
        pen, name, lambda facts, case: ruling.settle(facts, name, digest, words, by, case),
        "settled",
    )  # fmt: skip


def done(
    words: str,
    outcome: str = "rectified",
    *,
    units_out: str = "",
    units_in: str = "",
    ref: str = "",
    taught_by: str = "",
) -> Done:
    """Work as typed: units between commas, initials between commas.

    Raises:
        Usage: the outcome is none.
    """
    known = next((o for o in OUTCOMES if o == outcome), None)
    if known is None:
        raise Usage(f"{outcome!r} is no outcome.", hint=f"One of {', '.join(OUTCOMES)}.")
    return Done(
        text=words, outcome=known, units_out=names(units_out), units_in=names(units_in),
        reference=ref, taught_by=tuple(name.upper() for name in names(taught_by)),
    )  # fmt: skip


def tail_of(pen: Pen, number: str) -> str:
    """The airframe an entry number belongs to.

    Raises:
        NotThere: no airframe has an open entry of that number.
    """
    return _borne(pen, number)[0]


def _borne(pen: Pen, number: str) -> tuple[str, OpenEntry]:
    for tail in bearers(number, pen.journal.record().tails):
        item = pen.journal.facts(tail).entry(number)
        if item is not None:
            return tail, item
    raise NotThere(
        f"No open entry has the number {number}.",
        safe="Nothing was written.",
        hint="`hardstand open` lists open entries; `hardstand record history "
        f"{number}` tells a closed one.",
    )
