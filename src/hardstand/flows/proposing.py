"""Words to the author of a list, from whoever walks it; and what came of them."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant
from hardstand.errors import NotThere
from hardstand.flows.adopting import lists
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.ports import Journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What somebody proposed at a step, with its number in their revision, and the answer."""

    ref: str
    at: Instant
    body: b.Proposed
    number: str
    answer: b.ProposalAnswered | None = None


def propose(pen: Pen, body: b.Proposed) -> None:
    """Keep a proposal; it belongs to no airframe and changes nothing."""
    with pen.journal.write() as writing:
        write(pen, writing, (body,))


def proposals(journal: Journal, list_id: str = "") -> tuple[Proposal, ...]:
    """Every proposal, or those about one list, oldest first, with the last answer to each."""
    answers: dict[str, b.ProposalAnswered] = {}
    for entry in journal.entries(kind="checklist.answered"):
        body = decode(entry)
        if isinstance(body, b.ProposalAnswered):
            answers[body.of] = body
    known = lists(journal).by_digest
    found = []
    for entry in journal.entries(kind="checklist.proposed"):
        body = decode(entry)
        if isinstance(body, b.Proposed) and list_id in {"", body.checklist}:
            walked = known.get(body.digest)
            found.append(
                Proposal(
                    ref=entry.ref,
                    at=entry.at,
                    body=body,
                    number=walked.number(body.step) if walked else "",
                    answer=answers.get(entry.digest.hex()),
                )
            )
    return tuple(found)


def answer(pen: Pen, ref: str, words: str, *, taken: bool, by: By) -> None:
    """Say what came of a proposal, so that whoever made it can see it.

    Raises:
        NotThere: no proposal has that reference.
    """
    asked = ref.strip().upper()
    entry = next((e for e in _proposed(pen.journal) if e.ref == asked), None)
    if entry is None:
        raise NotThere(
            f"{ref} is no proposal of this record.",
            safe="Nothing was written.",
            hint="`hardstand checklist proposals` lists them.",
        )
    body = b.ProposalAnswered(of=entry.digest.hex(), taken=taken, text=words, by=by)
    with pen.journal.write() as writing:
        write(pen, writing, (body,))


def _proposed(journal: Journal) -> list[Entry]:
    return list(journal.entries(kind="checklist.proposed"))
