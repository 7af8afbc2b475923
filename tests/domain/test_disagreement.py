"""Acts that had not seen each other: the rows of the two-tablet table, settling, and who settles.

Outside source: none is published; the table is of the whole-job paper, C-13, from common practice.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from domain.pairs import PAIRS, played, read
from domain.readings.blocks import block
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.facts import OpenEntry
from hardstand.domain.ruling import likely_same
from line_office import Office, done, refused

ROWS = {(row["A"], row["B"]): row for row in block("together")[1]}
ELSEWHERE = {
    "unit fitted to P": "units",
    "accept aircraft": "flights",
    "same step GOOD": "a walk belongs to one device (design 3)",
}
"""Rows about things that are folded elsewhere."""


def _worked(symbol: Symbol = "/") -> Office:
    """An entry whose work is recorded, known on the line office's S and on tablets A and C."""
    office = Office()
    office.raises("Wed 15:20", "IO", symbol)
    done(office.acts("Fri 09:20", "BT"))
    office.exchange("S", "A", "C")
    return office


def _raised() -> Office:
    office = Office()
    office.raises("Wed 15:20", "IO")
    office.exchange("S", "A", "C")
    return office


def _item(office: Office) -> OpenEntry | None:
    office.exchange("S", "A", "C")
    assert office.facts("S") == office.facts("A") == office.facts("C")
    return office.entry()


def _clear_and_note() -> tuple[str, bool]:
    office = _worked()
    note = b.DefectNoted(number="107-S01", text="hums again", by=By(doer="AF"), seen=())
    office.write("Fri 09:58", "AF", note, "C")
    done(office.clears("Fri 10:05", "DQ", "A"))
    return ("cleared" if _item(office) is None else "open"), False


def _clear_and_raise() -> tuple[str, bool]:
    office = _worked()
    done(office.worse("Fri 09:58", "YB", device="C"))
    done(office.clears("Fri 10:05", "DQ", "A"))
    item = _item(office)
    assert item is not None
    return f"open at {item.symbol}", bool(item.disputes)


def _two_clears() -> tuple[str, bool]:
    office = _worked()
    done(office.clears("Fri 09:58", "YB", "C"))
    done(office.clears("Fri 10:05", "DQ", "A"))
    return ("cleared" if _item(office) is None else "open"), False


def _two_raises() -> tuple[str, bool]:
    office = _raised()
    done(office.worse("Fri 09:58", "YB", "X", "C"))
    done(office.worse("Fri 10:05", "IO", "-", "A"))
    item = _item(office)
    assert item is not None
    return item.symbol, bool(item.disputes)


def _two_deferrals() -> tuple[str, bool]:
    office = _raised()
    done(office.defers("Thu 09:58", "MS", "23-H-04", "A"))
    done(office.defers("Thu 09:59", "OH", "23-H-05", "C", met=("jack", "phone")))
    item = _item(office)
    assert item is not None
    assert item.deferral is not None
    return ("earlier" if item.deferral.category == "B" else "later"), bool(item.disputes)


def _deferral_and_action() -> tuple[str, bool]:
    office = _raised()
    done(office.defers("Thu 09:58", "MS", "23-H-05", "A", met=("jack", "phone")))
    done(office.acts("Thu 10:20", "BT", device="C"))
    item = _item(office)
    assert item is not None
    assert (item.state, office.verdict("Sun 00:00").symbol) == ("action_recorded", "X")
    return "action recorded", bool(item.disputes)


def _void_and_action() -> tuple[str, bool]:
    office = _raised()
    done(office.voids("Thu 09:58", "IO", "A"))
    done(office.acts("Thu 10:20", "BT", device="C"))
    item = _item(office)
    assert item is not None
    return "open", bool(item.disputes)


def _panel() -> tuple[str, bool]:
    office = Office()
    line = {"item": "panel", "title": "panel L3", "item_kind": "access", "home": "SHUT"}
    by = By(doer="BT")
    opened = b.LineMoved(**line, from_="SHUT", to="OPEN", by=by)  # type: ignore[arg-type]  # the kind is text
    shut = b.LineMoved(**line, from_="OPEN", to="SHUT", by=by)  # type: ignore[arg-type]  # the kind is text
    office.write("Thu 09:58", "BT", opened, "A")
    office.write("Thu 09:59", "NH", shut, "C")
    office.exchange("S", "A", "C")
    assert office.verdict("Thu 12:00").symbol == "X"
    return ("open" if office.facts().line("panel") else "shut"), False


def _by_nh(when: str) -> tuple[str, bool]:
    """NH's authority ended on Wednesday at 17:00, which his tablet had not heard."""
    office = _raised()
    done_ = b.ActionRecorded(number="107-S01", text="strap remade", by=By(doer="NH"),
                             seen=office.facts("C").open[0].seen)  # fmt: skip
    office.write(when, "NH", done_, "C")
    item = _item(office)
    assert item is not None
    return ("holds" if item.work else "does not hold"), bool(item.disputes)


