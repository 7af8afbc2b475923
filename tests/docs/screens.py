"""Screens of a walk for the pages, taken from walks of the demo morning as they are today."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from hardstand.domain.asking import Ask
from hardstand.views.walk_screen import lines
from human_factors.camera import Rows, pen_at_dawn, taken
from human_factors.watched import watched

TAIL = "QM-161"
Taking = Callable[[int, int], Rows]


def screen(name: str) -> str:
    """The fenced screen called `NAME` or `NAME COLUMNSxROWS`, at 80 by 24 unless told otherwise."""
    title, _, size = name.partition(" ")
    columns, _, rows = (size or "80x24").partition("x")
    return "```text\n" + "\n".join(SCREENS[title](int(columns), int(rows))) + "\n```"


def plain(name: str) -> str:
    """The fenced screen of that name as a pipe or a screen reader has it."""
    question = _asked(name)
    told = [*lines(question, 80, drawn=False), question.prompt]
    return "```text\n" + "\n".join(told) + "\n```"


def _asked(name: str) -> Ask:
    assert name == "step", "only the step is shown in plain words"
    seen = watched(pen_at_dawn(), TAIL, until="comp-crystals")
    return seen.at("4.02 Pull TR-V").question


@cache
def _whole(columns: int, rows: int) -> tuple[Rows, ...]:
    """A walk in which one latch is found loose and a cowl was opened that nobody planned."""
    odd = {
        "comp-latches": ["f", "3"],
        "comp-bonds": ["a", "1", "cowl of the left engine", "o"],
        "pap-end": ["o"],
    }
    pen = pen_at_dawn()
    first = taken(pen, TAIL, odd, until="pap-end", size=(columns, rows))
    return tuple(first)


@cache
def _left(columns: int, rows: int) -> tuple[tuple[Rows, ...], tuple[Rows, ...]]:
    """A walk left in the middle of a call, and gone on with."""
    pen, size = pen_at_dawn(), (columns, rows)
    away = taken(pen, TAIL, until="op-call-1", then=["b", "1", "b", "1"], size=size)
    back = taken(pen, TAIL, until="op-call-1", size=size)
    return tuple(away), tuple(back)


def _first(screens: tuple[Rows, ...], *words: str) -> Rows:
    for rows in screens:
        told = " ".join(" ".join(rows).split())
        if all(word in told for word in words):
            return rows
    raise AssertionError(f"no screen holds {words}")


def _close(columns: int, rows: int) -> tuple[Rows, ...]:
    """The close of a walk in which something nobody planned is still open."""
    pen, size = pen_at_dawn(), (columns, rows)
    odd = {"comp-bonds": ["a", "1", "cowl of the left engine", "o"]}
    taken(pen, TAIL, odd, until="pap-end", size=size)
    return tuple(taken(pen, TAIL, {"pap-end": ["o", "told MS", "1", "c"]}, size=size))


SCREENS: dict[str, Taking] = {
    "step": lambda c, r: _first(_whole(c, r), "4.02 Pull TR-V", "LAST 4.01"),
    "caution": lambda c, r: _first(_whole(c, r), "CAUTION (equipment)", "8.01 "),
    "gate": lambda c, r: _first(_whole(c, r), "7.01 ", "WARNING"),
    "warned": lambda c, r: _first(_whole(c, r), "Rings, watches", "C read, go on"),
    "state": lambda c, r: _first(_whole(c, r), "2.01 Look at the BATTERY", "2 ON"),
    "fault": lambda c, r: _first(_whole(c, r), "Words, or a digit"),
    "leave": lambda c, r: _first(_left(c, r)[0], "is left at"),
    "resume": lambda c, r: _first(_left(c, r)[1], "Back at walk"),
    "close-up": lambda c, r: _first(_close(c, r), "cowl of the left engine: recorded"),
    "finished": lambda c, r: _first(_close(c, r), "looked round, FINISHED"),
}
"""Each screen by its name."""
