"""What an inspector may clear, all about one entry on one screen, and the clearing itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain import clearing, defects
from hardstand.domain.asking import Ask, Block
from hardstand.domain.authority import Case, may
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, RecordFacts, placard_of
from hardstand.domain.ground import corrected
from hardstand.domain.quantity import Instant
from hardstand.errors import Usage
from hardstand.flows.logging_defects import OUTCOMES, on_entry, refuse_text, tail_of, the_symbol
from hardstand.flows.pen import Pen
from hardstand.flows.questions import words_ask
from hardstand.flows.recording import refused_attempt
from hardstand.flows.signing import case_on
from hardstand.ports import Prompter


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSign:
    """An entry whose work waits for an inspector, on its airframe."""

    tail: str
    entry: OpenEntry


def queue(pen: Pen, person: str) -> tuple[ToSign, ...]:
    """The entries this person may clear now, and no others; oldest work first."""
    record = pen.journal.record()
    found = []
    for tail in record.tails:
        facts = pen.journal.facts(tail)
        for entry in facts.open:
            case = case_on(pen, record, facts, entry.number)
            if entry.work is not None and may("clear", person, case, entry) is None:
                found.append(ToSign(tail=tail, entry=entry))
    return tuple(sorted(found, key=lambda x: (x.entry.work.at if x.entry.work else "",
                                              x.entry.number)))  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """An item of the aircraft that was put back: what, when, by whom, how it was seen."""

    title: str
    to: str
    at: Instant
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """All that one signature rests on: the entry, and what the record knows beside it.

    `home` are lines of the ledger put back since the entry was raised, `away` those still out.
    `proved` maps functions the entry takes, weakens or waits for to when they were last proved
    good, or empty.
    """

    tail: str
    entry: OpenEntry
    record: RecordFacts
    home: tuple[Moved, ...]
    away: tuple[Line, ...]
    proved: tuple[tuple[str, str], ...]
    placard: Line | None


def evidence(pen: Pen, number: str) -> Evidence:
    """Everything about one entry for one signature.

    Raises:
        NotThere: no open entry has that number.
    """
    name = number.strip().upper()
    tail = tail_of(pen, name)
    facts = pen.journal.facts(tail)
    entry = facts.entry(name)
    if entry is None:
        raise AssertionError(name)
    proved = facts.proved or {}
    names = dict.fromkeys((*entry.takes, *entry.weakens, *entry.untested))
    return Evidence(
        tail=tail,
        entry=entry,
        record=pen.journal.record(),
        home=_home(pen, tail, entry),
        away=facts.due_home,
        proved=tuple((f, proved[f].at if f in proved else "") for f in names),
        placard=facts.line(placard_of(name)),
    )


def _home(pen: Pen, tail: str, entry: OpenEntry) -> tuple[Moved, ...]:
    """Lines of the ledger put back on this aircraft since the entry was found, the last of each."""
    clocks = pen.journal.record().clocks or {}
    found: dict[str, Moved] = {}
    for line in pen.journal.entries(airframe=tail, kind="ledger.moved"):
        body, at = decode(line), corrected(line, clocks)
        if not isinstance(body, b.LineMoved) or at < entry.found_at:
            continue
        found.pop(body.item, None)
        if body.to == body.home:
            found[body.item] = Moved(title=body.title, to=body.to, at=at, by=body.by.doer)
    return tuple(found.values())


def looked(
    words: str, outcome: str = "", follow: str = "", *, placard_off: bool = False, by_doer: str = ""
) -> Looked:
    """A clearing as typed.

    Raises:
        Usage: the outcome or the symbol of what follows is none.
    """
    as_what = next((o for o in OUTCOMES if o == outcome), None)
    if outcome and as_what is None:
        raise Usage(f"{outcome!r} is no outcome.", hint=f"One of {', '.join(OUTCOMES)}.")
    return Looked(
        text=words, outcome=as_what or "", placard_off=placard_off, again_by_doer=by_doer,
        successor=the_symbol(follow) if follow else "",
    )  # fmt: skip


def clear(pen: Pen, number: str, looked: Looked, *, by: By) -> str:
    """Clear an entry over the work recorded; what was written, in words.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    refuse_text(looked.text)
    name = number.strip().upper()

    def decide(facts: AirframeFacts, case: Case) -> tuple[b.Body, ...] | Refused:
        return clearing.clear(facts, name, looked, by, case, device=pen.device)

    item = pen.journal.facts(tail_of(pen, name)).entry(name)
    outcome = looked.outcome or (item.work.outcome if item and item.work else "")
    return on_entry(pen, name, decide, _told(outcome, looked))


def _told(outcome: str, looked: Looked) -> str:
    if looked.again_by_doer:
        return "cleared by its doer, WEAKER until an inspector looks"
    return {
        "could_not_duplicate": "cleared as could not duplicate, to be looked after",
        "temporary": "cleared as a temporary repair, followed by a new entry",
    }.get(outcome, "cleared")


def reject(pen: Pen, number: str, reason: str, *, by: By) -> str:
    """Not accept the work: the entry is open again at its symbol; what was written, in words.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    refuse_text(reason)
    name = number.strip().upper()
    return on_entry(
        pen, name, lambda facts, case: defects.reject(facts, name, reason, by, case),
        "rejected, open again",
    )  # fmt: skip


CHOICES = ("clear it: done, proved and closed up", "reject it, with a reason")
"""What an inspector answers; one key each, so that a no is as quick as a yes."""


def ask(pen: Pen, shown: Evidence, screen: Sequence[str], prompter: Prompter, *, by: By) -> str:
    """Show one entry whole, take one key, then words; what was written, in words.

    Raises:
        Refusal: the person may not clear it; nothing is asked then.
        Interrupted: the person left.
    """
    name = shown.entry.number
    facts = pen.journal.facts(shown.tail)
    barred = defects.refused_by(shown.entry, "clear", by, case_on(pen, shown.record, facts, name))
    if barred is not None:
        raise refused_attempt(pen, shown.tail, barred)
    picked = prompter.ask(
        Ask(
            blocks=tuple(Block(kind="line", text=line) for line in screen),
            choices=CHOICES, keys="B", whole=True,
            words=(("B", "leave it as it is"),), prompt="Which?",
        )
    )  # fmt: skip
    if picked == "B":
        return f"{name} stays as it is."
    if picked == "2":
        reason = prompter.ask(words_ask("Reject: why, in words:")).strip()
        return reject(pen, name, reason, by=by)
    words = prompter.ask(words_ask("Clear: what you looked at, in words:")).strip()
    off = shown.placard is not None and _placard_is_off(prompter, shown.placard)
    return clear(pen, name, Looked(text=words, placard_off=off), by=by)


def _placard_is_off(prompter: Prompter, placard: Line) -> bool:
    picked = prompter.ask(
        Ask(
            blocks=(Block(kind="do", text=f"{placard.title}: {placard.words or placard.value}"),),
            choices=("still ON", "taken OFF"), prompt="Seen now:",
        )
    )  # fmt: skip
    return picked == "2"
