"""Files broken in every way a slip of the hand can: always a value or findings, never a crash."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from formats.small_files import FIT, FLEET, LIST
from hardstand.domain.codes import CODES
from hardstand.domain.diagnostic import Diagnostic
from hardstand.flows.checking import check_files
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml
from hardstand.formats.shape import Loaded

_SLIPS = (
    b"\t", b"\x00", b"\xff", b"\xc3", b"\xef\xbb\xbf", b"\r", b"\n", b"\n\n", b" ", b"  ", b":",
    b": ", b"- ", b"#", b"'", b'"', b"[", b"]", b"{", b"}", b"&a ", b"*a", b"!", b"!!int ", b"|",
    b">", b"%", b"@", b"`", b"?", b"? ", b"<<: *a\n", b"---\n", b"...\n", b"~", b"null", b"\\",
    b"\\U", b'"\\x"', b"0", b"-", b"9" * 40, b"1e9", b"{a.b}", b"format: 2\n", b"example: true",
    b"\xe2\x80\xae", b"\xc2\x85", b"\xf0\x9f\x93\xbb", b"\xcc\x8a", b"\xed\xa0\x80",
)  # fmt: skip


def _broken(data: bytes, dice: random.Random) -> bytes:
    """One to four slips: bytes or lines lost, doubled, swapped, or something put in between."""
    for _ in range(dice.randint(1, 4)):
        lines = data.splitlines(keepends=True) or [b""]
        at, line = dice.randrange(len(data) + 1), dice.randrange(len(lines))
        end = min(len(data), at + dice.randint(1, 12))
        match dice.randrange(8):
            case 0:
                data = data[:at] + data[end:]
            case 1:
                data = data[:at] + data[at:end] + data[at:]
            case 2:
                data = data[:at] + dice.choice(_SLIPS) + data[at:]
            case 3:
                data = b"".join(lines[:line] + lines[line + 1 :])
            case 4:
                data = b"".join([*lines[:line], lines[line], *lines[line:]])
            case 5:
                other = dice.randrange(len(lines))
                lines[line], lines[other] = lines[other], lines[line]
                data = b"".join(lines)
            case 6:
                data = b"".join([*lines[:line], b"  " + lines[line], *lines[line + 1 :]])
            case _:
                data = data[:at]
    return data


def _holds(loaded: Loaded[object], data: bytes) -> None:
    """A value or an error; every finding has a known code, words, and a place in the file."""
    assert loaded.value is not None or any(d.stops for d in loaded.findings)
    text = data.decode("utf-8", errors="replace").replace("\r\n", "\n").replace("\r", "\n")
    for found in loaded.findings:
        assert isinstance(found, Diagnostic)
        assert found.code in CODES
        assert found.message
        assert found.hint
        assert "\n" not in found.message
        assert 1 <= found.line <= text.count("\n") + 1
        assert found.column >= 1


_READERS: tuple[tuple[str, Callable[[str, bytes], Loaded[object]]], ...] = (
    (FIT, fit_yaml.read),
    (LIST, checklist_yaml.read),
    (FLEET, fleet_yaml.read),
)


@pytest.mark.parametrize("seed", range(20))
def test_a_broken_file_is_a_value_or_findings(seed: int) -> None:
    """2,000 files in all: 100 for each seed, the three kinds in turn."""
    dice = random.Random(seed)  # noqa: S311  the same files every time
    told = 0
    for number in range(100):
        text, read = _READERS[number % 3]
        data = _broken(text.encode(), dice)
        loaded = read("x.yaml", data)
        _holds(loaded, data)
        told += bool(loaded.findings)
    assert told > 50, "the slips must hit"


@pytest.mark.parametrize("seed", range(10))
def test_broken_files_together_are_values_or_findings(seed: int) -> None:
    dice = random.Random(1000 + seed)  # noqa: S311  the same files every time
    for _ in range(10):
        texts = [
            ("fit.yaml", FIT.encode()),
            ("l.yaml", LIST.encode()),
            ("fleet.yaml", FLEET.encode()),
        ]
        broken = dice.randrange(3)
        texts[broken] = (texts[broken][0], _broken(texts[broken][1], dice))
        checked = check_files(texts, live=True, complete=True)
        assert {d.code for d in checked.findings} <= {*CODES}
        assert {d.file for d in checked.findings} <= {name for name, _ in texts}
