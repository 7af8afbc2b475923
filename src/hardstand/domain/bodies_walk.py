"""What is said at a walk besides answers, as bodies: past-tense facts."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class StepHeld:
    """A listening step was left open with an ear on it; only its own answer closes it."""

    step: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What was answered at a step of a practice."""

    step: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Practised:
    """A walk was practised: it belongs to no airframe and counts for nothing.

    `answers` are in the order of answering; `finished` says that it went to its end.
    """

    typed: str
    checklist: str
    revision: str
    answers: tuple[Said, ...]
    finished: bool = False
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class Guided:
    """A person chose how much is said around the steps of a zone."""

    fit: str
    zone: str
    level: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """Words to the author of a list about one of its steps: a change, or where the manual differs.

    `digest` pins the list as it was walked.
    """

    checklist: str
    revision: str
    digest: str
    step: str
    text: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalAnswered:
    """What came of a proposal; `of` is the digest of its line."""

    of: str
    taken: bool
    text: str
    by: By
