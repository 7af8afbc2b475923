"""The page of measured figures: each run puts its own table between its own marks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

Row = tuple[str, ...]
PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "measured.md"


def table(heads: Row, rows: Sequence[Row]) -> str:
    """A table in the form that the page shows."""
    lines = [heads, tuple("---" for _ in heads), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def put(
    name: str, heads: Row, rows: Sequence[Row], below: Sequence[str] = (), page: Path = PAGE
) -> None:
    """Put a table on the page in place of the one that stood between its marks.

    Args:
        name: of the marks.
        heads: of the columns.
        rows: of the table.
        below: lines that belong to it.
        page: the page.

    Raises:
        ValueError: the page has no such marks.
    """
    text = page.read_text(encoding="utf-8")
    begin, end = f"<!-- {name} -->\n", f"<!-- end of {name} -->"
    before, _, rest = text.partition(begin)
    _, found, after = rest.partition(end)
    if not found:
        raise ValueError(f"{page} has no place for {name}")
    body = "\n\n".join([table(heads, rows), *(["\n".join(below)] if below else [])])
    page.write_text(f"{before}{begin}\n{body}\n\n{end}{after}", encoding="utf-8")
