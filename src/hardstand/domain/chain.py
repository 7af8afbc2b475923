"""The hash chain of each device: how an entry is sealed, and what is wrong with a stored chain.

digest = SHA-256 over every field but the signature: a header of nine lines, each ended by LF, the
32 bytes of `prev`, then the body as stored. docs/reference/record-format.md is the byte-exact
text of this.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256

from hardstand.domain.entry import Entry, Line

ZERO = bytes(32)
"""`prev` of the first entry of a chain."""

_MARK = b"hardstand/entry/1\n"
_HEADER_LINES = 10
"""Line ends in a header, that of the mark included."""


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
    return sha256(preimage(entry)).digest()


def seal(entry: Entry) -> Entry:
    """The entry with its digest, which makes it part of the chain after `prev`.

    Raises:
        ValueError: a header field holds a line end, which would make two entries look alike.
    """
    if not _header_is_clean(entry):
        raise ValueError("a header field of an entry cannot hold a line end or be empty text")
    return entry._replace(digest=digest_of(entry))


def _header_is_clean(entry: Entry) -> bool:
    optional = [text for text in (entry.airframe, entry.walk) if text is not None]
    texts = (entry.device, entry.at, entry.author, entry.kind, *optional)
    return all(texts) and "\n" not in "".join(texts)


def holds(entry: Entry) -> bool:
    """Whether an entry is by itself what was sealed; its place in a chain is another question."""
    try:
        return _header_is_clean(entry) and digest_of(entry) == entry.digest
    except TypeError:
        return False


def verify(lines: Iterable[Line | Entry], heads: Mapping[str, Head]) -> Iterator[Break]:
    """Every place where stored chains do not hold.

    A line that holds costs one digest and no object: a record of millions is verified in one go.

    Args:
        lines: all entries, by device and then seq; as entries, or as their fields in order.
        heads: what the record keeps as the last entry of each device.
    """
    ends: dict[str, Head] = {}
    device, end_seq, end_digest, end_tick = "", 0, ZERO, 0
    for line in lines:
        own, seq, tick, at, author, airframe, walk, kind, version, body, prev, digest, _ = line
        if own != device:
            ends[device] = Head(end_seq, end_digest, end_tick)
            device, (end_seq, end_digest, end_tick) = own, _as_tuple(ends.get(own, Head()))
        header = (
            f"hardstand/entry/1\n{own}\n{seq}\n{tick}\n{at}\n{author}\n"
            f"{airframe or ''}\n{walk or ''}\n{kind}\n{version}\n"
        )
        if not (
            own
            and seq == end_seq + 1
            and prev == end_digest
            and tick > end_tick
            and header.count("\n") == _HEADER_LINES
            and at and author and kind and airframe != "" and walk != "" and type(body) is bytes
            and sha256(header.encode("utf-8", "surrogatepass") + prev + body).digest() == digest
        ):  # fmt: skip
            entry = line if isinstance(line, Entry) else Entry(*line)
            yield Break(own, seq, _wrong_link(entry, Head(end_seq, end_digest, end_tick)))
        end_seq, end_digest, end_tick = seq, digest, tick
    ends[device] = Head(end_seq, end_digest, end_tick)
    yield from _wrong_ends(ends, heads)


def _as_tuple(head: Head) -> tuple[int, bytes, int]:
    return head.seq, head.digest, head.tick


def _wrong_ends(ends: Mapping[str, Head], heads: Mapping[str, Head]) -> Iterator[Break]:
    for device in sorted((ends.keys() | heads.keys()) - {""}):
        end, kept = ends.get(device, Head()), heads.get(device, Head())
        if end != kept:
            yield Break(device, max(end.seq, kept.seq), _wrong_end(end, kept))


def _wrong_link(entry: Entry, before: Head) -> str:
    if entry.seq != before.seq + 1:
        return f"expected seq {before.seq + 1} here; a line is missing or out of place"
    if entry.prev != before.digest:
        return "does not follow the line before it"
    if not _header_is_clean(entry) or not isinstance(entry.body, bytes):
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
