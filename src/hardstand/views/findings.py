"""Findings on an author's files, as text and as `findings/1`."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterable, Iterator

from hardstand.domain.checklist import Checklist
from hardstand.domain.diagnostic import Diagnostic
from hardstand.flows.checking import Checked, plain_findings
from hardstand.views.output import prose


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
    steps = _steps_named(checked)
    last = f"{counted}. Read: {'; '.join(named) or 'nothing'}."
    return prose("\n".join([*found, *steps, last]))


def _steps_named(checked: Checked) -> Iterator[str]:
    """The ids of the steps that findings call by their numbers, as the file spells them."""
    for name, value in checked.by_name.items():
        if isinstance(value, Checklist):
            told = " ".join(f"{d.message} {d.hint}" for d in checked.findings if d.file == name)
            numbers = set(re.findall(r"(?<![\d.])\d+\.\d\d(?![\d.]*\d)", told))
            zones = {z.id for z in value.zones}
            pairs = [(value.number(s.id), s.id) for s in value.steps if s.zone in zones]
            ids = [f"{number}\N{NO-BREAK SPACE}{i}" for number, i in pairs if number in numbers]
            lines = textwrap.wrap(
                f"{name}: {', '.join(ids)}", 78, subsequent_indent="  ", break_on_hyphens=False
            )
            yield from (line.replace("\N{NO-BREAK SPACE}", " ") for line in lines if ids)


def json_text(findings: Iterable[Diagnostic]) -> str:
    """The findings as `findings/1`."""
    return json.dumps(plain_findings(findings), ensure_ascii=False, indent=1)
