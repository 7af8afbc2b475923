"""The hash chain of each device: how an entry is sealed, and what is wrong with a stored chain.

digest = SHA-256 over every field but the signature: a header of nine lines, each ended by LF, the
32 bytes of `prev`, then the body as stored. docs/reference/record-format.md is the byte-exact
text of this.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from hardstand.domain.entry import Entry

ZERO = bytes(32)
"""`prev` of the first entry of a chain."""

_MARK = b"hardstand/entry/1\n"


@dataclass(frozen=True, slots=True)
class Head:
    """The last entry of a device's chain: how far it goes, and its digest and tick."""

    seq: int = 0
    digest: bytes = ZERO
    tick: int = 0


@dataclass(frozen=True, slots=True)
class Break:
    """One place where a chain does not hold: device, seq, and what is wrong there."""

    device: str
    seq: int
    what: str

    def __str__(self) -> str:
        return f"device {self.device}, seq {self.seq}: {self.what}"


def preimage(entry: Entry) -> bytes:
    """The bytes that the digest is over."""
    header = (
        f"{entry.device}\n{entry.seq}\n{entry.tick}\n{entry.at}\n{entry.author}\n"
        f"{entry.airframe or ''}\n{entry.walk or ''}\n{entry.kind}\n{entry.version}\n"
    )
    return _MARK + header.encode("utf-8", "surrogatepass") + entry.prev + entry.body


def digest_of(entry: Entry) -> bytes:
    """The digest an entry must have."""
    return hashlib.sha256(preimage(entry)).digest()


def seal(entry: Entry) -> Entry:
    """The entry with its digest, which makes it part of the chain after `prev`.

    Raises:
        ValueError: a header field holds a line end, which would make two entries look alike.
    """
    if not _header_is_clean(entry):
        raise ValueError("a header field of an entry cannot hold a line end or be empty text")
    return replace(entry, digest=digest_of(entry))


def _header_is_clean(entry: Entry) -> bool:
    texts = (entry.device, entry.at, entry.author, entry.kind)
    optional = (entry.airframe, entry.walk)
    return all(t and "\n" not in t for t in texts) and all(
        t is None or (t and "\n" not in t) for t in optional
    )


def verify(entries: Iterable[Entry], heads: Mapping[str, Head]) -> Iterator[Break]:
    """Every place where stored chains do not hold.

    Args:
        entries: all entries, by device and then seq.
        heads: what the record keeps as the last entry of each device.
    """
    last: dict[str, Head] = {}
    for entry in entries:
        before = last.get(entry.device, Head())
        wrong = _wrong_link(entry, before)
        if wrong:
            yield Break(entry.device, entry.seq, wrong)
        last[entry.device] = Head(entry.seq, entry.digest, entry.tick)
    for device in sorted(last.keys() | heads.keys()):
        end, kept = last.get(device, Head()), heads.get(device, Head())
        if end != kept:
            yield Break(device, max(end.seq, kept.seq), _wrong_end(end, kept))


def _wrong_link(entry: Entry, before: Head) -> str:
    if entry.seq != before.seq + 1:
        return f"expected seq {before.seq + 1} here; a line is missing or out of place"
    if entry.prev != before.digest:
        return "does not follow the line before it"
    if not _header_is_clean(entry) or len(entry.prev) != len(ZERO):
        return "a field holds what no line of a record can hold"
    if digest_of(entry) != entry.digest:
        return "was changed after it was written"
    if entry.tick <= before.tick:
        return "its tick does not come after the line before it"
    return ""


def _wrong_end(end: Head, kept: Head) -> str:
    if end.seq < kept.seq:
        return f"the chain ends at seq {end.seq}, the record remembers seq {kept.seq}"
    return "the record remembers another end of this chain"
