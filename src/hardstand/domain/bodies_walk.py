"""What is said at a walk besides answers, as bodies: past-tense facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class StepHeld:
    """A listening step was left open with an ear on it; only its own answer closes it."""

    step: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class Practised:
    """A walk was practised: it belongs to no airframe and counts for nothing.

    `answers` maps steps to what was answered; `finished` says that it went to its end.
    """

    typed: str
    checklist: str
    revision: str
    answers: Mapping[str, str]
    finished: bool = False
    by: By