def _written_twice() -> tuple[str, bool]:
    office = Office()
    office.raises("Mon 08:35", "AF", text="hum", device="A", weakens=("lf.rx",))
    office.raises("Mon 08:40", "BT", text="LF hums", device="C", weakens=("lf.rx",))
    office.exchange("S", "A", "C")
    assert likely_same(office.facts(), "107-A01", 48) == ("107-C01",)
    return f"{len(office.facts().open)} entries", False


PLAYED: dict[tuple[str, str], tuple[Callable[[], tuple[str, bool]], str]] = {
    ("clear", "note without symbol"): (_clear_and_note, "cleared"),
    ("clear", "raise / to X"): (_clear_and_raise, "open at X"),
    ("clear", "clear by another inspector"): (_two_clears, "cleared"),
    ("raise to X", "raise to dash"): (_two_raises, "X"),
    ("defer C", "defer B"): (_two_deferrals, "earlier"),
    ("defer", "action recorded"): (_deferral_and_action, "action recorded"),
    ("entered in error", "action recorded"): (_void_and_action, "open"),
    ("panel opened", "panel closed without having seen it opened"): (_panel, "open"),
    ("authority ended Wed 17:00", "signature made Wed 16:50 offline"):
        (lambda: _by_nh("Wed 16:50"), "holds"),
    ("authority ended Wed 17:00", "signature made Wed 17:10 offline"):
        (lambda: _by_nh("Wed 17:10"), "does not hold"),
    ("two devices each write the same defect", ""): (_written_twice, "2 entries"),
}  # fmt: skip


@pytest.mark.parametrize("row", [r for r in ROWS if r[0] not in ELSEWHERE], ids=" | ".join)
def test_two_tablets_read_together_as_the_table_says(row: tuple[str, str]) -> None:
    play, word = PLAYED[row]
    reading, listed = play()
    assert reading == word
    assert listed == (ROWS[row]["listed_as_disagreement"] == "yes")


def test_scenario_77_and_the_fork_of_friday_stays_x_is_listed_and_a_third_person_settles_it() -> (
    None
):
    office = _worked()
    done(office.worse("Fri 09:58", "YB", device="C"))
    done(office.clears("Fri 10:05", "DQ", "A"))
    assert office.verdict("Fri 10:06", "A").symbol == "clear"
    office.exchange("S", "A", "C")
    item = office.entry()
    assert item is not None
    assert office.verdict("Fri 10:20").symbol == "X"
    (dispute,) = item.disputes
    assert dispute.text == (
        "DQ cleared: seen, tight [A-1], without having seen that YB made X: grew [C-1]; "
        "it stays open at X"
    )
    for who in ("DQ", "YB"):
        assert refused(office.settles("Fri 10:30", who)).rule == (
            f"{who} is a party: DQ, YB wrote what disagrees"
        )
    assert refused(office.settles("Fri 10:30", "MS")).rule == (
        "it needs chief or inspector; MS is shift lead"
    )
    done(office.settles("Fri 10:40", "LH"))
    settled = office.entry()
    assert settled is not None
    assert (settled.symbol, settled.state, settled.disputes) == ("X", "open", ())
    done(office.acts("Fri 16:10", "BT"))
    done(office.clears("Fri 16:40", "DQ"))
    assert office.facts().open == ()


def test_a_third_person_may_let_the_clearance_stand() -> None:
    office = _worked()
    done(office.worse("Fri 09:58", "YB", device="C"))
    (cleared,) = done(office.clears("Fri 10:05", "DQ", "A"))
    office.exchange("S", "A", "C")
    told = refused(office.settles("Fri 10:40", "LH", "00" * 32))
    assert told.what == "that line is none of those that disagree about 107-S01"
    done(office.settles("Fri 10:40", "LH", cleared.digest.hex()))
    assert office.facts().open == ()


def test_nothing_is_cleared_over_a_disagreement_and_acting_on_it_does_not_settle_it() -> None:
    office = _worked()
    done(office.worse("Fri 09:58", "YB", device="C"))
    done(office.clears("Fri 10:05", "DQ", "A"))
    office.exchange("S", "A", "C")
    done(office.acts("Fri 10:30", "BT"))
    told = refused(office.clears("Fri 10:35", "DQ"))
    assert told.rule == ("107-S01 stands in a disagreement, which a third person settles first")
    assert told.who_could == "LH (chief), by `hardstand defect settle`"


def test_a_lowering_unseen_by_whoever_acted_meanwhile_does_not_count_and_is_listed() -> None:
    office = Office()
    office.raises("Wed 15:20", "IO", "-")
    office.exchange("S", "A", "C")
    done(office.worse("Fri 09:58", "MS", "/", "A"))
    done(office.acts("Fri 09:59", "BT", device="C"))
    item = _item(office)
    assert item is not None
    assert item.symbol == "-"
    assert [d.parties for d in item.disputes] == [("MS", "BT")]


