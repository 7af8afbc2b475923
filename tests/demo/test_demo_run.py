"""`demo/run` on a terminal: what is shown after the walk that it offers."""

from __future__ import annotations

import shutil
from pathlib import Path

import pexpect

HARDSTAND = """\
#!/bin/sh
echo "ran: $*"
case "$*" in *" walk "*) echo asked; read -r tail ;; esac
"""
"""In the place of the program: says how it was called, and asks where a walk asks."""


def test_leaving_at_the_tail_still_shows_the_status(tmp_path: Path) -> None:
    top = Path(__file__).parents[2]
    for name, text in ((".ci/venv", "exit 0\n"), (".venv/bin/hardstand", HARDSTAND)):
        place = tmp_path / name
        place.parent.mkdir(parents=True)
        place.write_text(text)
        place.chmod(0o755)
    (tmp_path / "demo").mkdir()
    shutil.copy(top / "demo" / "run", tmp_path / "demo" / "run")
    seen = pexpect.spawn("/bin/sh", [str(tmp_path / "demo" / "run")], timeout=10, encoding="utf-8")
    seen.expect("asked")
    seen.sendintr()
    seen.expect("ran: --record demo/quennock.db status QM-116")
    seen.expect(pexpect.EOF)
    seen.close()
    assert seen.exitstatus == 0
