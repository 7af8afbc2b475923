"""Nothing secret shows: not in the process list, not in files, not in a bug report.

A shell's history keeps what was typed as arguments; no option takes a passphrase, which
tests/scenarios/test_scenarios_signing.py holds.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from hardstand.errors import HardstandError
from hardstand.system.bug import reported
from hardstand.system.keys import DEMO_PASSPHRASE, sealed_by
from quennock_record import founded_on_disk, raised
from quick_keys import cheap_keys

SECRET = "seven grey geese"  # noqa: S105  what must show nowhere


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="needs /proc")
def test_while_a_passphrase_is_waited_for_the_process_list_shows_none(tmp_path: Path) -> None:
    pen = founded_on_disk(tmp_path)
    number = raised(pen, "IO", "2027-03-08T05:00-03:00")
    read, write = os.pipe()
    before = ("--record", str(tmp_path / "record.db"), "--passphrase-fd", str(read))
    words = ("defect", "action", number, "done", "--by", "BT")
    command = [sys.executable, "-m", "hardstand", *before, *words]
    with subprocess.Popen(command, pass_fds=(read,), stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE) as running:  # fmt: skip
        os.write(write, DEMO_PASSPHRASE[:4])
        folder, seen = Path(f"/proc/{running.pid}"), b""
        while b"--passphrase-fd" not in seen and running.poll() is None:
            seen = (folder / "cmdline").read_bytes() + (folder / "environ").read_bytes()
        os.write(write, DEMO_PASSPHRASE[4:] + b"\n")
        out, err = running.communicate(timeout=60)
    os.close(read)
    os.close(write)
    assert running.returncode == 0, err
    assert b"--passphrase-fd" in seen
    assert DEMO_PASSPHRASE not in seen + out + err


def test_a_bug_while_a_key_is_opened_is_reported_without_what_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    keys = cheap_keys(tmp_path / "keys", SECRET, SECRET, SECRET)
    made = keys.make("YB", 1, ())

    def broken(passphrase: bytes, salt: bytes, cost: int) -> bytes:
        kept = (passphrase, sealed_by(passphrase, salt, cost))
        raise ZeroDivisionError(len(kept))

    monkeypatch.setattr("hardstand.system.keys.sealed_by", broken)
    with pytest.raises(ZeroDivisionError) as raised_:
        keys.unlock("YB", made.public, ())
    told = reported(raised_.value)
    assert isinstance(told, HardstandError)
    report = (tmp_path / "state" / "hardstand" / "bug-report.txt").read_text()
    assert "ZeroDivisionError" in report
    said = report + "".join(told.lines())
    assert SECRET not in said
    assert SECRET.encode().hex() not in said
