"""Rows as a table on a wide terminal, as padded columns elsewhere, as a list where it is narrow."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.words import visible
from hardstand.views.output import has_colour, is_terminal, prose, width

NARROW = 60
"""Under so many columns rows are told as a list."""

Rows = Sequence[Sequence[str]]


def table(heads: Sequence[str], rows: Rows, *, plain: bool) -> str:
    """Rows under their heads. Nothing is cropped: text wraps, names and numbers stay whole."""
    shown = [[visible(cell) for cell in row] for row in rows]
    columns = width(120)
    if columns < NARROW:
        return prose(listed(heads, shown))
    if plain or not is_terminal():
        return padded(heads, shown)
    return _drawn(heads, shown, columns)


def padded(heads: Sequence[str], rows: Rows) -> str:
    """Columns padded with spaces, one row a line, two spaces between."""
    every = [list(heads), *[list(row) for row in rows]]
    widths = [max(len(row[i]) for row in every) for i in range(len(heads))]
    lines = ["  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)) for row in every]
    return "\n".join(line.rstrip() for line in lines)


def listed(heads: Sequence[str], rows: Rows) -> str:
    """One block a row, one fact a line."""
    blocks = []
    for row in rows:
        first = row[0]
        rest = [f"  {h}: {cell}" for h, cell in zip(heads[1:], row[1:], strict=True) if cell]
        blocks.append("\n".join([first, *rest]))
    return "\n".join(blocks)


def _drawn(heads: Sequence[str], rows: Rows, columns: int) -> str:
    from rich.box import ASCII2  # noqa: PLC0415  drawing is only for terminals
    from rich.console import Console  # noqa: PLC0415  only for terminals
    from rich.table import Table  # noqa: PLC0415  only for terminals
    from rich.text import Text  # noqa: PLC0415  only for terminals

    drawn = Table(box=ASCII2, show_lines=False, header_style="bold", pad_edge=False)
    last = len(heads) - 1
    for i, head in enumerate(heads):
        drawn.add_column(head, no_wrap=i < min(2, last), overflow="fold")
    for row in rows:
        drawn.add_row(*(Text(cell) for cell in row))
    console = Console(width=columns, no_color=True, highlight=False, force_terminal=has_colour())
    with console.capture() as captured:
        console.print(drawn)
    return captured.get().rstrip("\n")
