"""The people of the Quennock week, enrolled with DEMO keys: invented, the same each time.

LH, the chief, founds the register; JW, the administrator, is the second; JW enrols everybody
else, and LH stands by.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.flows.enrolling import Newcomer, enrol
from hardstand.flows.pen import Pen
from hardstand.ports import Signer


@dataclass(frozen=True, slots=True, kw_only=True)
class Somebody:
    """A person of the demo: initials, name, roles; the time they begin and end, UTC, if stated."""

    initials: str
    name: str
    roles: tuple[str, ...]
    fits: tuple[str, ...] = ()
    categories: tuple[str, ...] = ()
    since: str = ""
    until: str = ""


_BOTH = ("H", "V")

PEOPLE: tuple[Somebody, ...] = (
    Somebody(initials="LH", name="Lena Haugvik", roles=("chief",)),
    Somebody(initials="JW", name="Joss Whitby", roles=("administrator",)),
    Somebody(initials="IO", name="Ines Okello", roles=("trainee",), fits=_BOTH,
             since="2027-03-01T03:00:00Z"),
    Somebody(initials="BT", name="Bram Tolliver", roles=("technician", "crew_lead"), fits=_BOTH),
    Somebody(initials="BTR", name="Bettina Trask", roles=("technician",), fits=_BOTH),
    Somebody(initials="NH", name="Nils Harrow", roles=("technician",), fits=_BOTH),
    Somebody(initials="YB", name="Yusuf Brandreth", roles=("technician", "inspector"), fits=_BOTH),
    Somebody(initials="DQ", name="Della Quist", roles=("inspector",), fits=_BOTH,
             until="2028-01-01T03:00:00Z"),
    Somebody(initials="MS", name="Marit Sorell", roles=("shift_lead",),
             categories=("B", "C", "D")),
    Somebody(initials="OH", name="Osei Hartnoll", roles=("shift_lead",),
             categories=("B", "C", "D")),
    Somebody(initials="AF", name="Ann Farrelow", roles=("pilot",)),
    Somebody(initials="TV", name="Teodor Vance", roles=("pilot",)),
    Somebody(initials="KS", name="Kit Selwyn", roles=("pilot",)),
    Somebody(initials="RA", name="Ruth Amadi", roles=("pilot",)),
    Somebody(initials="ÅL", name="Åsa Lindvarn", roles=("author",)),
    Somebody(initials="CA", name="Colm Averill", roles=("auditor",)),
)  # fmt: skip
"""Who works at Quennock; whole-job 7d. NH's authority is ended in the week itself."""


def enrol_demo_people(pen: Pen, signer: Signer, *, fits: tuple[str, ...] = _BOTH) -> None:
    """Enrol everybody into an empty demo record, at the time the pen's clock stands at.

    Args:
        pen: on the record, as whoever; its clock says when.
        signer: the demo's keys.
        fits: the fits on which those who work on fits may.
    """
    for somebody in PEOPLE:
        granted = tuple(
            b.Granted(
                role=role, fits=fits if somebody.fits else (), categories=somebody.categories,
                since=somebody.since, until=somebody.until,
            )
            for role in somebody.roles
        )  # fmt: skip
        new = Newcomer(initials=somebody.initials, name=somebody.name, granted=granted)
        founder = "LH" if somebody.initials in {"LH", "JW"} else "JW"
        enrol(replace(pen, author=founder, signer=signer), new, witness="LH")
