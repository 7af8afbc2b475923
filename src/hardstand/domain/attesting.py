"""What a signature is over, which lines need one, and what is wrong with those of a record. Pure.

A signature is Ed25519 by a person over "hardstand/entry/1", NUL, and the line's digest. The digest
covers the line and, through `prev`, all of its chain before it; `seen` covers what the signer had
in front of them. The arithmetic itself is behind a port: this module knows only whose key.

Source: RFC 8032 (Ed25519); the domain separation is ours.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from hardstand.domain import bodies as b
from hardstand.domain.chain import Break
from hardstand.domain.codec import decode
from hardstand.domain.entry import ATTESTING, Entry
from hardstand.domain.facts import RecordFacts
from hardstand.domain.people import Key, find

PREFIX = b"hardstand/entry/1\x00"

Fits = Callable[[bytes, bytes, bytes], bool]
"""Whether a signature fits: public key, message, signature."""


def message(digest: bytes) -> bytes:
    """The bytes a signature is over."""
    return PREFIX + digest


def attests(kind: str, body: object) -> bool:
    """Whether a line of that kind, saying that, is a person's attestation.

    A walk that was left attests nothing; nor does a finder who takes back alone what they found.
    """
    if isinstance(body, b.WalkClosed):
        return body.outcome == "finished"
    if isinstance(body, b.DefectVoided):
        return body.confirmed or body.asked
    return kind in ATTESTING


MEANS: Mapping[str, str] = {
    "walk.closed": "every step was answered by the people named, as seen, and all is put back",
    "defect.lowered": "I have looked at it and it is no more serious than this",
    "defect.limited": "it may fly within these limits until the end named, on my authority",
    "defect.deferred": "the list names it and every condition is met; it may wait until then",
    "defect.prolonged": "the extension is for a reason beyond our control, once, on my authority",
    "defect.action": "this work was done as written, by the people named",
    "defect.cleared": "I looked at this work myself; it is done, proved and closed up as written",
    "defect.rejected": "I looked at this work and do not accept it, for the reason written",
    "defect.settled": "I was no party to it, looked at both, and this is what stands",
    "defect.same_as": "the two entries are one defect",
    "defect.ruled": "I have looked at it and this is to become of it",
    "defect.voided": "it was entered in error; I looked for myself",
    "fit.adopted": "this text was checked and goes into force",
    "checklist.adopted": "this text was checked and goes into force",
    "paper.seconded": "I read this text against the approved manual, and it is as written there",
    "checklist.withdrawn": "this revision is not to be walked, for the reason written",
    "fleet.loaded": "this text was checked and goes into force",
    "settings.adopted": "this text was checked and goes into force",
    "person.enrolled": "I know this person; initials, name and roles are as written",
    "person.role": "the person holds this role as written",
    "person.ended": "the person's authority ends as written",
    "person.keyed": "I know this person and they chose the passphrase of this key themselves",
    "person.witnessed": "I stood by, and it was done as written, by and for the people named",
    "person.disowned": "the line named is not mine",
    "clock.observed": "I compared the two clocks",
}  # fmt: skip
"""What a signature says, in the first person. It covers this one step and releases nothing."""


def meaning(kind: str) -> str:
    """The sentence a signer is shown: what this signature means."""
    said = MEANS.get(kind, "what this line says is so")
    return f"{said}. It is one step of the record and does not release the aircraft"


def wrong(lines: Iterable[Entry], record: RecordFacts, fits: Fits) -> Iterator[Break]:
    """Every line whose attestation does not hold: unsigned, unknown, or not by whose name it has.

    Args:
        lines: those of attesting kinds, and any others that bear a signature.
        record: its people and when signing began.
        fits: the check of one signature.
    """
    for entry in lines:
        what = _wrong(entry, record, fits)
        if what:
            yield Break(entry.device, entry.seq, what)


def _wrong(entry: Entry, record: RecordFacts, fits: Fits) -> str:
    unsigned = (record.founded or {}).get(entry.device, 0)
    if entry.signature is None:
        if (
            record.founded is None
            or entry.seq <= unsigned
            or not attests(entry.kind, decode(entry))
        ):
            return ""
        return f"{entry.author} attests here without a signature"
    if record.founded is None:
        return "bears a signature, and nobody is enrolled in this record"
    person = find(record.people, entry.author)
    if person is None:
        return f"bears a signature of {entry.author}, who is not enrolled"
    said = message(entry.digest)
    used = next(
        (k for k in person.keys if fits(bytes.fromhex(k.public), said, entry.signature)), None
    )
    if used is None:
        return f"the signature is not one of {entry.author} over this line"
    if used.demo and not record.demo:
        return f"{entry.author} signed with a DEMO key, whose secret everybody knows"
    return _out_of_time(entry, used)


def _out_of_time(entry: Entry, key: Key) -> str:
    """What is wrong with when a key signed: before it was given, or after it was replaced."""
    if entry.tick < key.tick:
        return f"{entry.author} signed with a key that was given later"
    if key.replaced is None:
        return ""
    device, seq, _ = key.replaced
    if entry.device == device and entry.seq > seq:
        return f"{entry.author} signed with a key that had been replaced"
    if key.lost and entry.seq > dict(key.until).get(entry.device, 0):
        return f"signed with a key that was lost, and not in the record when it was: {entry.author}"
    return ""
