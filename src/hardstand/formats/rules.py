"""Rules over a value that has its shape: each yields findings by path; here they get a place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from hardstand.domain.diagnostic import Diagnostic, Level, in_order
from hardstand.formats.located import Mark, Node, Path, place
from hardstand.formats.shape import Loaded

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """What a rule says about a path; `on_key` places it at the key, not at the value.

    The line of `also` is added to the message in brackets, after the words `also_is`. `reason` is
    the author's answer to it, if there is one.
    """

    code: str
    path: Path
    message: str
    hint: str = ""
    level: Level = "error"
    on_key: bool = False
    also: Path | None = None
    also_is: str = "first on line"
    also_on_key: bool = False
    reason: str = ""

    def under(self, path: Path) -> Remark:
        """The same remark about something that stands below `path`."""
        return replace(self, path=(*path, *self.path))


def judged(loaded: Loaded[T], remarks: Iterable[Remark]) -> Loaded[T]:
    """The same file with these remarks added as findings, each at its line and column."""
    placed = tuple(_placed(loaded, f) for f in remarks)
    return replace(loaded, findings=in_order((*loaded.findings, *placed)))


def _placed(loaded: Loaded[T], found: Remark) -> Diagnostic:
    if loaded.root is None:
        line = column = 1
        tail = ""
    else:
        mark = place(loaded.root, found.path, key=found.on_key)
        line, column = mark.line, mark.column
        other = _other(loaded.root, found)
        tail = f" ({found.also_is} {other.line})" if other else ""
    return Diagnostic(
        code=found.code,
        level=found.level,
        message=found.message + tail,
        hint=found.hint,
        line=line,
        column=column,
        answered=bool(found.reason),
        reason=found.reason,
        file=loaded.name,
    )


def _other(root: Node, found: Remark) -> Mark | None:
    if found.also is None:
        return None
    return place(root, found.also, key=found.also_on_key)


def result(loaded: Loaded[T]) -> T | tuple[Diagnostic, ...]:
    """The value if no unanswered error stands against it, else everything found."""
    if loaded.value is not None and loaded.usable:
        return loaded.value
    return loaded.findings
