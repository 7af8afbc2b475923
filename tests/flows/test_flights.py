"""Acceptance of the list shown, refusal, off-block, back and the report, on the Quennock Monday."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.defects import Report
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.flight_acts import Back
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.putting_off import Within
from hardstand.errors import Refusal, Usage
from hardstand.flows import flights
from hardstand.flows.deferring import limit
from hardstand.flows.demo_deeds import time
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from quennock_morning import by, handed, pen
from scripted import Scripted

TAIL = "QM-107"


def facts(at: Pen, tail: str = TAIL) -> AirframeFacts:
    return at.journal.facts(tail)


def accepted(path: Path, mission: str = "MAIL-N") -> Pen:
    """AF has taken QM-107 at 05:55."""
    af = pen(path, "AF", "Mon 05:55")
    shown = flights.offered(af, TAIL, mission, "AF")
    flights.accept(af, shown, shown.read, by=by("AF"))
    return af


def test_an_acceptance_keeps_the_list_word_for_word_with_its_digest(monday: Path) -> None:
    """Source: whole-job M-22 (a)."""
    af = accepted(monday)
    (line,) = list(af.journal.entries(kind="flight.accepted"))
    body = decode(line)
    assert isinstance(body, b.FlightAccepted)
    assert body.listed == (
        (
            "107-A01 / range filter switch does not stay in VOICE; placard "
            '"use ALL": on the filter switch; to 2027-03-19T03:00:00Z'
        ),
    )
    assert body.limits_read == (
        "MAIL-N CAN WITH LIMITS: 107-A01 range filter switch does not stay in VOICE",
        'MAIL-N CAN WITH LIMITS: placard "use ALL": on the filter switch',
    )
    assert len(body.digest) == 64
    assert body.seen == tuple(d for e in facts(af).open for d in e.seen)
    assert line.signature is not None
    assert line.author == "AF"


def test_nobody_but_a_pilot_accepts(monday: Path) -> None:
    ms = pen(monday, "MS", "Mon 05:55")
    shown = flights.offered(ms, TAIL, "MAIL-N", "MS")
    with pytest.raises(Refusal) as caught:
        flights.accept(ms, shown, shown.read, by=by("MS"))
    assert caught.value.lines()[:2] == (
        "MS does not accept QM-107",
        "Rule: it needs pilot; MS is shift lead",
    )


def test_no_acceptance_over_an_x(monday: Path) -> None:
    """Source: whole-job M-22 (c)."""
    ra = pen(monday, "RA", "Mon 05:55")
    shown = flights.offered(ra, "QM-170", "MAIL-D", "RA")
    with pytest.raises(Refusal) as caught:
        flights.accept(ra, shown, shown.read, by=by("RA"))
    assert caught.value.what == (
        "QM-170 stands at red X: X — 170-S07 red X: in work, not radio: wing tip repair"
    )
    with pytest.raises(Refusal):
        flights.ask(ra, shown, (), Scripted([]), by=by("RA"))


def test_a_diagonal_nobody_has_ruled_on_stops_an_acceptance(monday: Path) -> None:
    """Source: whole-job S-04."""
    raise_defect(pen(monday, "BT", "Mon 05:50"), TAIL, Told(words="lamp dim"), by=by("BT"))
    af = pen(monday, "AF", "Mon 05:55")
    shown = flights.offered(af, TAIL, "MAIL-D", "AF")
    with pytest.raises(Refusal) as caught:
        flights.accept(af, shown, shown.read, by=by("AF"))
    assert caught.value.what == "107-S01: nobody has said what is to become of it"
    act(handed(af, "MS", "Mon 05:56"), "107-S01", "rule", ("lamp on order",), by=by("MS"))
    again = flights.offered(af, TAIL, "MAIL-D", "AF")
    assert flights.accept(af, again, again.read, by=by("AF")) == (
        "AF has accepted QM-107 for MAIL-D, on a list of 2 open entries."
    )


def test_what_limits_the_flight_is_read_out_line_by_line(monday: Path) -> None:
    af = pen(monday, "AF", "Mon 05:55")
    shown = flights.offered(af, TAIL, "MAIL-N", "AF")
    with pytest.raises(Refusal) as caught:
        flights.accept(af, shown, shown.read[:1], by=by("AF"))
    assert caught.value.what == f"not read out: {shown.read[1]}"
    asked = Scripted(["C", "C", "1"])
    assert flights.ask(af, shown, ("four lines",), asked, by=by("AF")).startswith("AF has accepted")


def test_a_pilot_refuses_with_one_key_and_no_reason(monday: Path) -> None:
    """Source: whole-job M-22 (e), scenario 95."""
    af = pen(monday, "AF", "Mon 05:55")
    shown = flights.offered(af, TAIL, "MAIL-D", "AF")
    said = flights.ask(af, shown, (), Scripted(["2", ""]), by=by("AF"))
    assert said == "AF does not take QM-107 for MAIL-D. QM-107 stands as it did."
    assert flown_of(facts(af)).accepted is None
    assert [e.kind for e in af.journal.entries(kind="flight.refused")] == ["flight.refused"]


def test_an_entry_after_the_acceptance_undoes_it(monday: Path) -> None:
    """Source: whole-job M-22 (b), scenario 94."""
    af = accepted(monday)
    assert flown_of(facts(af)).accepted is not None
    raise_defect(handed(af, "BT", "Mon 06:00"), TAIL, Told(words="wire slack"), by=by("BT"))
    taken = flown_of(facts(af)).accepted
    assert taken is not None
    assert taken.undone == "107-S01 / was raised"
    out = handed(af, "AF", "Mon 06:10")
    said = flights.out(out, TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    assert said == (
        "QM-107 left for MAIL-N with AF, flight 1 of it.\n"
        "IRREGULARITY: accepted before 107-S01 / was raised. A chief is told."
    )


def test_a_list_that_changed_while_it_was_shown_is_not_signed(monday: Path) -> None:
    af = pen(monday, "AF", "Mon 05:55")
    shown = flights.offered(af, TAIL, "MAIL-D", "AF")
    told = Told(words="wire slack")
    raise_defect(handed(af, "BT", "Mon 05:56"), TAIL, told, by=by("BT"))
    with pytest.raises(Refusal) as caught:
        flights.accept(af, shown, shown.read, by=by("AF"))
    assert caught.value.what == "the list of QM-107 has changed since it was shown"


def test_a_flight_in_order_is_no_irregularity_and_ends_in_a_word(monday: Path) -> None:
    af = accepted(monday)
    out = handed(af, "AF", "Mon 06:10")
    assert flights.out(out, TAIL, "MAIL-N", "AF", off=None, by=by("AF")) == (
        "QM-107 left for MAIL-N with AF, flight 1 of it."
    )
    back = handed(af, "AF", "Mon 08:22")
    assert flights.back(back, TAIL, Back(on=None), on=None, by=by("AF")) == (
        "QM-107 is back. REPORT OWED by AF: hardstand flight in QM-107"
    )
    assert [f.pilot for f in flown_of(facts(af)).owed] == ["AF"]
    said = flights.report(Scripted(["1"]))
    assert flights.back(back, TAIL, said, on=None, by=by("AF")) == (
        "QM-107 is back; no defect known."
    )
    assert flown_of(facts(af)).owed == ()


def _circled(at_: Pen, when: str, *, once: bool) -> str:
    """An X found by BT on QM-107 and circled by LH from then to Thursday; its number."""
    bt = handed(at_, "BT", when)
    number = raise_defect(bt, TAIL, Told(words="wire slack", symbol="X"), by=by("BT")).split()[0]
    within = Within(limits="by day", ends=time("Thu 12:00"), one_operation=once, reason="move it")
    limit(handed(at_, "LH", when), number, within, by=by("LH"))
    return number


def test_tv_1_15_an_x_circled_for_one_operation_is_x_again_when_the_aircraft_is_back(
    monday: Path,
) -> None:
    """OD1610 as quoted: circled for one operation it goes back to X at the end of that."""
    af = pen(monday, "AF", "Mon 05:55")
    once, longer = (_circled(af, "Mon 05:56", once=once) for once in (True, False))
    flights.out(handed(af, "AF", "Mon 06:10"), TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    next_one = _circled(af, "Mon 07:00", once=True)
    back = handed(af, "AF", "Mon 08:22")
    said = flights.back(back, TAIL, Back(on=None, again=((once, "worse"),)), on=None, by=by("AF"))
    assert said == (
        f"QM-107 is back; reported: {once}.\n{once} was circled for one operation; it is X again."
    )
    found = {
        e.number: (e.symbol, e.disputes) for e in facts(af).open if e.limits or e.symbol == "X"
    }
    assert found == {once: ("X", ()), longer: ("(X)", ()), next_one: ("(X)", ())}


def test_a_report_in_four_answers_is_an_entry_of_its_own(monday: Path) -> None:
    af = accepted(monday)
    flights.out(handed(af, "AF", "Mon 06:10"), TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    answers = ["2", "LF, CODE", "hum from take-off on", "steady, generator on", "filter ALL", "1"]
    said = flights.report(Scripted(answers))
    back = handed(af, "AF", "Mon 08:32")
    told = flights.back(back, TAIL, said, on=time("Mon 08:22"), by=by("AF"))
    assert told == "QM-107 is back; reported: 107-S01."
    entry = facts(af).entry("107-S01")
    assert entry is not None
    assert (entry.symbol, entry.text, entry.found_by) == ("/", "hum from take-off on", "AF")
    assert entry.conditions == "steady, generator on; tried: filter ALL"


def test_an_aircraft_in_the_air_does_not_leave_again(monday: Path) -> None:
    af = accepted(monday)
    out = handed(af, "AF", "Mon 06:10")
    flights.out(out, TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    with pytest.raises(Refusal) as caught:
        flights.out(out, TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    assert caught.value.what == "QM-107 left at 2027-03-08T09:10:00Z with AF and has not come back"
    with pytest.raises(Refusal) as landed:
        flights.back(handed(af, "AF", "Mon 06:20"), TAIL, Back(on=None), on=time("Mon 06:00"),
                     by=by("AF"))  # fmt: skip
    assert landed.value.what.startswith("back at 2027-03-08T09:00:00Z is before off-block")


def test_an_aircraft_on_the_ground_does_not_come_back(monday: Path) -> None:
    af = pen(monday, "AF", "Mon 05:55")
    with pytest.raises(Refusal) as caught:
        flights.back(af, TAIL, Back(on=None, none_known=True), on=None, by=by("AF"))
    assert caught.value.what == "QM-107 is not in the air, by the record"


@pytest.mark.parametrize(
    ("tail", "mission", "texts"),
    [
        ("QM-170", "MAIL-D", ("TV had not accepted the aircraft", "170-S07 stood at X",
                              "no preflight")),
        ("QM-110", "MAIL-N", ("TV had not accepted the aircraft", "no preflight")),
        ("QM-110", "FERRY-D", ("TV had not accepted the aircraft",)),
        ("QM-101", "MAIL-D", ("TV had not accepted the aircraft",)),
    ],
)  # fmt: skip
def test_a_flight_that_should_not_have_left_is_told_and_stands(
    monday: Path, tail: str, mission: str, texts: tuple[str, ...]
) -> None:
    """Source: whole-job M-34; a mission that needs no radio needs no preflight (design 9)."""
    tv = pen(monday, "TV", "Mon 06:30")
    flights.out(tv, tail, mission, "TV", off=None, by=by("TV"))
    (odd,) = flown_of(facts(tv, tail)).irregular
    assert odd.texts == texts


def test_a_flight_entered_late_is_judged_by_its_own_off_block(monday: Path) -> None:
    """An X raised and cleared, or an entry raised, since off-block changes nothing of it."""
    af = accepted(monday)
    raise_defect(handed(af, "BT", "Mon 06:30"), TAIL, Told(words="nick", symbol="X"), by=by("BT"))
    late = handed(af, "AF", "Mon 09:00")
    said = flights.out(late, TAIL, "MAIL-N", "AF", off=time("Mon 06:10"), by=by("AF"))
    assert "IRREGULARITY" not in said


def test_the_past_knows_a_flight_from_when_it_was_not_from_when_it_was_written(
    monday: Path,
) -> None:
    """Off at 06:10 and on at 08:20, both written at 09:00."""
    late = handed(accepted(monday), "AF", "Mon 09:00")
    flights.out(late, TAIL, "MAIL-N", "AF", off=time("Mon 06:10"), by=by("AF"))
    flights.back(late, TAIL, Back(on=None, none_known=True), on=time("Mon 08:20"), by=by("AF"))
    assert [_flown_at(late, when) for when in ("06:05", "06:15", "08:25")] == [
        [], [""], [time("Mon 08:20")],
    ]  # fmt: skip


def _flown_at(at: Pen, when: str) -> list[str]:
    past = Past(at.journal, time(f"Mon {when}"))
    return [f.on for f in flown_of(past.facts(TAIL)).last]


def test_an_x_of_before_off_block_that_was_cleared_since_is_told_all_the_same(
    monday: Path,
) -> None:
    """Source: whole-job scenario 48, nothing hides it later."""
    bt = pen(monday, "BT", "Mon 05:50")
    raise_defect(bt, "QM-101", Told(words="wire nicked", symbol="X"), by=by("BT"))
    act(handed(bt, "BT", "Mon 07:00"), "101-S01", "action", ("renewed",), by=by("BT"))
    act(handed(bt, "DQ", "Mon 07:10"), "101-S01", "clear", ("seen",), by=by("DQ"))
    tv = handed(bt, "TV", "Mon 09:00")
    flights.out(tv, "QM-101", "MAIL-D", "TV", off=time("Mon 06:15"), by=by("TV"))
    (odd,) = flown_of(facts(tv, "QM-101")).irregular
    assert odd.texts == ("TV had not accepted the aircraft", "101-S01 stood at X")


def test_the_pilot_is_told_once_what_came_of_the_report(monday: Path) -> None:
    """Source: whole-job D-04."""
    af = accepted(monday)
    flights.out(handed(af, "AF", "Mon 06:10"), TAIL, "MAIL-N", "AF", off=None, by=by("AF"))
    hum = Back(on=None, reports=(Report(symbol="/", text="hum in LF receiver"),))
    flights.back(handed(af, "AF", "Mon 08:32"), TAIL, hum, on=None, by=by("AF"))
    act(handed(af, "BT", "Mon 10:50"), "107-S01", "action", ("strap remade",), by=by("BT"))
    act(handed(af, "DQ", "Mon 11:05"), "107-S01", "clear", ("strap seen",), by=by("DQ"))
    again = handed(af, "AF", "Mon 12:00")
    shown = flights.offered(again, "QM-101", "MAIL-D", "AF")
    assert [(o.number, o.found, o.by) for o in shown.outcomes] == [
        ("107-S01", "cleared: strap remade", "BT")
    ]
    flights.accept(again, shown, shown.read, by=by("AF"))
    assert flights.offered(again, TAIL, "MAIL-D", "AF").outcomes == ()
    assert flights.offered(again, TAIL, "MAIL-D", "TV").outcomes == ()


def test_an_unknown_mission_names_those_of_the_fit(monday: Path) -> None:
    af = pen(monday, "AF", "Mon 05:55")
    with pytest.raises(Usage) as caught:
        flights.offered(af, TAIL, "MAIL-X", "AF")
    assert caught.value.lines() == (
        "'MAIL-X' is no mission of fit H.",
        "One of FERRY-D, MAIL-D, MAIL-N, SURVEY-N, SURVEY-F.",
    )


def test_a_clock_that_is_not_trusted_refuses_what_hangs_on_a_date(monday: Path) -> None:
    """Source: whole-job 7l, tablet D on Friday: CANNOT TELL counts as run out."""
    af = replace(pen(monday, "AF", "Mon 05:55", "D"), trusted=False)
    shown = flights.offered(af, TAIL, "MAIL-D", "AF")
    with pytest.raises(Refusal) as caught:
        flights.accept(af, shown, shown.read, by=by("AF"))
    assert "CANNOT TELL whether it ran out 18 Mar 24:00, so it counts as X" in caught.value.what
