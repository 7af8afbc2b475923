"""Puts what a proof of the domain found at its place in the files of a list and its fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.finding import Finding
from hardstand.formats.located import Keys, Node, Path, steps_down
from hardstand.formats.rules import Remark, judged
from hardstand.formats.shape import Loaded

_IN_FIT = "fit."


def with_proofs(
    checklist: Loaded[Checklist], fit: Loaded[Fit], findings: Iterable[Finding]
) -> tuple[Loaded[Checklist], Loaded[Fit]]:
    """Both files, each with the findings that belong to it."""
    in_list: list[Remark] = []
    in_fit: list[Remark] = []
    for found in findings:
        if not found.step and found.field.startswith(_IN_FIT):
            in_fit.append(_remark(found, _resolved(fit.root, found.field.removeprefix(_IN_FIT))))
        else:
            in_list.append(_remark(found, _path(checklist, found)))
    return judged(checklist, in_list), judged(fit, in_fit)


def _remark(found: Finding, path: Path) -> Remark:
    return Remark(
        code=found.code,
        level=found.level,
        path=path,
        message=found.message,
        hint=found.hint,
        on_key=True,
    )


def _path(loaded: Loaded[Checklist], found: Finding) -> Path:
    if not found.step:
        return _resolved(loaded.root, found.field)
    steps = loaded.value.steps if loaded.value else ()
    indexes = (index for index, step in enumerate(steps) if step.id == found.step)
    path: Path = ("steps", next(indexes, 0))
    return (*path, found.field) if found.field else path


def _resolved(root: Node | None, dotted: str) -> Path:
    """The path a dotted text means in the tree, though keys may hold points themselves."""
    path: Path = ()
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
    if not isinstance(node, Keys):
        if words[0].isdigit():
            yield int(words[0]), 1
        return
    for used in range(len(words), 0, -1):
        key = ".".join(words[:used])
        if key in node.entries:
            yield key, used
