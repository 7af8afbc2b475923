"""What is said at a walk besides answers, as bodies: past-tense facts."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class StepHeld:
    """A listening step was left open with an ear on it; only its own answer closes it."""

    step: str
    by: By
