"""Who signs a line, with which key: asked for outside the write, afresh for each act.

In a record where nobody is enrolled nothing is signed. From the first person on, a line that
attests something is signed by its author or not written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.attesting import attests, meaning
from hardstand.domain.authority import Case, Deed, answers_for, may
from hardstand.domain.bodies import Body, By
from hardstand.domain.codec import decode, kind_of
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.ground import corrected
from hardstand.domain.people import find
from hardstand.domain.quantity import day_time, seconds_between, zone
from hardstand.domain.verdict import fit_of
from hardstand.errors import Refusal
from hardstand.flows.pen import Pen

_WALKING: dict[type[object], Deed] = {b.WalkStarted: "answer", b.WalkResumed: "answer"}


def case_of(pen: Pen, record: RecordFacts, facts: AirframeFacts | None = None) -> Case:
    """The circumstances of an act that is about to be written."""
    now = pen.now()
    basis = record.time_zone if record.settings.day_basis == "local" else "UTC"
    return Case(
        people=record.people,
        settings=record.settings,
        at=now,
        trusted=pen.dates,
        fit=fit_of(facts, now, record) if facts else "",
        where=zone(basis),
        cnd_before=0,
    )


def case_on(pen: Pen, record: RecordFacts, facts: AirframeFacts, number: str) -> Case:
    """The circumstances of an act on one entry, its earlier closings counted."""
    item = facts.entry(number)
    names = {*item.takes, *item.weakens, item.unit} - {""} if item else set[str]()
    before = sum(1 for w in facts.watched if names & set(w.names))
    return replace(case_of(pen, record, facts), cnd_before=before)


def deed_of(body: Body) -> Deed | None:
    """What authority a line outside the defect log needs; None where its own flow asks."""
    if isinstance(body, b.WalkClosed):
        return "finish" if body.outcome == "finished" else None
    return _WALKING.get(type(body))


def refuse_unentitled(pen: Pen, record: RecordFacts, facts: AirframeFacts, body: Body) -> None:
    """Stop a walk's start, resumption or finish by somebody who may not.

    Raises:
        Refusal: with the rule and who could.
    """
    deed = deed_of(body)
    if deed is None or record.founded is None:
        return
    by: By = getattr(body, "by")  # noqa: B009  each of these bodies names its hands
    case = case_of(pen, record, facts)
    barred = may(deed, by.doer, case, with_=by.with_)
    if barred is not None:
        raise Refusal(
            f"{by.doer} does not walk {facts.tail} now.",
            rule=barred.rule,
            who_could=barred.who_could,
            safe="Nothing was written.",
        )


def signs(bodies: Sequence[Body], adopted: str = "") -> tuple[Body, ...]:
    """The bodies among these that attest something."""
    return tuple(x for x in bodies if attests(kind_of(x, adopted)[0], x))


def unlocked(
    pen: Pen,
    record: RecordFacts,
    bodies: Sequence[Body],
    *,
    adopted: str = "",
    fit: str = "",
    again: str = "",
) -> Pen:
    """The pen of whoever answers for these lines, with their key unlocked if one is to be signed.

    `again` is what is said instead of all that was shown before, where it is asked once more.

    Raises:
        WrongPassphrase: it does not open the key.
        Refusal: nobody here can sign, or the doer does not sign for themselves.
    """
    attesting = signs(bodies, adopted)
    if not attesting or record.founded is None:
        return pen
    by = getattr(attesting[-1], "by", By(doer=pen.author))
    case = replace(case_of(pen, record), fit=fit)
    author = answers_for(pen.author, by.with_, case)
    if author not in {by.doer, *by.with_}:
        raise Refusal(
            f"{author} cannot sign for {by.doer}.",
            rule="whoever did it, or supervised it, signs; a typist does not",
            who_could=by.doer,
            safe="Nothing was written.",
        )
    signing = replace(pen, author=author)
    if again:
        return with_key(signing, record, (again,), own=False)
    return with_key(signing, record, told(attesting, adopted))


def with_key(pen: Pen, record: RecordFacts, says: Sequence[str], *, own: bool = True) -> Pen:
    """The pen with its author's key unlocked; with `own` they are told of what they signed of late.

    Raises:
        WrongPassphrase: it does not open the key.
        Refusal: the author has no key here.
    """
    person = find(record.people, pen.author)
    if person is None or person.key is None or pen.signer is None:
        why = "is not enrolled in this record" if person is None else "has no key at hand"
        raise Refusal(
            f"{pen.author} {why}, and this is signed.",
            rule="once people are enrolled, whoever attests signs",
            who_could=", ".join(p.initials for p in record.people),
            safe="Nothing was written.",
            hint="`hardstand people list` shows who is enrolled.",
        )
    if pen.signer.demo and not record.demo:
        raise Refusal(
            "A DEMO key signs nothing in a live record.",
            rule="the secret of a DEMO key is known to everybody",
            safe="Nothing was written.",
        )
    says = (*(yours(pen, record) if own else ()), *says)
    return replace(pen, key=pen.signer.unlock(pen.author, person.key.public, says))


LOOKED_BACK, SINCE_S = 1000, 7 * 86_400
"""How many lines, and how many seconds, a signer is told of their own; ours."""


def yours(pen: Pen, record: RecordFacts) -> tuple[str, ...]:
    """What was signed in the signer's name of late, for them to see that it was theirs.

    Source: whole-job 73.
    """
    now, clocks = pen.now(), record.clocks or {}
    signed = [
        (line, at)
        for line in pen.journal.newest_of("", LOOKED_BACK)
        if line.author == pen.author and line.signature is not None
        if seconds_between(at := corrected(line, clocks), now) < SINCE_S
    ]
    if not signed:
        return ()
    where = zone(record.time_zone)
    last, at = signed[-1]
    body = decode(last)
    what = "" if isinstance(body, b.Unknown) else f": {described(body, last.kind)}"
    since = f"Yours since {day_time(signed[0][1], where)}: {len(signed)} signed"
    return (
        f"{since}, the last {last.ref}, {day_time(at, where)}{what}.",
        f"Not yours? hardstand people not-mine LINE WORDS; hardstand record history {pen.author}",
    )


def told(bodies: Sequence[Body], adopted: str = "") -> tuple[str, ...]:
    """What a signer is shown: each line that is signed, then what the signature means."""
    lines = [f"To be signed: {described(x, adopted)}" for x in bodies]
    means = dict.fromkeys(meaning(kind_of(x, adopted)[0]) for x in bodies)
    return (*lines, *(f"Your signature means: {m}." for m in means))


def described(body: Body, adopted: str = "") -> str:
    """One line in words, for whoever is to sign it."""
    from hardstand.domain.changes import ACTS, CHANGES  # noqa: PLC0415  only where one signs

    if isinstance(body, ACTS):
        return f"{body.number}: {CHANGES[type(body)].words(body)}"
    if isinstance(body, b.WalkClosed):
        return f"walk of {body.checklist} {body.revision} {body.outcome}, {len(body.gaps)} not OK"
    name = getattr(body, "initials", "") or getattr(body, "id", "") or getattr(body, "of", "")
    digest = getattr(body, "digest", "")
    of_paper = (getattr(body, "revision", ""), f"digest {digest[:12]}" if digest else "")
    kind = kind_of(body, adopted)[0].replace(".", " ")
    return " ".join(word for word in (kind, name, *of_paper) if word)
