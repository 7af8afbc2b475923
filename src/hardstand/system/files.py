"""Reading what an operator wrote; the formats only ever see bytes."""

from __future__ import annotations

from pathlib import Path

from hardstand.errors import NotThere


def read(path: Path) -> bytes:
    """The bytes of a file.

    Raises:
        NotThere: it cannot be read, with the reason in words.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise NotThere(
            f"{path} cannot be read: {error.strerror or error}.", hint="Name a file that is there."
        ) from error


def bytes_of(name: str) -> bytes | None:
    """The bytes of a file of that name; None if there is no such file.

    Raises:
        NotThere: it is there and cannot be read.
    """
    path = Path(name)
    try:
        there = path.is_file()
    except OSError:  # no file can have that name, so it is none
        there = False
    return read(path) if there else None


def yaml_files(paths: list[Path]) -> list[Path]:
    """The files named, and for a folder all `.yaml` files under it, fits first, then by name.

    Raises:
        NotThere: a folder holds none, or cannot be looked through to its end.
    """
    try:
        found = [f for p in paths for f in (_under(p) if p.is_dir() else [p])]
    except OSError as error:
        raise NotThere(
            f"{error.filename or 'A folder'} cannot be looked through: {error.strerror or error}.",
            hint="Name the files, or a folder that holds them and little else.",
        ) from error
    return sorted(dict.fromkeys(found), key=lambda f: (f.name != "fit.yaml", str(f)))


def _under(folder: Path) -> list[Path]:
    found = list(folder.rglob("*.yaml"))
    if not found:
        raise NotThere(
            f"There is no .yaml file in {folder}.", hint="Name the file, or the folder it is in."
        )
    return found
