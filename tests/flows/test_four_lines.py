"""What a pilot is shown: four lines in the words of the air, then the list that is signed for.

Source: whole-job 2e, M-22, D-02; on the Quennock Monday at 05:45.
"""

from __future__ import annotations

from pathlib import Path

from hardstand.flows import flights
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.views import flights as view
from quennock_morning import by, handed, pen


def test_what_works_what_does_not_what_instead_and_who_last_had_trouble(monday: Path) -> None:
    shown = flights.offered(pen(monday, "AF", "Mon 05:55"), "QM-107", "MAIL-N", "AF")
    assert view.screen(shown) == [
        "QM-107 for MAIL-N: CAN WITH LIMITS. / red diagonal, as of 2027-03-08 05:55 -03:00.",
        ("Works: range filter, code and voice; range filter, code alone; high-frequency receiver "
        "A; high-frequency receiver B; keying in CW; low-frequency receiver; and 4 more."),
        "Does not: range filter switch does not stay in VOICE (107-A01).",
        'Instead: placard "use ALL": on the filter switch.',
        "Last trouble: 2027-03-08 05:09 IO, range filter switch does not stay in VOICE.",
        ("One more failure that ends MAIL-N: ANT-W, CTL-R, CTL-T, DYN-R, DYN-T, MOD, RLY, RX-LF, "
        "FIL."),
        "  107-A01  / red diagonal: range filter switch does not stay in VOICE, to 18 Mar 24:00",
        "A record of checks answered by the people named; it does not release an aircraft.",
    ]  # fmt: skip


def test_a_clean_aircraft_has_four_short_lines(monday: Path) -> None:
    shown = flights.offered(pen(monday, "TV", "Mon 06:00"), "QM-101", "MAIL-N", "TV")
    assert view.screen(shown)[1:5] == [
        "Works: all 11 functions.",
        "Does not: nothing known.",
        "Instead: nothing laid down.",
        "Last trouble: none on record lately.",
    ]


def test_a_long_note_does_not_push_the_other_lines_off_the_screen(monday: Path) -> None:
    bt = pen(monday, "BT", "Mon 05:50")
    raise_defect(bt, "QM-101", Told(words="z" * 4000), by=by("BT"))
    shown = flights.offered(handed(bt, "TV", "Mon 05:55"), "QM-101", "MAIL-D", "TV")
    lines = view.screen(shown)
    assert lines[2] == f"Does not: {'z' * 120} … + 3880 (101-S01)."
    assert max(len(line) for line in lines[:5]) < 300
    assert lines[-2] == f"  101-S01  / red diagonal: {'z' * 4000}", "what is signed for is whole"
