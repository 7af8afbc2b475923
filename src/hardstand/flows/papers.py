"""From files to papers that can enter the record: checked first, against the record too."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import Fleet
from hardstand.domain.settings import Settings
from hardstand.errors import BadFile
from hardstand.flows.adopting import Paper, adopted
from hardstand.flows.checking import Checked, check_files, kind_of
from hardstand.formats import fit_yaml, settings_yaml
from hardstand.ports import Journal

Texts = Sequence[tuple[str, bytes]]


def papers(journal: Journal, texts: Texts) -> tuple[Paper, ...]:
    """The papers of the files given: the fleet, then fits, then lists.

    They are checked together with what the record holds already.

    Raises:
        BadFile: something in them is wrong; every finding is told.
    """
    live = not journal.record().demo
    known = known_texts(journal, texts)
    checked = check_files([*texts, *known], live=live)
    wrong = [d for d in checked.findings if d.stops and d.file in {name for name, _ in texts}]
    if wrong:
        raise BadFile(told(wrong), safe="Nothing was written.", hint="Mend the file and try again.")
    return tuple(_papers(checked, texts))


def told(findings: Sequence[Diagnostic]) -> str:
    """Findings as the lines a person reads, each with its place."""
    return "\n".join(found.text() for found in findings)


def known_texts(journal: Journal, texts: Texts) -> list[tuple[str, bytes]]:
    """The fits and the fleet of the record as texts, where the files do not bring their own."""
    given = [(kind_of(name, data), name, data) for name, data in texts]
    read = [fit_yaml.read(name, data).value for kind, name, data in given if kind == "fit"]
    brought = {fit.id for fit in read if fit is not None}
    found: dict[str, tuple[str, bytes]] = {}
    for fit in adopted(journal, "fit.adopted"):
        if fit.id not in brought:
            found[fit.id] = (f"(record) {fit.id}/fit.yaml", fit.text.encode())
    fleets = adopted(journal, "fleet.loaded")
    if fleets and not any(kind == "fleet" for kind, _, _ in given):
        found["fleet"] = ("(record)/fleet.yaml", fleets[-1].text.encode())
    return list(found.values())


def _papers(checked: Checked, texts: Texts) -> list[Paper]:
    """Each file with its own text: the fleet first, then fits, then lists."""
    found = []
    for name, data in texts:
        text = data.decode("utf-8-sig")
        match checked.by_name.get(name):
            case Fleet() as fleet:
                found.append(Paper(
                    kind="fleet.loaded", id=fleet.operator, revision="", fit="", text=text,
                    value=fleet,
                ))  # fmt: skip
            case Fit() as fit:
                found.append(Paper(
                    kind="fit.adopted", id=fit.id, revision="", fit=fit.id, text=text, value=fit,
                ))  # fmt: skip
            case Checklist() as one:
                found.append(Paper(
                    kind="checklist.adopted", id=one.id, revision=one.revision, fit=one.fit,
                    text=text, value=one,
                ))  # fmt: skip
    order = ("fleet.loaded", "fit.adopted", "checklist.adopted")
    return sorted(found, key=lambda paper: order.index(paper.kind))


def settings_paper(name: str, data: bytes) -> Paper:
    """The paper of a settings file.

    Raises:
        BadFile: something in it is wrong.
    """
    found = settings_yaml.parse(name, data)
    if not isinstance(found, Settings):
        raise BadFile(told(found), safe="Nothing was written.", hint="Mend the file and try again.")
    return Paper(
        kind="settings.adopted", id="settings", revision="", fit="",
        text=data.decode("utf-8-sig"), value=found,
    )  # fmt: skip
