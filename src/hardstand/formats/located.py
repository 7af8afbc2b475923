"""A YAML text as a tree of texts, lists and keys, each with its place in the file.

Knows neither YAML nor the model: it is what the reader makes and what findings are placed by.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

Path = tuple[str | int, ...]
"""The way from the root to a value: keys and list positions."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place in a file; line and column count from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Words:
    """A scalar, as the text typed."""

    text: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Hole:
    """A value that cannot be used and has been reported already."""

    mark: Mark


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    nodes: tuple[Node, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Keyed:
    """One key, its place, and its value."""

    mark: Mark
    node: Node


@dataclass(frozen=True, slots=True)
class Keys:
    """Keys with values in the order written; `partial` if some could not be read."""

    entries: dict[str, Keyed]
    mark: Mark
    partial: bool = False


Node = Words | Hole | Items | Keys


def steps_down(root: Node, path: Path) -> Iterator[tuple[Mark, Node]]:
    """The place of the key (or list entry) and the node at each step of the path that exists."""
    node = root
    for part in path:
        if isinstance(node, Keys) and isinstance(part, str) and part in node.entries:
            keyed = node.entries[part]
            mark, node = keyed.mark, keyed.node
        elif isinstance(node, Items) and isinstance(part, int) and part < len(node.nodes):
            node = node.nodes[part]
            mark = node.mark
        else:
            return
        yield mark, node


def place(root: Node, path: Path, *, key: bool = False) -> Mark:
    """The place of the value at `path`, of its key if asked, or of what of the path exists.

    A value that stands on a later line than its key is still placed at the value.
    """
    found = list(steps_down(root, path))
    if not found:
        return root.mark
    mark, node = found[-1]
    whole = len(found) == len(path)
    return mark if key and whole else node.mark


def named(root: Node, path: Path) -> str:
    """The path in words, list entries by their `id` where they have one: `steps/LF-03/accept`."""
    words: list[str] = []
    nodes = [node for _, node in steps_down(root, path)]
    for index, part in enumerate(path):
        if isinstance(part, str):
            words.append(part)
            continue
        node = nodes[index] if index < len(nodes) else None
        given = node.entries.get("id") if isinstance(node, Keys) else None
        known = given.node.text if given and isinstance(given.node, Words) else ""
        words.append(known or f"#{part + 1}")
    return "/".join(words)
