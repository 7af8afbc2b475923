"""Every code a finding can have, in one published table."""

from __future__ import annotations

from hardstand.domain import answered, coverage, diagnostic, ledger_proof, order, writing

CODES: dict[str, str] = {
    **diagnostic.CODES,
    **ledger_proof.CODES,
    **order.CODES,
    **coverage.CODES,
    **answered.CODES,
    **writing.CODES,
}
"""What each code says, in the order of the codes."""
