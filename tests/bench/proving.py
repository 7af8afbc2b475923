"""Everything the check proves of one list of eighty steps, against the two seconds promised."""

from __future__ import annotations

from collections.abc import Iterator

from bench.timing import Figure, rounds
from domain.proofs.eighty import kit, ordinary, worst
from hardstand.domain.checklist import Checklist
from hardstand.flows.checking import PROOFS

ROUNDS = 3
GOAL_S = 2.0


def proving() -> Iterator[Figure]:
    """The whole check of an ordinary list and of the worst one, in seconds."""
    for what, listed in (("as lists are", ordinary()), ("all open at once", worst())):
        yield _proved(what, listed)


def _proved(what: str, listed: Checklist) -> Figure:
    found = sum(1 for proof in PROOFS for _ in proof(listed, kit()))

    def prove() -> None:
        for proof in PROOFS:
            tuple(proof(listed, kit()))

    times = rounds({"prove": prove}, ROUNDS)
    return Figure(
        what=f"prove {len(listed.steps)} steps, {what}", floor="a person waiting",
        ratio=min(times["prove"]), goal=GOAL_S, unit="s",
        note=f"{len(listed.zones)} zones, 12 items, {found} findings",
    )  # fmt: skip
