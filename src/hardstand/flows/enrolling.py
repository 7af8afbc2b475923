"""The register of people: enrol, grant, end, give a new key, disown. Each is signed.

Whatever gives somebody authority or a key takes a registrar and a witness, who both sign; the
first two people of a record found it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain.authority import may
from hardstand.domain.bodies import Body, By
from hardstand.domain.enrolment import could_go_on, ends_only
from hardstand.domain.facts import RecordFacts
from hardstand.domain.ids import is_initials
from hardstand.domain.people import (
    LINE,
    MAINTENANCE,
    REGISTRARS,
    ROLES,
    Grant,
    Person,
    Role,
    clash,
    find,
    holders,
    named,
    proposal,
    role_words,
)
from hardstand.domain.quantity import Instant, date_time, zone
from hardstand.errors import NotThere, Refusal, Usage, WrongPassphrase
from hardstand.flows.pen import Pen
from hardstand.flows.recording import note_attempt, write
from hardstand.flows.signing import case_of, told, with_key
from hardstand.ports import Key, Signer


@dataclass(frozen=True, slots=True, kw_only=True)
class Newcomer:
    """Somebody to be enrolled, as typed."""

    initials: str
    name: str
    granted: tuple[b.Granted, ...]


def enrol(pen: Pen, new: Newcomer, *, witness: str = "") -> str:
    """Enrol a person: initials nobody has or had, a key of their own, first roles.

    The first person of a record enrols themselves and can enrol others; the second is enrolled by
    the first; together they can enrol a third. From then on a witness signs as well.

    Raises:
        Usage: initials, name or roles do not read.
        Refusal: by rule or authority, with who could.
    """
    record = pen.journal.record()
    _refuse_unreadable(new)
    known = clash(record.people, new.initials)
    if known is not None:
        free = proposal(record.people, new.name)
        raise Refusal(
            f"{new.initials} are the initials of {known.name}.",
            rule="initials are one person's for ever, so that every line says who wrote it",
            safe="Nothing was written.",
            hint=f"Free: {free}" if free else "Choose two to four other letters.",
        )
    _refuse_both(new.initials, [g.role for g in new.granted])
    _refuse_founding(pen, record, new)
    founding = len(record.people) < 2
    if not founding:
        _refuse_registrar(pen, record, new.initials, witness)
    body = _enrolment(pen, record, new)
    made = _signer(pen, record).make(new.initials, 1, told((body,)))
    body = replace(body, key=b.PublicKey(public=made.public, demo=_signer(pen, record).demo))
    own = made if not record.people else None
    _written(pen, record, body, "" if founding else witness, own)
    return f"{new.initials}, {new.name}, is enrolled: {_roles(new.granted)}."


def _enrolment(pen: Pen, record: RecordFacts, new: Newcomer) -> b.PersonEnrolled:
    first = not record.people
    return b.PersonEnrolled(
        initials=new.initials,
        name=new.name,
        key=b.PublicKey(public=""),
        granted=new.granted,
        heads=heads(pen) if first else (),
        by=By(doer=new.initials if first else pen.author),
    )


def heads(pen: Pen) -> tuple[b.HeadSeen, ...]:
    """The end of every chain as it stands."""
    ends = sorted(pen.journal.heads().items())
    return tuple(b.HeadSeen(device=d, seq=h.seq, digest=h.digest.hex()) for d, h in ends)


def _signer(pen: Pen, record: RecordFacts) -> Signer:
    if pen.signer is None:
        raise Refusal("No keys are at hand here.", safe="Nothing was written.")
    if pen.signer.demo and not record.demo:
        raise Refusal(
            "A DEMO key enters no live record.",
            rule="the secret of a DEMO key is known to everybody",
            safe="Nothing was written.",
        )
    return pen.signer


def _refuse_unreadable(new: Newcomer) -> None:
    if not is_initials(new.initials):
        raise Usage(f"{new.initials!r} is no initials.", hint="Two to four letters, such as IO.")
    if not new.name.strip():
        raise Usage("A person has a name.", hint='Such as: people enrol IO "Ines Okello"')
    if not new.granted:
        raise Usage("A person is enrolled with a role.", hint=f"--role {', '.join(ROLES)}")


def _refuse_both(initials: str, roles: Sequence[str]) -> None:
    line = [r for r in roles if r in MAINTENANCE]
    if "administrator" in roles and line:
        raise Refusal(
            f"{initials} cannot be administrator and {', '.join(line)}.",
            rule="an administrator signs no maintenance",
            safe="Nothing was written.",
        )


def _refuse_founding(pen: Pen, record: RecordFacts, new: Newcomer) -> None:
    """Stop a founding that would leave nobody who could enrol a third person."""
    roles = {g.role for g in new.granted}
    if not record.people and not roles & set(REGISTRARS):
        raise Refusal(
            f"The first person of a record is {' or '.join(role_words(r) for r in REGISTRARS)}.",
            rule="whoever founds the register enrols the next",
            safe="Nothing was written.",
        )
    if len(record.people) != 1:
        return
    if pen.author != record.people[0].initials:
        raise Refusal(
            f"{pen.author} cannot enrol the second person of this record.",
            rule="the second person is enrolled by the first",
            who_could=record.people[0].initials,
            safe="Nothing was written.",
        )
    at = pen.now()
    grants = tuple(
        Grant(role=r, since=at, until=g.until) for g in new.granted for r in ROLES if r == g.role
    )
    second = Person(initials=new.initials, name=new.name, grants=grants, enrolled=at)
    if not could_go_on((*record.people, second), at):
        raise Refusal(
            f"{record.people[0].initials} and {new.initials} could not enrol a third person.",
            rule="that takes a chief or administrator, and a chief or shift lead as witness",
            safe="Nothing was written.",
            hint="Give the second person one of these roles.",
        )


def _refuse_registrar(pen: Pen, record: RecordFacts, subject: str, witness: str) -> None:
    """Stop what gives authority or a key without a registrar and a witness, both others.

    Raises:
        Refusal: with the rule and who could.
    """
    case = case_of(pen, record)
    barred = may("register", pen.author, case)
    if barred is not None or pen.author == subject:
        rule = barred.rule if barred else "nobody gives themselves authority or a key"
        _refuse(pen, "register", rule, _others(record, pen, REGISTRARS, {subject}))
    if not witness:
        _refuse(
            pen, "witness", "it needs a witness with line authority, who signs as well",
            _others(record, pen, LINE, {subject, pen.author}),
        )  # fmt: skip
    barred = may("witness", witness, case)
    if barred is not None or witness in {subject, pen.author}:
        rule = barred.rule if barred else f"{witness} has a part in it and cannot witness it"
        _refuse(pen, "witness", rule, _others(record, pen, LINE, {subject, pen.author}))


def _others(record: RecordFacts, pen: Pen, roles: Sequence[Role], but: set[str]) -> str:
    at = pen.now()
    return named(holders(record.people, roles, at, but=but), at) or "nobody enrolled now"


def _refuse(pen: Pen, deed: str, rule: str, who_could: str) -> None:
    note_attempt(pen, deed, rule=rule)
    raise Refusal(
        "The register stays as it is.",
        rule=rule,
        who_could=who_could,
        safe="Nothing was changed; the attempt is in the record.",
    )


def _written(
    pen: Pen, record: RecordFacts, body: Body, witness: str, own: Key | None = None
) -> None:
    """Sign and write a line of the register, with its witness where it has one."""
    author = getattr(body, "by", By(doer=pen.author)).doer
    signing = replace(pen, author=author, key=own)
    if own is None:
        signing = _asked(signing, record, told((body,)))
    beside = None
    if witness:
        by = By(doer=witness)
        shown = (*told((body,)), *told((b.Witnessed(of=_ABOUT, by=by),))[1:])
        beside = _asked(replace(pen, author=witness), record, shown)
    with pen.journal.write() as writing:
        made = write(signing, writing, (body,))
        if beside is not None:
            stood_by = b.Witnessed(of=made[0].digest.hex(), by=By(doer=witness))
            write(beside, writing, (stood_by,))


_ABOUT = "the line above"


def _asked(pen: Pen, record: RecordFacts, says: Sequence[str]) -> Pen:
    try:
        return with_key(pen, record, says)
    except WrongPassphrase as wrong:
        note_attempt(pen, "sign", rule=wrong.what)
        raise


def grant(pen: Pen, initials: str, given: b.Granted, reason: str, *, witness: str = "") -> str:
    """Give a person a role from a time on, or end one; ending needs no witness.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: nobody has those initials.
    """
    record = pen.journal.record()
    person = _person(record, initials)
    ends = ends_only(given)
    if ends:
        _refuse_ender(pen, record, person, Instant(given.since), given.role)
    else:
        held = [str(r) for r in person.roles(pen.now())]
        _refuse_both(initials, [*held, given.role])
        _refuse_registrar(pen, record, initials, witness)
    body = b.PersonRole(initials=initials, granted=given, reason=reason, by=By(doer=pen.author))
    _written(pen, record, body, "" if ends else witness)
    return f"{initials}: {'no longer ' if ends else ''}{_roles((given,))}."


def end(pen: Pen, initials: str, at: Instant, reason: str) -> str:
    """End all authority of a person at a time; what they signed before stays good.

    Raises:
        Refusal: by rule or authority; or nobody would be left who could enrol.
        NotThere: nobody has those initials.
    """
    record = pen.journal.record()
    person = _person(record, initials)
    _refuse_ender(pen, record, person, at, "")
    body = b.PersonEnded(initials=initials, at=at, reason=reason, by=By(doer=pen.author))
    _written(pen, record, body, "")
    ends = date_time(at, zone(record.time_zone))
    return f"The authority of {initials} ends {ends}. Their initials are never given again."


def _refuse_ender(pen: Pen, record: RecordFacts, person: Person, at: Instant, role: str) -> None:
    barred = may("register", pen.author, case_of(pen, record))
    if barred is not None or pen.author == person.initials:
        rule = barred.rule if barred else "nobody ends their own authority"
        _refuse(pen, "register", rule, _others(record, pen, REGISTRARS, {person.initials}))
    kept = tuple(g for g in person.grants if role and g.role != role)
    without = tuple(
        p._replace(grants=kept) if p.initials == person.initials else p for p in record.people
    )
    if not could_go_on(without, max(at, pen.now())):
        raise Refusal(
            f"{person.initials} cannot go: nobody would be left who could enrol another.",
            rule="that takes a chief or administrator, and a chief or shift lead as witness",
            safe="Nothing was written.",
            hint="Give somebody else the role first.",
        )


def rekey(pen: Pen, initials: str, reason: str, *, lost: bool = False, witness: str = "") -> str:
    """Give a person a new key: the passphrase is forgotten, or with `lost` may be known to others.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: nobody has those initials.
    """
    record = pen.journal.record()
    person = _person(record, initials)
    _refuse_registrar(pen, record, initials, witness)
    body = b.PersonKeyed(
        initials=initials, key=b.PublicKey(public=""), reason=reason, lost=lost, heads=heads(pen),
        by=By(doer=pen.author),
    )  # fmt: skip
    made = _signer(pen, record).make(initials, len(person.keys) + 1, told((body,)))
    body = replace(body, key=b.PublicKey(public=made.public, demo=_signer(pen, record).demo))
    _written(pen, record, body, witness)
    return f"{initials} has a new key. What they signed before stays as it is."


def disown(pen: Pen, ref: str, words: str) -> str:
    """Say that a line in one's own name is not one's own; it stays, and no longer counts.

    Raises:
        NotThere: no line of that name, or it is somebody else's.
    """
    record = pen.journal.record()
    line = next((e for e in pen.journal.chains() if e.ref == ref.upper()), None)
    if line is None or line.author != pen.author:
        raise NotThere(
            f"{ref} is no line of {pen.author}.",
            safe="Nothing was written.",
            hint=f"`hardstand record history {pen.author}` lists them.",
        )
    body = b.NotMine(of=line.ref, digest=line.digest.hex(), words=words, by=By(doer=pen.author))
    _written(pen, record, body, "")
    return f"{line.ref} stands in doubt: {pen.author} says it is not theirs. Tell the lead."


def _person(record: RecordFacts, initials: str) -> Person:
    found = find(record.people, initials)
    if found is None:
        raise NotThere(
            f"Nobody is enrolled as {initials}.",
            hint="`hardstand people list` shows who is.",
        )
    return found


def _roles(granted: Sequence[b.Granted]) -> str:
    known = {str(r): role_words(r) for r in ROLES}
    return ", ".join(known[g.role] for g in granted)
