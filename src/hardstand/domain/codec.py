"""What an entry says, to bytes and back: the registry of bodies applied."""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Hashable, Mapping
from typing import Any, cast

from hardstand.domain.bodies import KINDS, Adopted, Body, LineMoved, Unknown
from hardstand.domain.entry import Entry
from hardstand.domain.plain import NOT_READ, T, builder, canonical, from_plain, to_plain
from hardstand.errors import Damaged, NewerFormat

_recent = deque[tuple[object, bytes]](maxlen=8)
"""The bodies encoded last: what is looked ahead to is encoded before its key is pressed. A move is
folded at once, and known by its bytes; nothing in one has an order that its bytes have not."""


def encode(body: object) -> bytes:
    """The canonical bytes of a body."""
    for known, found in _recent:
        if known is body:
            return found
    found = canonical(to_plain(body))
    _recent.append((body, found))
    return found


def decode(entry: Entry) -> Body | Unknown:
    """What an entry says; Unknown if this version has no class for its kind and version.

    Raises:
        Damaged: the stored bytes are not the JSON of such a body.
    """
    cls = KINDS.get((entry.kind, entry.version))
    if cls is None:
        return Unknown(kind=entry.kind, version=entry.version)
    if cls is LineMoved:
        for known, found in _recent:
            if found is entry.body and isinstance(known, LineMoved):
                return known
    try:
        tree = json.loads(str(entry.body, "utf-8", "surrogatepass"))
        return cast(Body, builder(cast(Hashable, cls))(tree))
    except NOT_READ as error:
        raise misread(entry, error) from error


def content(cls: type[T], tree: Mapping[str, Any]) -> T:
    """What an adopted file says; `tree` is all of it, or a part.

    Raises:
        NewerFormat: it holds what this version does not know, so a newer one adopted it.
    """
    try:
        return from_plain(cls, tree)
    except NOT_READ as error:
        raise NewerFormat(
            f"A file adopted in this record does not read here: {error}.",
            safe="Nothing was written; the record is as it was.",
            hint="Use the newer hardstand by which it was adopted.",
        ) from error


NOT_FOLDED = (*NOT_READ, LookupError)
"""What a fold raises over a body whose fields hold what this program never wrote there."""


def misread(entry: Entry, error: Exception) -> Damaged:
    """The stop at a line that says what no line can say."""
    return Damaged(
        f"Line {entry.ref} of the record does not read: {error}.",
        safe="Nothing was written.",
        hint="Run `hardstand record verify`; keep this file.",
    )


def kind_of(body: Body, adopted: str = "") -> tuple[str, int]:
    """The stored kind and version of a body; `adopted` names which of the adopted kinds."""
    return (adopted, 1) if isinstance(body, Adopted) else _KIND_OF[type(body)]


_KIND_OF = {cls: kind for kind, cls in KINDS.items() if cls is not Adopted}
"""A body is written in its newest form, the last in KINDS."""
