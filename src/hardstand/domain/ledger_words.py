"""How the ledger proof speaks: ways through a list, and what is wrong on them, in words.

Knows nothing of the search.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.finding import Finding
from hardstand.domain.ledger_paths import Leg, Outcome, condition

_SAID = {"fault": "FAULT", "skipped": "SKIPPED", "blocked": "cannot start"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A finding's words and where they belong: a step and a field of it."""

    step: str
    field: str
    message: str
    hint: str


def last_move(steps: Sequence[Step], item: str, path: tuple[Leg, ...]) -> int:
    """The last step on the way that moved an item; -1 if none did."""
    done = (index for index, outcome in reversed(path) if outcome in {"ok", "fault"})
    return next((index for index in done if item in (steps[index].sets or {})), -1)


def passed_over(
    steps: Sequence[Step], index: int, about: tuple[str, ...], path: tuple[Leg, ...]
) -> tuple[int, int] | None:
    """The fault on the way that passes over the last step giving an item its value; and that step.

    Args:
        steps: the list.
        index: the step that needs it.
        about: the item and the value.
        path: the way.
    """
    left = {place: outcome for place, outcome in path if outcome not in {"true", "false"}}
    for source in range(index - 1, last_move(steps, about[0], path), -1):
        if source not in left and (steps[source].sets or {}).get(about[0]) == about[1]:
            jump = max((place for place in left if place < source), default=-1)
            return (jump, source) if left.get(jump) == "fault" else None
    return None


def comes_late(
    steps: Sequence[Step], index: int, about: tuple[str, ...], path: tuple[Leg, ...]
) -> int | None:
    """The first step after one that gives an item the value it needs, if none before it does."""
    moved = last_move(steps, about[0], path)
    gives = (i for i, s in enumerate(steps) if (s.sets or {}).get(about[0]) == about[1])
    first = next((i for i in gives if i > moved), index)
    return first if first > index else None


