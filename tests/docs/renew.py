"""Brings the documentation up to date with the program: `python tests/docs/renew.py [--check]`."""

from __future__ import annotations

import sys
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from docs.renewing import main

    sys.exit(main())
