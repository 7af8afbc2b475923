"""Take what an operator wrote into the record: fits, lists, fleet, settings; and find it again.

A file enters whole, its text and the value read from it, by the digest of that value. A later
file of the same id is a later entry; walks stay on the one they began with.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar, cast

from hardstand.domain.authority import may
from hardstand.domain.bodies import KINDS, Adopted, By, RecordMade, Seconded, Withdrawn
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.codec import NOT_FOLDED, content, decode, misread
from hardstand.domain.entry import Entry
from hardstand.domain.fleet import AirframeType, Fleet, Gear
from hardstand.domain.plain import canonical, to_plain
from hardstand.domain.record import ADOPTING, entitled, with_more
from hardstand.errors import NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.recording import note_attempt, write
from hardstand.flows.signing import case_of, told, with_key
from hardstand.ports import Journal

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lists:
    """Fits and lists adopted: each list ever by digest, and the current one of each id.

    A list whose newest revision was `withdrawn` has none in force, until one is adopted again.
    `doubted` are digests withdrawn only by people who might not.
    """

    fits: Mapping[str, Fit]
    by_digest: Mapping[str, Checklist]
    current: Mapping[str, Checklist]
    withdrawn: Mapping[str, Withdrawn]
    doubted: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A file read and found good, ready to enter the record."""

    kind: str
    id: str
    revision: str
    fit: str
    text: str
    value: Checklist | Fit | Fleet | Any
    examples: tuple[str, ...] = ()


def begin_record(pen: Pen, *, demo: bool, program: str) -> tuple[Entry, ...]:
    """Write the first line of a record: what it is and what made it."""
    with pen.journal.write() as writing:
        return write(pen, writing, (RecordMade(demo=demo, program=program),))


def adopt(pen: Pen, papers: Sequence[Paper], *, second: Pen | None = None) -> tuple[Entry, ...]:
    """Write files into the record, all of them or none; seconded where somebody seconds them.

    Raises:
        Refusal: a live record and a file with example limits or stations, each line listed; or a
            text that changed under the same revision.
    """
    demo = pen.journal.record().demo
    examples = [line for p in papers for line in p.examples]
    if examples and not demo:
        raise Refusal(
            "Not taken: example values cannot enter a live record:\n  " + "\n  ".join(examples),
            rule="limits and stations are copied from the approved manual and checked by a second "
            "person",
            safe="Nothing was written.",
            hint="Put the approved values in, take `example: true` off, and try again.",
        )
    bodies = [(paper.kind, body_of(paper)) for paper in papers]
    for kind, body in bodies:
        _refuse_silent_change(pen.journal, kind, body)
    for paper in papers:
        _refuse_lost(pen.journal, paper)
    pen = _signing(pen, bodies)
    entries: list[Entry] = []
    with pen.journal.write() as writing:
        for kind, body in bodies:
            entries += write(pen, writing, (body,), adopted=kind)
            if second is not None:
                entries += write(second, writing, (seconded(body, second.author),))
    return tuple(entries)


def seconded(body: Adopted, who: str) -> Seconded:
    """What a second person says of a file: read, and as the approved manual has it."""
    return Seconded(id=body.id, revision=body.revision, digest=body.digest, by=By(doer=who))


def _refuse_lost(journal: Journal, paper: Paper) -> None:
    """Stop a fleet that drops an airframe with anything open: the log would lose sight of it.

    Raises:
        Refusal: each such airframe is named with what is open there.
    """
    if not isinstance(paper.value, Fleet):
        return
    dropped = [t for t in journal.record().tails if t not in paper.value.airframes]
    still = [f for f in (journal.facts(t) for t in dropped) if f.open or f.lines or f.walks]
    if still:
        named = "; ".join(
            f"{f.tail}: {', '.join([*(e.number for e in f.open), *(x.title for x in f.lines)])}"
            for f in still
        )
        raise Refusal(
            f"Not taken: the fleet file drops airframes with something open: {named}.",
            rule="an airframe leaves the fleet when nothing is open on it",
            safe="Nothing was written.",
            hint="Keep it in the file, or clear what is open first.",
        )


