"""Values marked `example: true`, which a live record does not take."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import Fleet
from hardstand.domain.plain import defaults_of, has_fields
from hardstand.formats.located import Node, Path, named
from hardstand.formats.rules import Remark, judged
from hardstand.formats.shape import Loaded


def examples(value: Checklist | Fit | Fleet) -> tuple[Path, ...]:
    """The paths of the parts marked as examples, in the order of the fields."""
    return tuple(_marked(value, ()))


def example_findings(loaded: Loaded[Checklist | Fit | Fleet]) -> tuple[Diagnostic, ...]:
    """One error for each example in the file, at the line that says so."""
    root, value = loaded.root, loaded.value
    if value is None or root is None:
        return ()
    bare = dataclasses.replace(loaded, findings=())
    return judged(bare, (_remark(root, path) for path in examples(value))).findings


def _remark(root: Node, path: Path) -> Remark:
    return Remark(
        code="HS295",
        path=(*path, "example"),
        message=f"{named(root, path)} is an example",
        hint="put in the value of your approved manual or list, have a second person check it, "
        "and take `example: true` out; a demo record takes examples",
        on_key=True,
    )


def _marked(value: object, path: Path) -> Iterator[Path]:
    if has_fields(type(value)):
        if getattr(value, "example", False) is True:
            yield path
        for name in defaults_of(type(value)):
            yield from _marked(getattr(value, name), (*path, name.removesuffix("_")))
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from _marked(inner, (*path, index))
    elif isinstance(value, Mapping):
        if value.get("example") == "true" and "name" in value:  # `judge`, whose values are texts
            yield path
        for key, inner in value.items():
            yield from _marked(inner, (*path, key))
