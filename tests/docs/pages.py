"""A page of the documentation as lines, fenced blocks, keys and generated regions.

Knows Markdown as far as these pages use it: fences of three backticks, tables, one sentence a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
"""The top folder of the repository."""

_OPENED = re.compile(r"```(?P<info>\S.*)?")
_SAVED = re.compile(r"Save .*as `(?P<name>[^`]+)`:")
_REGION = re.compile(r"<!-- generated: (?P<name>[A-Za-z0-9 -]+) -->")
_REGION_END = "<!-- end of generated -->"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A fenced block: what stands behind its fence, its lines, where its first line is.

    `saved_as` is the file that the sentence before the block says to save it as, or empty.
    """

    info: str
    lines: tuple[str, ...]
    first: int
    saved_as: str = ""

    @property
    def language(self) -> str:
        """The first word behind the fence."""
        return self.info.split(" ")[0]


def pages() -> tuple[Path, ...]:
    """Every page: README, DEVELOPERS and all below docs/."""
    return (TOP / "README.md", TOP / "DEVELOPERS.md", *sorted((TOP / "docs").rglob("*.md")))


def name_of(page: Path) -> str:
    """The page as named in a message: its path from the top folder."""
    return page.relative_to(TOP).as_posix()


def parts(text: str) -> Iterator[str | Block]:
    """The lines outside fences and the blocks, in order."""
    lines = text.splitlines()
    at = 0
    said = ""
    while at < len(lines):
        opened = _OPENED.fullmatch(lines[at])
        if opened is None:
            yield lines[at]
            said = lines[at] if lines[at].strip() else said
            at += 1
            continue
        end = lines.index("```", at + 1)
        saved = _SAVED.search(said)
        yield Block(
            info=opened["info"] or "",
            lines=tuple(lines[at + 1 : end]),
            first=at + 1,
            saved_as=saved["name"] if saved else "",
        )
        said, at = "", end + 1


def blocks(text: str) -> tuple[Block, ...]:
    """The fenced blocks of a page."""
    return tuple(part for part in parts(text) if isinstance(part, Block))


def prose(text: str) -> tuple[str, ...]:
    """The lines a person wrote: no fenced block, no generated region."""
    found, inside = [], False
    for part in parts(text):
        if isinstance(part, Block):
            continue
        inside = (inside or bool(_REGION.fullmatch(part))) and part != _REGION_END
        if not inside and part != _REGION_END:
            found.append(part)
    return tuple(found)


def with_blocks(text: str, renewed: Mapping[int, tuple[str, ...]]) -> str:
    """The page with the lines of some blocks replaced; they are named by their first line."""
    lines = text.splitlines()
    for block in reversed(blocks(text)):
        if block.first in renewed:
            lines[block.first : block.first + len(block.lines)] = renewed[block.first]
    return "\n".join(lines) + "\n"


def regions(text: str) -> tuple[tuple[str, str], ...]:
    """The generated regions of a page: name and text between the marks."""
    found, name = [], ""
    kept: list[str] = []
    for line in text.splitlines():
        opened = _REGION.fullmatch(line)
        if opened:
            name, kept = opened["name"], []
        elif line == _REGION_END:
            found.append((name, "\n".join(kept).strip("\n")))
            name = ""
        elif name:
            kept.append(line)
    return tuple(found)


def with_region(text: str, name: str, generated: str) -> str:
    """The page with the region of that name replaced."""
    start = f"<!-- generated: {name} -->"
    before, _, rest = text.partition(start)
    _, _, after = rest.partition(_REGION_END)
    return f"{before}{start}\n\n{generated}\n\n{_REGION_END}{after}"
