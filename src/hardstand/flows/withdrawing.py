"""Withdraw a revision of a list: it is walked no more, and what it passed is looked at again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain.authority import may
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.codec import decode
from hardstand.domain.defects import Report, untested
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant
from hardstand.errors import NotThere, Refusal, Usage
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.pen import Pen
from hardstand.flows.recording import note_attempt, write
from hardstand.flows.signing import case_of, told, with_key
from hardstand.ports import Journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is to be withdrawn, and why.

    `steps` are those that were wrong; empty: all of it. `not_touched` maps tails to how the author
    knows. `fit` is needed only where lists of two fits bear one id.
    """

    id: str
    revision: str
    reason: str
    steps: tuple[str, ...] = ()
    not_touched: Mapping[str, str]
    fit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """A walk that the revision passed something on: how it ended, when, by whom."""

    walk: str
    by: str
    at: Instant
    outcome: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """An airframe with its walks on the revision; `entry` is its dash, `spared` why it has none."""

    tail: str
    walks: tuple[Passed, ...]
    entry: str = ""
    spared: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What a withdrawal would touch, before anything is written; `gone` left the fleet since."""

    id: str
    revision: str
    touched: tuple[Touched, ...]
    gone: frozenset[str]
    time_zone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """A revision withdrawn, and every airframe it touched."""

    body: b.Withdrawn
    touched: tuple[Touched, ...]
    time_zone: str


def withdraw(pen: Pen, asked: Asked, *, by: By) -> Withdrawal:
    """Take a revision out of use and open a dash on every airframe it passed something on.

    Raises:
        Usage: no reason, a step the list does not have, or an airframe it did not touch.
        NotThere: no such revision was adopted.
        Refusal: it is withdrawn already, or is not theirs to withdraw.
    """
    known = lists(pen.journal)
    digest = _digest(known, asked)
    checklist = known.by_digest[digest]
    _refuse_unreadable(checklist, asked)
    found = _walks(pen.journal, digest, asked.steps)
    strange = sorted(set(asked.not_touched) - set(found))
    if strange:
        raise Usage(
            f"No walk on {asked.id} {asked.revision} passed {', '.join(strange)}.",
            hint=f"Touched: {', '.join(sorted(found)) or 'none'}.",
        )
    excused = tuple(b.NotTouched(tail=t, reason=w) for t, w in sorted(asked.not_touched.items()))
    body = b.Withdrawn(
        id=checklist.id, revision=checklist.revision, digest=digest, reason=asked.reason.strip(),
        steps=asked.steps, not_touched=excused, by=by,
    )  # fmt: skip
    pen = _signing(pen, body)
    record, touched = pen.journal.record(), []
    with pen.journal.write() as writing:
        write(pen, writing, (body,))
        for tail in sorted(found):
            one = Touched(tail=tail, walks=found[tail], spared=asked.not_touched.get(tail, ""))
            if not one.spared and tail in record.tails:
                bodies = _look_again(writing.facts(tail), checklist, body, pen.device)
                write(pen, writing, bodies, tail=tail)
                one = replace(one, entry=", ".join(_numbers(bodies)))
            touched.append(one)
    return Withdrawal(body=body, touched=tuple(touched), time_zone=record.time_zone)


def reach(journal: Journal, asked: Asked) -> Reach:
    """Every airframe that a revision, or the steps named of it, passed something on.

    Raises:
        Usage: a step the list does not have.
        NotThere: no such revision was adopted.
        Refusal: it is withdrawn already.
    """
    known = lists(journal)
    digest = _digest(known, asked)
    listed = known.by_digest[digest]
    _refuse_strange_steps(listed, asked)
    found, record = _walks(journal, digest, asked.steps), journal.record()
    return Reach(
        id=listed.id, revision=listed.revision,
        touched=tuple(Touched(tail=tail, walks=found[tail]) for tail in sorted(found)),
        gone=frozenset(found) - frozenset(record.tails), time_zone=record.time_zone,
    )  # fmt: skip


def _digest(known: Lists, asked: Asked) -> str:
    """The digest of the revision named."""
    named = {d: c for d, c in known.by_digest.items() if c.id == asked.id.upper()}
    found = {d: c for d, c in named.items() if c.revision == asked.revision}
    if asked.fit:
        found = {d: c for d, c in found.items() if c.fit == asked.fit}
    if not found:
        revisions = ", ".join(c.revision for c in named.values())
        raise NotThere(
            f"No list {asked.id} {asked.revision} was adopted into this record.",
            hint=f"Revisions of it here: {revisions}." if revisions else "",
        )
    if len(found) > 1:
        fits = " or ".join(f"--fit {c.fit}" for c in found.values())
        raise Usage(f"{asked.id} {asked.revision} is a list of two fits.", hint=f"Say {fits}.")
    (digest,) = found
    gone = known.withdrawn.get(digest)
    if gone is not None and digest not in known.doubted:
        raise Refusal(
            f"{asked.id} {asked.revision} was withdrawn already: {gone.reason}",
            safe="Nothing was written.",
        )
    return digest


def _refuse_unreadable(checklist: Checklist, asked: Asked) -> None:
    if not asked.reason.strip():
        raise Usage("A withdrawal says why.", hint="--reason TEXT; --look first shows its reach.")
    _refuse_strange_steps(checklist, asked)
    for tail, why in asked.not_touched.items():
        if not why.strip():
            raise Usage(f"Nothing says why {tail} is not touched.", hint="--not-touched TAIL=WHY")


def _refuse_strange_steps(checklist: Checklist, asked: Asked) -> None:
    steps = [s.id for s in checklist.steps]
    for name in asked.steps:
        if name not in steps:
            raise Usage(
                f"{checklist.id} {checklist.revision} has no step {name!r}.",
                hint=f"`hardstand checklist show {checklist.id}` lists the steps.",
            )


def _signing(pen: Pen, body: b.Withdrawn) -> Pen:
    record = pen.journal.record()
    if record.founded is None:
        return pen
    barred = may("withdraw", pen.author, case_of(pen, record))
    if barred is not None:
        note_attempt(pen, "withdraw", rule=barred.rule)
        raise Refusal(
            f"{body.id} {body.revision} was not withdrawn.",
            rule=barred.rule,
            who_could=barred.who_could,
            safe="Nothing was changed; the attempt is in the record.",
        )
    return with_key(pen, record, told((body,)))


# -- what it passed --------------------------------------------------------------------------------


def _walks(journal: Journal, digest: str, steps: Sequence[str]) -> dict[str, tuple[Passed, ...]]:
    """By airframe, the walks on a revision in which a step named, or any step, was OK."""
    found: dict[str, tuple[Passed, ...]] = {}
    for entry in journal.entries(kind="walk.started"):
        begun = decode(entry)
        if not isinstance(begun, b.WalkStarted) or begun.digest != digest or not entry.walk:
            continue
        passed = _passed(entry, begun, list(journal.entries(walk=entry.walk)), steps)
        if passed is not None:
            found[begun.typed] = (*found.get(begun.typed, ()), passed)
    return found


def _passed(
    begun: Entry, body: b.WalkStarted, lines: Sequence[Entry], steps: Sequence[str]
) -> Passed | None:
    """The walk, if an answer OK of those steps stands in it."""
    answers: dict[str, str] = {}
    outcome = "still open"
    for line in lines:
        match decode(line):
            case b.StepAnswered(step=step, answer=answer):
                answers[step] = answer
            case b.StepUndone(step=step):
                answers.pop(step, None)
            case b.WalkClosed(outcome=closed):
                outcome = closed.replace("_", " ")
    good = [s for s, a in answers.items() if a == "OK" and (not steps or s in steps)]
    if not good:
        return None
    return Passed(walk=begun.walk or "", by=body.by.doer, at=lines[-1].at, outcome=outcome)


def _look_again(
    facts: AirframeFacts, checklist: Checklist, body: b.Withdrawn, device: str
) -> tuple[b.Body, ...]:
    """One dash, or the dash there is extended: what the wrong steps proved counts as untested."""
    steps = [checklist.step(name) for name in body.steps]
    named = ", ".join(f"step {checklist.number(s.id)}" for s in steps) or "the whole list"
    text = f"look again: {named}; {body.id} {body.revision} was withdrawn: {body.reason}"
    first = steps[0] if len(steps) == 1 else None
    report = Report(
        symbol="-",
        text=text,
        step=first.id if first else "",
        zone=first.zone if first else "",
    )
    return untested(facts, _waits(checklist, steps), report, device=device, by=body.by)


def _waits(checklist: Checklist, steps: Sequence[Step]) -> tuple[str, ...]:
    """What a dash waits for: what the wrong steps proved, and those steps themselves."""
    if not steps:
        proved = tuple(dict.fromkeys(p for s in checklist.steps for p in s.proves))
        return proved or tuple(f"step {s.id}" for s in checklist.steps)
    named = (name for s in steps for name in (*s.proves, f"step {s.id}"))
    return tuple(dict.fromkeys(named))


def _numbers(bodies: Sequence[b.Body]) -> tuple[str, ...]:
    kinds = (b.DefectRaised, b.DefectExtended)
    return tuple(x.number for x in bodies if isinstance(x, kinds))
