"""Put fits and lists in force: by their author and a second person who read them.

A revision that asks over a tenth more than the one in force says why; one that was withdrawn does
not come back under its name.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from hardstand.domain.authority import may
from hardstand.domain.checklist import Checklist
from hardstand.domain.entry import Entry
from hardstand.domain.ids import is_initials
from hardstand.domain.revision import changes, unexplained
from hardstand.errors import Refusal, Usage
from hardstand.flows.adopting import Lists, Paper, adopt, body_of, lists, seconded
from hardstand.flows.pen import Pen
from hardstand.flows.recording import note_attempt
from hardstand.flows.signing import case_of, told, with_key


def approve(pen: Pen, papers: Sequence[Paper], second: str) -> tuple[Entry, ...]:
    """Write fits and lists into the record, each seconded, all of them or none.

    Raises:
        Usage: the second person is not named.
        Refusal: the second person is the first, or may not second; a revision asks much more and
            does not say why; or it was withdrawn.
    """
    who = _second_person(pen, second)
    known = lists(pen.journal)
    for paper in papers:
        if isinstance(paper.value, Checklist):
            _refuse_withdrawn(known, paper)
            _refuse_growth(known, paper.value)
    return adopt(pen, papers, second=_second_pen(pen, who, papers))


def _second_person(pen: Pen, typed: str) -> str:
    second = typed.strip().upper()
    if not is_initials(second):
        raise Usage(
            f"--second {typed!r} names nobody." if typed else "A second person is needed.",
            hint="Whoever read the text against the approved manual: --second DQ",
        )
    if second == pen.author:
        raise Refusal(
            f"{second} is the author and cannot be the second person too.",
            rule="what is put in force was read by two people",
            who_could=f"anybody but {second}",
            safe="Nothing was written.",
        )
    return second


def _second_pen(pen: Pen, who: str, papers: Sequence[Paper]) -> Pen:
    """The pen of the second person, their key unlocked where people are enrolled."""
    record, second = pen.journal.record(), replace(pen, author=who)
    if record.founded is None:
        return second
    barred = may("second", who, case_of(pen, record))
    if barred is not None:
        note_attempt(pen, "second", rule=barred.rule)
        raise Refusal(
            f"{who} does not second these.",
            rule=barred.rule,
            who_could=barred.who_could,
            safe="Nothing was changed; the attempt is in the record.",
        )
    known = lists(pen.journal)
    says = [line for p in papers for line in _against(known, p)]
    says += [line for p in papers for line in told((seconded(body_of(p), who),))]
    return with_key(second, record, tuple(dict.fromkeys(says)))


def _against(known: Lists, paper: Paper) -> Iterator[str]:
    """What a list does otherwise than the one in force, counted, for whoever is to sign it."""
    old = _in_force(known, paper.value) if isinstance(paper.value, Checklist) else None
    if old is None or not isinstance(paper.value, Checklist):
        return
    did = changes(old, paper.value)
    steps = (
        ("added", did.added), ("removed", did.removed), ("moved", did.moved),
        ("changed", did.edited),
    )  # fmt: skip
    said = [f"{len(found)} {word}" for word, found in steps if found]
    said += [f"zone {name}" for name, _ in did.zones] + [*did.listed]
    yield (
        f"{paper.id} {paper.revision} against {old.revision}: {', '.join(said) or 'no difference'}."
        " `hardstand checklist compare` shows each."
    )


def _in_force(known: Lists, new: Checklist) -> Checklist | None:
    """The revision that a list would follow."""
    same = (c for c in known.current.values() if (c.fit, c.id) == (new.fit, new.id))
    return next(same, None)


def _refuse_withdrawn(known: Lists, paper: Paper) -> None:
    withdrawn = known.withdrawn.get(body_of(paper).digest)
    if withdrawn is not None:
        raise Refusal(
            f"{paper.id} revision {paper.revision} was withdrawn: {withdrawn.reason}",
            rule="what was withdrawn comes back mended, under a new revision",
            safe="Nothing was written.",
            hint="Mend it and raise `revision` in the file.",
        )


def _refuse_growth(known: Lists, new: Checklist) -> None:
    """Stop a revision that asks over a tenth more than the one in force without saying why."""
    old = _in_force(known, new)
    if old is None or old.revision == new.revision:
        return
    grown = unexplained(old, new)
    if grown:
        named = ", ".join(f"{m.name} {_plain(m.old)} to {_plain(m.new)}" for m in grown)
        raise Refusal(
            f"{new.id} {new.revision} asks over a tenth more than {old.revision}: {named}.",
            rule="burden that nobody can give a reason for is walked past",
            safe="Nothing was written.",
            hint="Say why under `revision_reason`, or take something out.",
        )


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"