def _signing(pen: Pen, bodies: Sequence[tuple[str, Adopted]]) -> Pen:
    """The pen that signs these papers, if its author may put each in force.

    Raises:
        Refusal: one of them is not theirs to put in force.
    """
    record = pen.journal.record()
    if record.founded is None:
        return pen
    case = case_of(pen, record)
    for kind, body in bodies:
        barred = may(ADOPTING[kind], pen.author, case)
        if barred is not None:
            note_attempt(pen, ADOPTING[kind], rule=barred.rule)
            raise Refusal(
                f"{kind.split('.')[0]} {body.id} was not put in force.",
                rule=barred.rule,
                who_could=barred.who_could,
                safe="Nothing was changed; the attempt is in the record.",
            )
    says = [line for kind, body in bodies for line in told((body,), kind)]
    return with_key(pen, record, tuple(dict.fromkeys(says)))


def body_of(paper: Paper) -> Adopted:
    """What is written of a paper: its text, and its value by digest."""
    value = to_plain(paper.value)
    digest = hashlib.sha256(canonical(value)).hexdigest()
    return Adopted(
        id=paper.id,
        revision=paper.revision,
        fit=paper.fit,
        digest=digest,
        text=paper.text,
        value=value,
    )


def _refuse_silent_change(journal: Journal, kind: str, body: Adopted) -> None:
    if kind != "checklist.adopted":
        return
    for known in adopted(journal, kind):
        same = (known.fit, known.id, known.revision) == (body.fit, body.id, body.revision)
        if same and known.digest != body.digest:
            raise Refusal(
                f"{body.id} revision {body.revision} is in the record already, with another text.",
                rule="a changed list gets a new revision",
                safe="Nothing was written.",
                hint="Raise `revision` in the file.",
            )


def adopted(journal: Journal, kind: str) -> tuple[Adopted, ...]:
    """Everything of one kind ever adopted, oldest first."""
    found = (decode(entry) for entry in journal.entries(kind=kind))
    return tuple(body for body in found if isinstance(body, Adopted))


def lists(journal: Journal) -> Lists:
    """The fits and lists of the record; each is read when it is first asked for.

    Nothing is in force that somebody adopted who might not. A withdrawal counts whoever wrote it:
    nobody walks what may have been withdrawn; where they might not, its reason says so.
    """
    record = journal.record()
    every = list(_heads(journal, "checklist.adopted"))
    counts = [(head, line) for head, line in every if entitled(line, record)]
    newest = {(head["fit"], head["id"]): head["digest"] for head, _ in counts}
    every_fit = _heads(journal, "fit.adopted")
    fits = {head["id"]: line for head, line in every_fit if entitled(line, record)}
    by_digest = Unread(Checklist, {head["digest"]: line for head, line in every})
    counted, doubtful = _withdrawals(journal)
    withdrawn = {body.digest: body for body in (*doubtful, *counted)}
    in_force = (digest for digest in newest.values() if digest not in withdrawn)
    return Lists(
        fits=Unread(Fit, fits),
        by_digest=by_digest,
        current={digest: by_digest[digest] for digest in in_force},
        withdrawn=withdrawn,
        doubted=frozenset(withdrawn) - {body.digest for body in counted},
    )


def _heads(journal: Journal, kind: str) -> Iterator[tuple[Mapping[str, str], Entry]]:
    """Each adoption, with what it says of its file: the fields that stand before the text.

    The files of years are told apart by them, and few are wanted whole.
    """
    for line in journal.entries(kind=kind):
        if (kind, line.version) in KINDS:
            try:
                told = json.loads(line.body.partition(b',"text":')[0] + b"}")
                yield {name: told[name] for name in ("digest", "fit", "id")}, line
            except NOT_FOLDED as error:
                raise misread(line, error) from error


class Unread(Mapping[str, T]):
    """What was adopted, by name; each is read from its line when it is first asked for."""

    def __init__(self, cls: type[T], lines: Mapping[str, Entry]) -> None:
        self._cls, self._lines = cls, lines
        self._read: dict[str, T] = {}

    def __getitem__(self, name: str) -> T:
        if name not in self._read:
            body = cast(Adopted, decode(self._lines[name]))
            self._read[name] = content(self._cls, body.value)
        return self._read[name]

    def __contains__(self, name: object) -> bool:
        return name in self._lines

    def __iter__(self) -> Iterator[str]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)


