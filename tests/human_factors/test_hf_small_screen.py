"""Human-factors WCN-03, PLC-01, PLC-04: the head of every screen stays on it, at 40 by 20 too."""

from __future__ import annotations

import pytest

from human_factors.camera import Rows, pen_at_dawn, taken
from human_factors.test_hf_place import ODD
from human_factors.watched import BOTH, planned


def _without_head(screens: list[Rows], tail: str) -> list[Rows]:
    """Screens of a walk that is begun which do not show the strip's head, or show half of it.

    Where the tail is to be read from the aircraft the head begins after it.
    """
    begun = [rows for rows in screens if any(row.startswith("NEXT") for row in rows)]
    assert len(begun) > len(screens) // 2
    return [rows for rows in begun if not any(row.startswith(_head(rows, tail)) for row in rows)]


def _head(rows: Rows, tail: str) -> tuple[str, ...]:
    blind = "as painted here" in " ".join(rows)
    return ("zone ", "walk A1  zone ") if blind else (f"{tail}  ",)


@pytest.mark.hf("WCN-03", "PLC-01", "PLC-04")
@pytest.mark.parametrize("tail", BOTH)
@pytest.mark.parametrize("size", [(40, 20), (80, 24)], ids=["40x20", "80x24"])
def test_no_screen_of_a_walk_or_of_coming_back_is_higher_than_the_terminal(
    tail: str, size: tuple[int, int]
) -> None:
    pen = pen_at_dawn()
    steps = planned(pen, tail).steps
    call = next(s.id for s in steps if s.kind == "transmit")
    screens = taken(pen, tail, until=call, then=["b", "b", "1"], size=size)
    screens += taken(pen, tail, ODD[tail], until=steps[-1].id, size=size)
    assert _without_head(screens, tail) == []
