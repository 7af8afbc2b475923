"""The operator's settings: thresholds with their defaults."""

from __future__ import annotations

from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.settings import Settings
from hardstand.formats.rules import result
from hardstand.formats.shape import load


def parse(name: str, data: bytes) -> Settings | tuple[Diagnostic, ...]:
    """The settings, or everything found if there is an error in the file."""
    return result(load(name, data, Settings))
