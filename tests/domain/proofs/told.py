"""What the ledger proof says of a small list, and a fit to say it of."""

from __future__ import annotations

from domain.proofs.tables import fit, item
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.ledger_proof import prove


def messages(steps: Checklist, kit: Fit, **how: int) -> list[tuple[str, str, str, str]]:
    """Each finding: code, step, message, hint."""
    return [(f.code, f.step, f.message, f.hint) for f in prove(steps, kit, **how)]


KIT = fit(
    {
        "panel": item(["panel", "access", "closed", "", "closed > open; open > closed"]),
        "power": item(["power", "energy", "off", "hazard", "off > on; on > off"]),
        "plug": item(["plug", "disconnected", "in", "", "in > out"]),
    },
    [{"panel": "open", "power": "on"}],
)
