"""A record that cannot be made leaves nothing at its place."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path


def test_a_record_that_could_not_be_made_leaves_nothing_behind(tmp_path: Path) -> None:
    script = (
        "import resource, sys; from pathlib import Path; "
        "from hardstand.cli.front import run; "
        "resource.setrlimit(resource.RLIMIT_FSIZE, (30000, 30000)); "
        "sys.exit(run(['--record', sys.argv[1], 'record', 'new', '--by', 'IO']))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(tmp_path / "record.db")],
        capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )  # fmt: skip
    assert done.returncode == 12
    assert len(done.stderr.splitlines()) == 3
    assert done.stderr.startswith("NOT SAVED: ")
    assert list(tmp_path.iterdir()) == []