class LedgerWords:
    """Words for one list and its fit: step numbers as said aloud, items by their titles."""

    def __init__(self, checklist: Checklist, fit: Fit) -> None:
        self._steps = checklist.steps
        self._fit = fit
        self._numbers = tuple(checklist.number(s.id) for s in checklist.steps)

    def way(self, path: tuple[Leg, ...]) -> str:
        """The way as `1.01 to 1.04, 1.05 FAULT, 3.01`; steps left alike are drawn together."""
        parts: list[str] = []
        run: list[int] = []
        left: Outcome = "ok"
        for index, outcome in (*path, (-1, "absent")):
            if run and (outcome != left or index != run[-1] + 1):
                ends = dict.fromkeys((self._numbers[run[0]], self._numbers[run[-1]]))
                parts.append(f"{' to '.join(ends)} {_SAID.get(left, '')}".rstrip())
                run = []
            if outcome == "ok" or outcome in _SAID:
                run.append(index)
                left = outcome
            elif outcome in {"true", "false"}:
                fact = condition(self._steps[index])[0]
                parts.append(f"where {fact}" if outcome == "true" else f"where not {fact}")
        return ", ".join(parts) or "at the very start"

    def left(self, item: str, value: str, path: tuple[Leg, ...]) -> Told:
        """HS301, put to the step that moved the item away."""
        opener = self._mover(item, path)
        return Told(
            step=self._steps[opener].id,
            field="sets",
            message=f"{self._title(item)} stays {value}: {self.way(path)}, end of the list.",
            hint=self._why_left(item, opener, path),
        )

    def together(self, about: tuple[str, ...], path: tuple[Leg, ...]) -> Told:
        """HS302, put to the step that completes the combination."""
        pairs = zip(about[::2], about[1::2], strict=True)
        stand = " and ".join(f"{self._title(name)} {value}" for name, value in pairs)
        step = self._last(path)
        return Told(
            step=self._steps[step].id,
            field="sets",
            message=f"{stand} stand together: {self.way(path)}.",
            hint="The fit forbids it under never. Ask for the safe value at "
            f"{self._numbers[step]} with must_be, or change the order.",
        )

    def no_close_up(self, about: tuple[str, ...], path: tuple[Leg, ...]) -> Told:
        """HS303, put to the last step done."""
        titles = ", ".join(self._title(name) for name in about)
        return Told(
            step=self._steps[self._last(path)].id,
            field="sets",
            message=f"Nobody could close up safely after {self.way(path)}; away: {titles}.",
            hint="Give these items actions home in the fit, with what each needs, so that an "
            "order exists.",
        )

    def cannot_start(
        self, index: int, about: tuple[str, ...], state: Mapping[str, str], path: tuple[Leg, ...]
    ) -> Told:
        """HS304, put to the step that cannot start."""
        item, value = about
        step, number = self._steps[index], self._numbers[index]
        own = item in (step.must_be or {})
        asks = f"{number} needs" if own else f"The fit's action for {number} needs"
        return Told(
            step=step.id,
            field="must_be" if own else "sets",
            message=f"{asks} {self._title(item)} {value}, but it stands {state[item]}: "
            f"{self.way(path)}, then {number}.",
            hint=self._why_not(index, about, path),
        )

    def _why_not(self, index: int, about: tuple[str, ...], path: tuple[Leg, ...]) -> str:
        """What keeps the value away that a step needs: a fault, the order, or no step at all."""
        number, value = self._numbers[index], about[1]
        passed = passed_over(self._steps, index, about, path)
        if passed is not None:
            jump, source = (self._numbers[i] for i in passed)
            return (
                f"{source} brings it to {value}, but FAULT at {jump} passes over it: send the "
                f"fault to {source} or earlier, or past {number}."
            )
        late = comes_late(self._steps, index, about, path)
        if late is not None:
            said = f"{self._numbers[late]} brings it to {value}, too late"
            return f"{said}: move it before {number}."
        return f"Bring it to {value} before {number} on this way, or pass {number} over."

    def followers(self, steps: tuple[int, ...]) -> str:
        """The steps that cannot start because another cannot; empty if there are none."""
        if not steps:
            return ""
        numbers = ", ".join(self._numbers[index] for index in sorted(steps))
        return f" Because of it these cannot start either: {numbers}."

    def twice(self, index: int, about: tuple[str, ...], path: tuple[Leg, ...]) -> Told:
        """HS305, put to the second step that moves the item away."""
        item, value = about
        return Told(
            step=self._steps[index].id,
            field="sets",
            message=f"{self._numbers[index]} moves {self._title(item)} to {value}, where it "
            f"already stands: {self.way(path)}.",
            hint=f"Ask for {item}: {value} with must_be instead, or bring it home in between.",
        )

    def no_action(self, index: int, about: tuple[str, ...], path: tuple[Leg, ...]) -> Told:
        """HS307, put to the step that makes the move."""
        item, value = about
        to = (self._steps[index].sets or {})[item]
        return Told(
            step=self._steps[index].id,
            field="sets",
            message=f"{self._numbers[index]} moves {self._title(item)} from {value} to {to}, and "
            f"the fit has no such action: {self.way(path)}.",
            hint=f"Add {{from: {value}, to: {to}}} to its actions, with only_with what it needs: "
            "every list is then held to that.",
        )

    def too_many(self, cap: int, unproved: tuple[str, ...]) -> Finding:
        """HS306: what was proved all the same, and what was not."""
        nothing = ", ".join(self._title(name) for name in unproved)
        return Finding(
            code="HS306",
            level="advice",
            step="",
            field="",
            message=f"The list has more than {cap} situations, so each item was followed by "
            "itself: findings that say possibly may never happen, and close-up was not proved "
            "from everywhere." + (f" Nothing was proved about: {nothing}." if nothing else ""),
            hint="Close what is open before opening the next, or split the list.",
        )

    def _title(self, item: str) -> str:
        return self._fit.named(item)

    def _mover(self, item: str, path: tuple[Leg, ...]) -> int:
        """The last step on the way that moved the item."""
        moved = last_move(self._steps, item, path)
        return moved if moved >= 0 else self._last(path)

    @staticmethod
    def _last(path: tuple[Leg, ...]) -> int:
        """The last step done on the way; the first of the list if none was."""
        done = (index for index, outcome in reversed(path) if outcome in {"ok", "fault"})
        return next(done, 0)

    def _why_left(self, item: str, opener: int, path: tuple[Leg, ...]) -> str:
        home = self._fit.items[item].home
        later = enumerate(self._steps[opener + 1 :], start=opener + 1)
        closer = next((i for i, s in later if (s.sets or {}).get(item) == home), None)
        if closer is None:
            return f"No later step brings it to {home}: add one."
        number = self._numbers[closer]
        left_as = {index: outcome for index, outcome in path if outcome not in {"true", "false"}}
        match left_as.get(closer):
            case "blocked":
                return f"{number} brings it to {home}, but cannot start on this way."
            case "absent":
                where = self._steps[closer].applies_if
                return f"{number} brings it to {home}, but only where {where}."
            case _:
                jump = max(i for i in left_as if i < closer)
                return (
                    f"{number} brings it to {home}, but FAULT at {self._numbers[jump]} passes "
                    f"over it: send the fault to {number} or earlier."
                )
