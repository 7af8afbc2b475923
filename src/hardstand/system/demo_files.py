"""The demo's files: fleet, fits and lists as shipped."""

from __future__ import annotations

from hardstand.system.files import read, yaml_files
from hardstand.system.places import shipped


def demo_texts() -> list[tuple[str, bytes]]:
    """Names and bytes of the fleet, the fits and the lists the demo adopts."""
    files = yaml_files([shipped("quennock"), shipped("checklists")])
    return [(f"{f.parent.name}/{f.name}", read(f)) for f in files]
