"""Small lists and fits made by rule from a seed, the same on every machine and version."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from domain.proofs.tables import checklist, fit, step
from hardstand.domain.checklist import Action, Checklist, Fit, Item, Step

T = TypeVar("T")

ZONES = ("cockpit", "bay", "antenna")


class Dice:
    """A linear congruential generator: Knuth's MMIX constants."""

    def __init__(self, seed: int) -> None:
        self._state = seed * 2654435761 + 1

    def below(self, limit: int) -> int:
        """A number from 0 to one less than the limit."""
        self._state = (self._state * 6364136223846793005 + 1442695040888963407) % 2**64
        return (self._state >> 33) % limit

    def pick(self, choices: Sequence[T]) -> T:
        """One of the choices."""
        return choices[self.below(len(choices))]

    def chance(self, percent: int) -> bool:
        """True so many times in a hundred."""
        return self.below(100) < percent


def random_fit(dice: Dice, most: int = 3) -> Fit:
    """A fit of one to `most` items of two or three values, with needs and forbidden pairs."""
    names = [f"i{n}" for n in range(1 + dice.below(most))]
    values = {n: ("home", "out", "half")[: 2 + dice.chance(25)] for n in names}
    items = {n: _item(dice, n, values) for n in names}
    never: list[dict[str, str]] = []
    while len(names) > 1 and dice.chance(70) and len(never) < 3:
        pair = [dice.pick(names), dice.pick(names)]
        combination = {n: dice.pick(values[n]) for n in pair}
        if len(combination) == 2 and set(combination.values()) != {"home"}:
            never.append(combination)
    return fit(items, never)


def _item(dice: Dice, name: str, values: dict[str, tuple[str, ...]]) -> Item:
    actions = []
    for from_ in values[name]:
        for to in values[name]:
            if from_ != to and dice.chance(80):
                needs = {}
                if dice.chance(35):
                    other = dice.pick([*values])
                    needs = {other: dice.pick(values[other])} if other != name else {}
                zone = dice.pick(("", *ZONES))
                actions.append(Action(from_=from_, to=to, only_with=needs or None, zone=zone))
    return Item(
        title=name, kind="access", home="home", actions=tuple(actions), hazard=dice.chance(40)
    )


def random_list(
    dice: Dice, kit: Fit, most: int = 7, facts: Sequence[str] = ("f", "g")
) -> Checklist:
    """A list of two to `most` steps over the fit's items, with facts and jumps forward."""
    count = 2 + dice.below(most - 1)
    return checklist(_step(dice, kit, n, count, facts) for n in range(count))


def _step(dice: Dice, kit: Fit, index: int, count: int, facts: Sequence[str]) -> Step:
    names = [*kit.items]
    fields: dict[str, object] = {}
    if dice.chance(70):
        name = dice.pick(names)
        values = kit.items[name].values
        fields["sets"] = {name: dice.pick(values if dice.chance(50) else values[:1])}
    if dice.chance(30):
        name = dice.pick(names)
        fields["must_be"] = {name: dice.pick(kit.items[name].values)}
    if facts and dice.chance(30):
        fields["applies_if"] = ("not " if dice.chance(40) else "") + dice.pick(facts)
    if index + 1 < count and dice.chance(25):
        fields["if_fault"] = f"s{index + 1 + dice.below(count - index - 1)}"
    elif dice.chance(10):
        fields["if_fault"] = "end"
    if index and dice.chance(15):
        fields["after"] = (f"s{dice.below(index)}",)
    return step(f"s{index}", dice.pick(ZONES), **fields)
