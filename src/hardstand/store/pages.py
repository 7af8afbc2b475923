"""Rows read from the bytes of a SQLite file, for when SQLite itself no longer opens it.

Goes through every page by itself, in the file and in the committed part of its log, so that damage
to one page costs the rows on that page only. Whatever it returns must be verified by other means.

Source: sqlite.org/fileformat2.html, sections 1.3, 1.6, 2.1 and 4.1.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import SEEK_END, BytesIO
from pathlib import Path
from typing import BinaryIO

from hardstand.errors import NoRecord

Value = int | str | bytes | None
_LEAF = 13
_INTEGERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_LOG_HEADER, _FRAME_HEADER = 32, 24


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise NoRecord(
            f"{path} cannot be read: {error.strerror}.",
            safe="Nothing was written.",
            hint="Name the damaged record with --record PATH.",
        ) from error


class Pages:
    """The pages of a database file and of the log beside it; both are only read.

    Of a file that is gone the log may be left, and be all there is.
    """

    def __init__(self, path: Path, log: Path) -> None:
        with _told(path):
            self._log: BinaryIO | None = log.open("rb") if log.exists() else None
            gone = self._log is not None and not path.exists()
            self._file: BinaryIO = BytesIO() if gone else path.open("rb")
        size = int.from_bytes(self._file.read(18)[16:18], "big")
        self._size = size if size in {2**n for n in range(9, 16)} else 4096
        self._count = self._file.seek(0, SEEK_END) // self._size
        self._frames = self._committed()

    def close(self) -> None:
        """Give both files back."""
        self._file.close()
        if self._log:
            self._log.close()

    def _committed(self) -> dict[int, list[int]]:
        """Where in the log each page stands, oldest first, up to the last commit."""
        kept: dict[int, list[int]] = {}
        if self._log is None:
            return kept
        salts, pending, at = (
            self._log.read(_LOG_HEADER)[16:24],
            list[tuple[int, int]](),
            _LOG_HEADER,
        )
        while True:
            self._log.seek(at)
            header = self._log.read(_FRAME_HEADER)
            if len(header) < _FRAME_HEADER or header[8:16] != salts:
                return kept
            pending.append((int.from_bytes(header[:4], "big"), at + _FRAME_HEADER))
            if header[4:8] != bytes(4):
                for number, place in pending:
                    kept.setdefault(number, []).append(place)
                pending.clear()
            at += _FRAME_HEADER + self._size

    def _images(self, number: int) -> Iterator[bytes]:
        """What a page is and was, newest first."""
        for place in reversed(self._frames.get(number, ())):
            if self._log:
                self._log.seek(place)
                yield self._log.read(self._size)
        if 0 < number <= self._count:
            self._file.seek((number - 1) * self._size)
            yield self._file.read(self._size)

    def rows(self) -> Iterator[tuple[Value, ...]]:
        """The rows of every table, as far as they read; a row may come more than once."""
        for number in range(1, max(self._count, *self._frames, 0) + 1):
            for image in self._images(number):
                yield from self._rows_on(image, 100 if number == 1 else 0)

    def _rows_on(self, image: bytes, start: int) -> Iterator[tuple[Value, ...]]:
        if len(image) < self._size or image[start] != _LEAF:
            return
        for n in range(int.from_bytes(image[start + 3 : start + 5], "big")):
            at = int.from_bytes(image[start + 8 + 2 * n : start + 10 + 2 * n], "big")
            try:
                yield _values(self._payload(image, at))
            except (IndexError, ValueError):
                continue

    def _payload(self, image: bytes, at: int) -> bytes:
        """The record of a cell, gathered from the pages it runs on to."""
        size, at = _varint(image, at)
        _, at = _varint(image, at)
        most = self._size - 35
        if size <= most:
            return image[at : at + size]
        if size > self._size * (self._count + len(self._frames)):
            raise ValueError("longer than the file")
        least = (self._size - 12) * 32 // 255 - 23
        here = least + (size - least) % (self._size - 4)
        here = here if here <= most else least
        parts, left = [image[at : at + here]], size - here
        following = int.from_bytes(image[at + here : at + here + 4], "big")
        while left > 0:
            page = next(self._images(following), b"")
            if len(page) < self._size:
                raise ValueError("runs on to a page that is not there")
            parts.append(page[4 : 4 + min(left, self._size - 4)])
            left -= self._size - 4
            following = int.from_bytes(page[:4], "big")
        return b"".join(parts)


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where it ends."""
    value = 0
    for n in range(9):
        byte = data[at + n]
        if n == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + n + 1
    raise ValueError("no number")


def _values(record: bytes) -> tuple[Value, ...]:
    end, at = _varint(record, 0)
    kinds = []
    while at < end:
        kind, at = _varint(record, at)
        kinds.append(kind)
    found = list[Value]()
    for kind in kinds:
        size = _INTEGERS.get(kind, (kind - 12) // 2 if kind >= 12 else 0)
        part = record[at : at + size]
        if len(part) < size or kind in {7, 10, 11}:
            raise ValueError("no such value")
        at += size
        if kind >= 12:
            found.append(part.decode("utf-8") if kind % 2 else part)
        else:
            found.append(
                None
                if kind == 0
                else kind - 8
                if kind >= 8
                else int.from_bytes(part, "big", signed=True)
            )
    return tuple(found)
