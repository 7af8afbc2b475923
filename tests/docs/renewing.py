"""The pages as they would read today; checking and renewing them."""

from __future__ import annotations

import argparse
import sys
import tempfile
from difflib import unified_diff
from pathlib import Path

from docs.acted import acted
from docs.generated import region
from docs.pages import blocks, name_of, pages, regions, with_blocks, with_region
from hardstand.cli.app import app

MONDAY = "2027-03-08T23:00-03:00"
"""The demo week as the pages have it: up to Monday night."""


def demo_record(folder: Path) -> Path:
    """The Quennock record up to Monday night, built in a folder."""
    made = folder / "quennock.db"
    app(["demo", str(made), "--until", MONDAY], standalone_mode=False)
    return made


def is_acted(text: str) -> bool:
    """Whether a page has something to run."""
    return any(b.language == "console" for b in blocks(text))


def regenerated(text: str) -> str:
    """The page with its generated regions made anew."""
    for name, kept in regions(text):
        text = with_region(text, name, region(name, kept))
    return text


def renewed(text: str, record: Path) -> str:
    """The page as it would read today: regions made anew, commands run, keys pressed."""
    text = regenerated(text)
    if not is_acted(text):
        return text
    with tempfile.TemporaryDirectory(prefix="hardstand-docs-") as folder:
        return with_blocks(text, acted(text, Path(folder) / "clone", record))


def difference(page: Path, record: Path, *, write: bool = False) -> str:
    """What of a page would read otherwise today, as a diff; empty if nothing would."""
    before = page.read_text(encoding="utf-8")
    after = renewed(before, record)
    if write and after != before:
        page.write_text(after, encoding="utf-8")
    lines = unified_diff(
        before.splitlines(), after.splitlines(), name_of(page), "as the program has it", lineterm=""
    )
    return "\n".join(lines)


def main() -> int:
    """Renew the pages named, or all; with --check only say what would change."""
    parser = argparse.ArgumentParser(prog="renew.py", description=main.__doc__)
    parser.add_argument("--check", action="store_true", help="change nothing; exit 1 if outdated")
    parser.add_argument("pages", nargs="*", type=Path)
    given = parser.parse_args()
    outdated = False
    with tempfile.TemporaryDirectory(prefix="hardstand-docs-") as folder:
        record = demo_record(Path(folder))
        for page in [p.resolve() for p in given.pages] or pages():
            found = difference(page, record, write=not given.check)
            outdated = outdated or bool(found)
            sys.stdout.write(found + "\n" if found else "")
    return 1 if outdated and given.check else 0
