"""The letter a copy of the record is to write under, as typed."""

from __future__ import annotations

from collections.abc import Iterable

from hardstand.domain.ids import is_device
from hardstand.errors import Refusal, Usage


def refuse_no_letter(device: str) -> None:
    """Refuse what names no device.

    Raises:
        Usage: it is not one capital letter.
    """
    if not is_device(device):
        raise Usage(f"--device {device!r} is no device.", hint="One letter, A to Z.")


def refuse_used_letter(device: str, used: Iterable[str], *, safe: str) -> None:
    """Refuse the letter of a device that wrote: its chain may go on elsewhere.

    Args:
        device: the letter.
        used: the letters that have written.
        safe: the sentence that says what is as it was.

    Raises:
        Refusal: it is among them.
    """
    letters = sorted(used)
    if device in letters:
        raise Refusal(
            f"Device {device} has written in this record already.",
            rule="a record put back or saved goes on under a letter that no device of the operator "
            "has used",
            safe=safe,
            hint=f"Used here: {', '.join(letters)}. Choose another letter.",
        )
