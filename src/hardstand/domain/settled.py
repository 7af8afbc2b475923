"""What a reply at a step comes to, before it is written: the answer and how it was reached."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.bodies import Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """An answer with everything that is kept about it; see `bodies.StepAnswered` for the fields.

    Attributes:
        step: the step that is answered, where it is not the one asked.
        undone: steps whose answers no longer count, to be taken again.
        takes: what a FAULT takes, where the list alone cannot know; None for what it says.
        detail: what a new entry says after the list's own words; told, not stored.
        look_at: what to look at next, nearest first; told, not stored.
    """

    answer: Answer
    step: str = ""
    state: str = ""
    value: str = ""
    unit: str = ""
    typed: str = ""
    earlier: tuple[str, ...] = ()
    reason: str = ""
    words: str = ""
    evidence: str = ""
    meter: str = ""
    limit: str = ""
    verdict: str = ""
    basis: str = ""
    judged: tuple[str, ...] = ()
    proved: tuple[str, ...] | None = None
    takes: tuple[str, ...] | None = None
    undone: tuple[str, ...] = ()
    detail: str = ""
    look_at: tuple[str, ...] = ()


def pairs(judged: tuple[str, ...]) -> dict[str, str]:
    """The inputs of a stored judgement, by key."""
    return dict(part.split("=", 1) for part in judged[1:])


def kept(name: str, **inputs: str) -> tuple[str, ...]:
    """A judgement as it is stored: its name, then its inputs as KEY=VALUE; empty ones left out."""
    return (name, *(f"{key}={value}" for key, value in inputs.items() if value))
