"""A hardstand that makes a record and works on it, to be traced: `work.py FOLDER SEED DEEDS PAGES`.

Tells on standard output what is durable: `DEVICE SEQ DIGEST` of a chain's end, `file NAME` of a
file that is finished. PAGES in the log start a checkpoint, so that many happen in a short time.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from builders import begun
from faults.deeds import Acknowledging, Jumpy, dice, one_deed
from hardstand.flows.pen import Pen
from hardstand.store.copies import copy, put_back
from hardstand.store.journal import create


def _tell(name: str) -> None:
    os.write(1, f"file {name}\n".encode())


def work(folder: Path, seed: int, deeds: int, pages: int) -> None:
    """Make a record; do deeds; copy it half way; put the copy back elsewhere; fold anew."""
    rng, path = dice(seed), folder / "record.db"
    create(path, "A")
    _tell(path.name)
    journal = Acknowledging(path)
    with journal.reading() as connection:
        connection.exec_driver_sql(f"PRAGMA wal_autocheckpoint = {pages}")
    begun(journal, demo=True)
    pen = Pen(journal=journal, clock=Jumpy(rng), author="IO")
    for number in range(deeds):
        one_deed(pen, rng)
        if number == deeds // 2:
            copy(path, folder / "backup.db")
            _tell("backup.db")
            put_back(folder / "backup.db", folder / "other.db", "E", {})
            _tell("other.db")
            with journal.write() as writing:
                writing.rebuild()
    journal.close()


if __name__ == "__main__":
    work(Path(sys.argv[1]), *(int(word) for word in sys.argv[2:]))