def test_an_extension_unseen_by_whoever_acted_meanwhile_does_not_count_and_is_listed() -> None:
    office = _raised()
    done(office.defers("Wed 15:30", "OH", "23-H-05", met=("jack", "phone")))
    office.exchange("S", "A", "C")
    done(office.extends("Thu 08:00", "LH", 3, device="A"))
    done(office.acts("Thu 08:01", "BT", device="C"))
    item = _item(office)
    assert item is not None
    assert item.deferral is not None
    assert (item.deferral.extended, len(item.disputes)) == (0, 1)


def test_a_joining_to_an_entry_that_was_cleared_meanwhile_does_not_hold() -> None:
    office = Office()
    office.raises("Wed 15:20", "IO", text="hum")
    office.raises("Wed 15:30", "AF", text="hum again")
    done(office.acts("Wed 16:00", "BT"))
    office.exchange("S", "A", "C")
    done(office.clears("Wed 16:10", "DQ", "A"))
    done(office.joins("Wed 16:20", "OH", "107-S02", "107-S01", "C"))
    office.exchange("S", "A", "C")
    (item,) = office.facts().open
    assert item.number == "107-S02"
    assert "does not hold" in item.disputes[0].text


def test_words_the_inspector_had_not_seen_open_nothing_but_stay_readable() -> None:
    assert _clear_and_note() == ("cleared", False)


def test_three_devices_agree_whatever_the_order_of_exchange() -> None:
    office = _worked("X")
    done(office.clears("Fri 10:00", "DQ", "A"))
    done(office.rejects("Fri 10:01", "YB"))
    office.exchange("S", "C")
    done(office.acts("Fri 10:02", "BTR", device="C"))
    office.exchange("A", "C")
    office.exchange("S", "A")
    office.exchange("S", "C")
    assert office.facts("S") == office.facts("A") == office.facts("C")


# -- further pairs, read by the same rule: the worse counts, an easing holds over what was seen ----


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: f"{p[0]}: {p[1]} | {p[2]}")
@pytest.mark.parametrize("first", ["A", "C"])
def test_more_pairs_are_read_by_the_same_rule_whichever_tablet_made_which(
    pair: tuple[str, str, str, str, str, bool], first: str
) -> None:
    office = played(*pair[:3], first)
    assert office.facts("S") == office.facts("A") == office.facts("C")
    assert read(office.entry()) == pair[3:]


def test_a_settling_lets_no_line_stand_that_was_not_in_dispute() -> None:
    """C-13: a third person says which of the acts that disagree stands, and no older one."""
    office = Office()
    office.raises("Wed 15:20", "IO", "/")
    done(office.worse("Wed 15:30", "YB", "X"))
    done(office.acts("Fri 09:20", "BT"))
    office.exchange("S", "A", "C")
    done(office.clears("Fri 10:05", "DQ", device="A"))
    done(office.rejects("Fri 09:58", "YB", device="C"))
    office.exchange("S", "A", "C")
    raising = next(e for e in office.lines["S"] if e.kind == "defect.raised")
    item = office.entry()
    assert item is not None
    assert item.disputes
    settled = b.DefectSettled(
        number="107-S01", stands=raising.digest.hex(), words="x", by=By(doer="LH"), seen=item.seen
    )
    office.write("Fri 11:00", "LH", settled)
    still = office.entry()
    assert still is not None
    assert (still.symbol, still.disputes) == ("X", ())


@pytest.mark.parametrize(("symbol", "reads"), [("/", "X"), ("X", "X"), ("-", "X")])
def test_a_number_raised_twice_hides_nothing_that_is_open(symbol: Symbol, reads: str) -> None:
    """M-13 (c): two devices never make the same number; a line that does adds, never takes away."""
    office = Office()
    office.raises("Mon 10:00", "RA", "X")
    forged = b.DefectRaised(number="107-S01", symbol=symbol, text="lamp", by=By(doer="RA"))
    office.write("Mon 11:00", "RA", forged)
    (item,) = office.facts().open
    assert (item.symbol, item.text) == (reads, "hum")
    assert item.disputes[0].text.endswith("does not hold: 107-S01 was another entry by then")


def test_a_number_raised_twice_counts_as_the_graver() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA", "/")
    forged = b.DefectRaised(number="107-S01", symbol="X", text="lamp", by=By(doer="RA"))
    lines = [office.write("Mon 11:00", "RA", forged) for _ in range(2)]
    assert office.verdict("Mon 12:00").symbol == "X"
    (item,) = office.facts().open
    assert item.notes == tuple(line.digest.hex() for line in lines)
    assert [d.acts for d in item.disputes] == [(digest,) for digest in item.notes]
