"""Puts what a proof of the domain found at its place in the file of a list or of its fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.finding import Finding
from hardstand.formats.located import Items, Keys, Node, Path, steps_down
from hardstand.formats.rules import Remark, judged
from hardstand.formats.shape import Loaded

IN_FIT = "fit."
"""How the field of a finding begins that stands in the fit, not in the list."""


def in_list(checklist: Loaded[Checklist], findings: Iterable[Finding]) -> Loaded[Checklist]:
    """The file of a list with those findings, each at the value it is about."""
    return judged(checklist, [_remark(f, _path(checklist, f)) for f in findings])


def in_fit(fit: Loaded[Fit], findings: Iterable[Finding]) -> Loaded[Fit]:
    """The file of a fit with those findings, each at the value it is about."""
    paths = ((f, _resolved(fit.root, (), f.field.removeprefix(IN_FIT))) for f in findings)
    return judged(fit, [_remark(f, path) for f, path in paths])


def _remark(found: Finding, path: Path) -> Remark:
    return Remark(
        code=found.code,
        level=found.level,
        path=path,
        message=found.message,
        hint=found.hint,
        on_key=True,
        reason=found.reason,
    )


def _path(loaded: Loaded[Checklist], found: Finding) -> Path:
    if not found.step:
        return _resolved(loaded.root, (), found.field)
    steps = loaded.value.steps if loaded.value else ()
    indexes = (index for index, step in enumerate(steps) if step.id == found.step)
    return _resolved(loaded.root, ("steps", next(indexes, 0)), found.field)


def _resolved(root: Node | None, path: Path, dotted: str) -> Path:
    """The path a dotted text means below another, though keys may hold points themselves."""
    words = dotted.split(".") if dotted else []
    while words and root is not None:
        step = next(_candidates(root, path, words), None)
        if step is None:
            break
        part, used = step
        path, words = (*path, part), words[used:]
    return path


def _candidates(root: Node, path: Path, words: list[str]) -> Iterator[tuple[str | int, int]]:
    node = [root, *(n for _, n in steps_down(root, path))][-1]
    if isinstance(node, Items) and words[0].isdigit():
        yield int(words[0]), 1
    for used in range(len(words), 0, -1):
        key = ".".join(words[:used])
        if isinstance(node, Keys) and key in node.entries:
            yield key, used
