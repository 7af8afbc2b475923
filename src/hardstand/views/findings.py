"""Findings on an author's files, as text and as `findings/1`."""

from __future__ import annotations

import json
from collections.abc import Iterable

from hardstand.domain.diagnostic import Diagnostic
from hardstand.flows.checking import Checked, plain_findings


def text(checked: Checked) -> str:
    """Every finding with its place, then one line that says how many of what."""
    errors = sum(1 for d in checked.findings if d.stops)
    answered = sum(1 for d in checked.findings if d.answered)
    advice = len(checked.findings) - errors - answered
    found = [d.text() for d in checked.findings]
    named = [f"fit {f}" for f in checked.fits]
    named += [f"list {c.id} {c.revision}: {len(c.steps)} steps" for c in checked.checklists]
    named += [f"fleet of {len(checked.fleet.airframes)}"] if checked.fleet else []
    counted = f"{errors} to mend, {advice} advice" + (f", {answered} answered" if answered else "")
    return "\n".join([*found, f"{counted}. Read: {'; '.join(named) or 'nothing'}."])


def json_text(findings: Iterable[Diagnostic]) -> str:
    """The findings as `findings/1`."""
    return json.dumps(plain_findings(findings), ensure_ascii=False, indent=1)