def withdrawals(journal: Journal) -> tuple[Withdrawn, ...]:
    """Every withdrawal of a list, oldest first, those by somebody who might not before the rest.

    The reason of such a one says by whom, and to ask the lead.
    """
    counts, doubtful = _withdrawals(journal)
    return (*doubtful, *counts)


def _withdrawals(journal: Journal) -> tuple[list[Withdrawn], list[Withdrawn]]:
    """Those that count as they stand, and those by somebody who might not."""
    record, counts, doubtful = journal.record(), list[Withdrawn](), list[Withdrawn]()
    for line in journal.entries(kind="checklist.withdrawn"):
        body = decode(line)
        if not isinstance(body, Withdrawn):
            continue
        if entitled(line, record):
            counts.append(body)
        else:
            told = f"{body.reason} (by {line.author}, who may not withdraw it: ask the lead)"
            doubtful.append(replace(body, reason=told))
    return counts, doubtful


def the_fleet(journal: Journal) -> Fleet:
    """The fleet in force, with every airframe that an earlier file listed.

    Raises:
        NotThere: no fleet was loaded yet.
    """
    fleet: Fleet | None = None
    counts, adds = _fleet_files(journal)
    for line in (*counts, *adds):
        loaded = decode(line)
        if isinstance(loaded, Adopted):
            fleet = with_more(fleet, content(Fleet, loaded.value))
    if fleet is None:
        raise NotThere(
            "This record knows no fleet yet.", hint="Load one: hardstand fleet load FLEET.yaml"
        )
    return fleet


def _fleet_files(journal: Journal) -> tuple[list[Entry], list[Entry]]:
    """The fleet files that count, newest first; and those that only add, oldest first."""
    record, counts, adds = journal.record(), list[Entry](), list[Entry]()
    for line in journal.entries(kind="fleet.loaded"):
        (counts if entitled(line, record) else adds).append(line)
    return counts[::-1], adds


def type_and_gear(journal: Journal, name: str) -> tuple[AirframeType, Mapping[str, Gear]]:
    """An airframe type and the gear by the fleet in force, as `the_fleet` has them.

    No airframe is read for it: a walk asks, and fleets are large.

    Raises:
        NotThere: no fleet was loaded yet that has such a type.
    """
    gear: Mapping[str, Gear] | None = None
    counts, adds = _fleet_files(journal)
    for line in (*counts, *adds):
        loaded = decode(line)
        if not isinstance(loaded, Adopted):
            continue
        if gear is None:
            gear = content(dict[str, Gear], loaded.value.get("gear") or {})
        if name in loaded.value["types"]:
            return content(AirframeType, loaded.value["types"][name]), gear
    raise NotThere(
        f"No fleet file of this record has a type {name}.",
        hint="Load one: hardstand fleet load FLEET.yaml",
    )


def listed_fleet(journal: Journal) -> Fleet:
    """The fleet in force as its file lists it.

    Raises:
        NotThere: no fleet was loaded yet.
    """
    fleet, left = the_fleet(journal), journal.record().left
    return replace(fleet, airframes={t: a for t, a in fleet.airframes.items() if t not in left})


def shown(journal: Journal, list_id: str) -> tuple[Adopted, ...]:
    """The newest adopted text of the list named, or of every list and fit when none is.

    Raises:
        NotThere: no list of that id was adopted.
    """
    every = (*adopted(journal, "fit.adopted"), *adopted(journal, "checklist.adopted"))
    newest = tuple({(a.fit, a.id, bool(a.revision)): a for a in every}.values())
    found = tuple(a for a in newest if not list_id or (a.id == list_id.upper() and a.revision))
    if not found and list_id:
        raise NotThere(
            f"No list {list_id} was adopted into this record.",
            hint="`hardstand checklist show` names those that were.",
        )
    return found
