"""The pages on the record say what it is: digests by their own rule, columns, tests named."""

from __future__ import annotations

import re
import shutil
import subprocess
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from hardstand.domain.attesting import message
from hardstand.domain.bodies_people import HeadSeen
from hardstand.domain.chain import digest_of
from hardstand.domain.daybook import mark_of
from hardstand.domain.entry import ATTESTING, Entry
from hardstand.domain.quantity import Instant
from hardstand.store import ddl
from hardstand.store.marks import APPLICATION_ID, SCHEMA
from hardstand.system.keys import Ed25519

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


def test_the_signature_of_the_page_is_over_its_second_line() -> None:
    """RFC 8032, section 7.1, test 1: its key. Another hand than the program's makes the message."""
    test_1 = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
    given = dict(re.findall(r"^(public|signature) +([0-9a-f]+)$", FORMAT, re.MULTILINE))
    digest = bytes.fromhex(_examples()[1]["digest"])
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(test_1))
    assert key.sign(b"hardstand/entry/1\0" + digest).hex() == given["signature"]
    public, signature = bytes.fromhex(given["public"]), bytes.fromhex(given["signature"])
    assert Ed25519().fits(public, message(digest), signature)


def test_the_page_names_every_kind_that_is_signed() -> None:
    listed = FORMAT.split("Lines of these kinds MUST be signed:\n\n")[1].split("\n")[0]
    assert re.findall(r"`([a-z_.]+)`", listed) == sorted(ATTESTING)


def test_the_mark_of_the_page_is_over_its_two_lines() -> None:
    last = _examples()[1]
    end = HeadSeen(device=last["device"], seq=int(last["seq"]), digest=last["digest"])
    assert f"the mark is `{mark_of([end])}`" in FORMAT
    by_page = sha256(f"hardstand/daybook/1\nA 2 {last['digest']}\n".encode()).digest()
    bits = f"{int.from_bytes(by_page):0256b}"[:50]
    alphabet = re.findall(r"alphabet `([0-9A-Z]{32})`", FORMAT)[0]
    five = (int(bits[at : at + 5], 2) for at in range(0, 50, 5))
    assert mark_of([end]) == "".join(alphabet[place] for place in five)


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
    """With another table or guard a record of yesterday would be none: raise SCHEMA then.

    An index belongs to the program; `record rebuild` makes it: test_journal.py.
    """
    made = [sql for name, sql in ddl.statements().items() if name in ddl.metadata.tables]
    text = "\n".join(sorted([*made, *ddl.TRIGGERS.values()]))
    form = sha256(" ".join(text.split()).encode()).hexdigest()[:16]
    assert (SCHEMA, form) == (1, "9d52c757ddece49f")


def test_each_of_the_ways_to_lose_data_is_a_test_or_a_stated_limit() -> None:
    rows = re.findall(r"^\| (\d+) \| (.+) \| (.+) \|$", PROTECTED, re.MULTILINE)
    assert [int(number) for number, _, _ in rows] == list(range(1, 33))
    named = {
        path for _, _, stands in rows for path in re.findall(r"`((?:tests|src)/[^`]+)`", stands)
    }
    assert [path for path in sorted(named) if not (TOP / path).exists()] == []
    bare = [n for n, _, stands in rows if "`tests/" not in stands and "`src/" not in stands]
    assert [n for n in bare if "limit" not in rows[int(n) - 1][2]] == []
