"""Screens of a walk as a terminal of a size shows them, taken while somebody walks well."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from unittest import mock

import pyte

from builders import Watch
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.errors import Interrupted
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views import keys
from hardstand.views.prompters import Terminal
from human_factors.watched import DAWN, papers_adopted
from memory import MemoryJournal
from scenarios.stage import Person, plan_at

Rows = tuple[str, ...]


class Camera(Terminal):
    """A terminal without hands: a person gives the keys, and every screen drawn is kept."""

    def __init__(self, person: Person, columns: int, rows: int) -> None:
        self._film = io.StringIO()
        super().__init__(io.StringIO(), self._film)
        self._person = person
        self._size = (columns, rows)
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.Stream(self._screen)
        self.screens: list[Rows] = []

    def ask(self, question: Ask) -> str:
        """Draw as the terminal does; the person's reply."""
        columns, rows = self._size
        with mock.patch.dict(os.environ, {"COLUMNS": str(columns), "LINES": str(rows)}):
            return super().ask(question)

    def at_once(self) -> None:
        """Draw early as the terminal does; there are no keys to drop."""
        columns, rows = self._size
        with (
            mock.patch.dict(os.environ, {"COLUMNS": str(columns), "LINES": str(rows)}),
            mock.patch.object(keys, "drop"),
            mock.patch.object(self._source, "fileno"),
        ):
            super().at_once()

    def show(self, text: str) -> None:
        """Words for the top of the next screen, and for the person."""
        super().show(text)
        self._person.show(text)

    def _answered(self, question: Ask, columns: int, drawn: str = "") -> str:
        self._draw(question, columns, drawn)
        self._stood()
        self._look_ahead()
        self._stream.feed(self._film.getvalue().replace("\n", "\r\n"))
        self._film.seek(0)
        self._film.truncate()
        self.screens.append(tuple(row.rstrip() for row in self._screen.display if row.strip()))
        if question.words == (("C", "read, go on"),):
            return "C"
        return self._person.ask(question)


def pen_at_dawn() -> Pen:
    """A pen on a fresh demo record, at dawn of Monday."""
    journal = MemoryJournal(lines=papers_adopted())
    return Pen(journal=journal, clock=Watch(at=DAWN, step=2), author="IO")


def taken(
    pen: Pen,
    tail: str,
    odd: Mapping[str, Sequence[str]] | None = None,
    *,
    until: str = "",
    then: Sequence[str] = (),
    size: tuple[int, int] = (80, 24),
) -> list[Rows]:
    """The screens of a sitting, in order; see `scenarios.stage.sit`."""
    person = Person(tail, plan_at(pen, tail), dict(odd or {}), until=until, then=then)
    camera = Camera(person, *size)
    with _gone():
        walk(pen, camera, by=By(doer=pen.author))
    return camera.screens


@contextmanager
def _gone() -> Iterator[None]:
    try:
        yield
    except Interrupted:
        return
