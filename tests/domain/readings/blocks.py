"""The vector blocks as the tests read them: comments dropped, header first, cells as written."""

from __future__ import annotations

import csv
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "vectors"


def block(name: str) -> tuple[tuple[str, ...], tuple[dict[str, str], ...]]:
    """Columns and rows of one block."""
    lines = (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    header, *rows = csv.reader(line for line in lines if not line.startswith("#"))
    return tuple(header), tuple(dict(zip(header, row, strict=True)) for row in rows)


def quantities(name: str) -> dict[str, str]:
    """A block of two columns as name → figure."""
    header, rows = block(name)
    key, figure = header
    return {row[key]: row[figure] for row in rows}
