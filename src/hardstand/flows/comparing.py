"""Two revisions of a list side by side: its burden, what was done to it, what to walk again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hardstand.domain.bodies import Adopted
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.codec import content
from hardstand.domain.revision import Changes, Measure, changes, measures, unexplained, walk_again
from hardstand.errors import BadFile, NotThere, Usage
from hardstand.flows.adopting import adopted
from hardstand.flows.papers import told
from hardstand.formats import checklist_yaml, fit_yaml
from hardstand.ports import Journal

Read = Callable[[str], bytes | None]
"""The bytes of a file of that name, or None if there is no such file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Two revisions; `again` are the steps to walk again, None without the fit to work them out."""

    old: Checklist
    new: Checklist
    measures: tuple[Measure, ...]
    unexplained: tuple[Measure, ...]
    changes: Changes
    again: tuple[str, ...] | None


def compared(journal: Journal | None, names: tuple[str, str], read: Read) -> Compared:
    """Two lists, each a file or `ID@REVISION` of the record (`ID` alone: its newest), compared.

    Raises:
        NotThere: one of them is neither a file nor in the record.
        BadFile: a file that does not read as a list; every finding is told.
        Usage: the two are lists of different fits.
    """
    old, new = (_list(journal, name, read) for name in names)
    if old.fit != new.fit:
        raise Usage(
            f"{names[0]} is for fit {old.fit}, {names[1]} for fit {new.fit}.",
            hint="Compare two revisions of one list.",
        )
    fit = _fit_beside(names[1], new.fit, read) or _fit(journal, new.fit)
    return Compared(
        old=old,
        new=new,
        measures=measures(old, new),
        unexplained=unexplained(old, new),
        changes=changes(old, new),
        again=walk_again(old, new, fit) if fit else None,
    )


def _list(journal: Journal | None, name: str, read: Read) -> Checklist:
    data = read(name)
    if data is not None:
        found = checklist_yaml.parse(name, data)
        if isinstance(found, Checklist):
            return found
        raise BadFile(told(found), hint="Mend the file and try again.")
    list_id, _, revision = name.partition("@")
    known = _of_id(journal, list_id)
    fitting = [a for a in known if revision in {"", a.revision}]
    if not fitting:
        have = ", ".join(a.revision for a in known)
        raise NotThere(
            f"{name!r} is neither a file nor a list of this record.",
            hint=f"Revisions of {list_id.upper()} here: {have}."
            if have
            else "Name a YAML file, or a list as ID@REVISION.",
        )
    return content(Checklist, fitting[-1].value)


def _of_id(journal: Journal | None, list_id: str) -> list[Adopted]:
    every = adopted(journal, "checklist.adopted") if journal is not None else ()
    return [a for a in every if a.id == list_id.upper()]


def _fit(journal: Journal | None, fit: str) -> Fit | None:
    every = adopted(journal, "fit.adopted") if journal is not None else ()
    return next((content(Fit, a.value) for a in reversed(every) if a.id == fit), None)


def _fit_beside(name: str, fit: str, read: Read) -> Fit | None:
    """The fit in the folder of a list, as authors keep them."""
    folder, mark, _ = name.replace("\\", "/").rpartition("/")
    data = read(f"{folder}{mark}fit.yaml") if read(name) is not None else None
    found = fit_yaml.parse("fit.yaml", data) if data is not None else None
    return found if isinstance(found, Fit) and found.id == fit else None
