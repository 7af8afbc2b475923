"""The entrance: the version without loading anything, then the front door."""

from __future__ import annotations

import sys


def main() -> None:
    """Run one command and leave with its exit status."""
    if sys.argv[1:] == ["--version"]:
        from hardstand import __version__

        sys.stdout.write(f"hardstand {__version__}\n")
        return
    from hardstand.cli.front import run

    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
