"""The front door: the version without loading anything, then the commands."""

from __future__ import annotations

import sys


def main() -> None:
    """Run one command and leave with its exit status."""
    if sys.argv[1:] == ["--version"]:
        from hardstand import __version__

        sys.stdout.write(f"hardstand {__version__}\n")
        return
    from hardstand.cli.app import run

    sys.exit(run())


if __name__ == "__main__":
    main()
