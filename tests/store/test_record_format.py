"""The pages on the record say what it is: digests by their own rule, columns, tests named."""

from __future__ import annotations

import re
import shutil
import subprocess
from hashlib import sha256
from pathlib import Path

import pytest

from hardstand.domain.chain import digest_of
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant
from hardstand.store import ddl
from hardstand.store.marks import APPLICATION_ID, SCHEMA

TOP = Path(__file__).parents[2]
FORMAT = (TOP / "docs/reference/record-format.md").read_text(encoding="utf-8")
PROTECTED = (TOP / "docs/explanation/what-is-protected.md").read_text(encoding="utf-8")
HASHED = ("device", "seq", "tick", "at", "author", "airframe", "walk", "kind", "version")


def _examples() -> list[dict[str, str]]:
    block = FORMAT.split("```text\n")[1].split("```")[0]
    return [
        {line[:11].strip(): line[11:] for line in lines.splitlines()}
        for lines in block.strip().split("\n\n")
    ]


def _bytes_by_the_page(line: dict[str, str]) -> bytes:
    head = "hardstand/entry/1\n" + "".join(f"{line[name]}\n" for name in HASHED)
    return head.encode() + bytes.fromhex(line["prev"]) + line["body"].encode()


@pytest.mark.parametrize("line", _examples(), ids=("first", "second"))
def test_the_page_and_the_program_make_the_same_digest(line: dict[str, str]) -> None:
    by_page = sha256(_bytes_by_the_page(line)).digest()
    assert by_page.hex() == line["digest"]
    entry = Entry(
        line["device"], int(line["seq"]), int(line["tick"]), Instant(line["at"]), line["author"],
        line["airframe"] or None, line["walk"] or None, line["kind"], int(line["version"]),
        line["body"].encode(), bytes.fromhex(line["prev"]), b"",
    )  # fmt: skip
    assert digest_of(entry) == by_page


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="there is no sha256sum here")
@pytest.mark.parametrize("line", _examples(), ids=("first", "second"))
def test_a_line_is_verified_without_the_program(line: dict[str, str], tmp_path: Path) -> None:
    file = tmp_path / "line"
    file.write_bytes(_bytes_by_the_page(line))
    done = subprocess.run(["sha256sum", str(file)], capture_output=True, text=True, check=True)
    assert done.stdout.split()[0] == line["digest"]


def test_the_lines_of_the_page_are_one_chain() -> None:
    first, second = _examples()
    assert first["prev"] == "00" * 32
    assert second["prev"] == first["digest"]


def test_the_page_names_every_column_mark_and_table() -> None:
    rows = re.findall(r"^\| `(\w+)` \| (text|integer|blob)( or null)? \|", FORMAT, re.MULTILINE)
    columns = {c.name: c for c in ddl.entry.c}
    assert [name for name, _, _ in rows] == list(columns)
    for name, kind, null in rows:
        assert str(columns[name].type) in {kind.upper(), "BLOB"}
        assert bool(null) is bool(columns[name].nullable)
    assert f"`application_id` 0x{APPLICATION_ID:X}" in FORMAT
    assert f"`user_version` {SCHEMA}," in FORMAT
    for table in ddl.metadata.tables:
        assert f"`{table}`" in FORMAT


def test_the_tables_of_form_1_are_what_they_were() -> None:
    """With another table, index or guard a record of yesterday would be none: raise SCHEMA then."""
    text = "\n".join(sorted([*ddl.statements().values(), *ddl.TRIGGERS.values()]))
    form = sha256(" ".join(text.split()).encode()).hexdigest()[:16]
    assert (SCHEMA, form) == (1, "a97601edc5364f35")


def test_each_of_the_ways_to_lose_data_is_a_test_or_a_stated_limit() -> None:
    rows = re.findall(r"^\| (\d+) \| (.+) \| (.+) \|$", PROTECTED, re.MULTILINE)
    assert [int(number) for number, _, _ in rows] == list(range(1, 33))
    named = {
        path for _, _, stands in rows for path in re.findall(r"`((?:tests|src)/[^`]+)`", stands)
    }
    assert [path for path in sorted(named) if not (TOP / path).exists()] == []
    bare = [n for n, _, stands in rows if "`tests/" not in stands and "`src/" not in stands]
    assert [n for n in bare if "limit" not in rows[int(n) - 1][2]] == []
