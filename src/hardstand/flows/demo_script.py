"""What happens at Quennock before and in the week of Monday 8 March 2027: invented, all of it.

Source: whole-job 7.
"""

from __future__ import annotations

from hardstand.flows import demo_deeds as d
from hardstand.flows.demo_deeds import Does
from hardstand.flows.demo_week import Deed, Event, Walked

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def _at(at: str, device: str, by: str, *does: Does, early: bool = False) -> tuple[Deed, ...]:
    return tuple(Deed(at=at, device=device, by=by, does=one, early=early) for one in does)


def _flight(tail: str, pilot: str, mission: str, off: str, on: str, report: str = "") -> list[Deed]:
    """A flight on the laptop: accepted 15 min before, back 10 min after, or when reported."""
    day, _, clock = off.partition(" ")
    hour, minute = (int(part) for part in clock.split(":"))
    before = f"{day} {hour - (minute < 15):02d}:{(minute - 15) % 60:02d}"
    landed = (int(on[:2]) * 60 + int(on[3:]) + 10) % 1440
    after, _, number = report.partition(" ") if report else ("", "", "")
    back = f"{day} {after or f'{landed // 60:02d}:{landed % 60:02d}'}"
    return [
        *_at(before, "S", pilot, d.accepts(tail, mission)),
        *_at(off, "S", pilot, d.leaves(tail, mission)),
        *_at(back, "S", pilot, d.returns(tail, f"{day} {on}", known=number)),
    ]


BEFORE: tuple[Event, ...] = (
    *_at("2026-11-01T10:00-03:00", "S", "BT",
         d.receives("CRW-1010", "L-2240"), d.receives("CRW-1020", "A-2440"),
         d.receives("CRW-2020", "U-1340"), d.receives("CRW-3010", "M-5140"),
         d.receives("CRW-6010", "F-8140"), d.receives("CRW-7020", "C-4431")),
    *_at("2027-01-20T09:00-03:00", "S", "BTR",
         d.raises("QM-110", "LF receiver dial lamp out", unit="RX-LF")),
    *_at("2027-01-20T10:00-03:00", "S", "MS",
         d.defers("110-S03", "23-H-09", "torch seen", reason="lamp on order")),
    *_at("2027-02-19T14:00-03:00", "S", "MS",
         d.raises("QM-170", "in work, not radio: wing tip repair", symbol="X")),
    *_at("2027-03-01T09:00-03:00", "S", "BT",
         d.cards("QM-101", "CRW-7020", "C-4410", "CTL-T", removed="2026-11-17",
                 symptom="sidetone in and out", bench="no fault found", benched="2026-12-02"),
         d.cards("QM-113", "CRW-7020", "C-4410", "CTL-T", fitted="2026-12-10",
                 removed="2027-01-28", symptom="sidetone in and out", bench="no fault found",
                 benched="2027-02-05"),
         d.cards("QM-104", "CRW-7020", "C-4410", "CTL-T", fitted="2027-02-11")),
    *_at("2027-03-02T16:00-03:00", "S", "YB",
         d.raises("QM-164", "channel 4 crystals not fitted", unit="TR-V", takes="ch4")),
    *_at("2027-03-02T17:00-03:00", "S", "OH",
         d.defers("164-S05", "23-V-03", "on button 4", reason="crystals on order")),
    *(deed for device in "ABCD" for deed in _at("Sun- 16:00", device, "JW", d.marks)),
    *_at("Sun- 16:10", "S", "JW",
         d.sees_clock("C", "2027-03-07T16:17:20-03:00", "2027-03-07T16:10-03:00"),
         d.sees_clock("A", "2027-03-07T16:09:48-03:00", "2027-03-07T16:10-03:00")),
)  # fmt: skip
"""What was open, on cards and in the store before the week; the clocks of the tablets."""

MONDAY: tuple[Event, ...] = (
    Walked(tail="QM-107", who="IO/BT", device="A", start="Mon 04:35", end="Mon 05:24", odd={
        "filter-stays": ("DOES NOT STAY", "range filter switch does not stay in VOICE",
                         "Mon 05:09")}),
    Walked(tail="QM-101", who="NH", device="B", start="Mon 04:40", end="Mon 05:26"),
    Walked(tail="QM-161", who="YB", device="C", start="Mon 04:50", end="Mon 05:16", odd={
        "op-call-3": ("SKIPPED no station on watch",
                      "channel 3 not tested: no station on watch", "Mon 05:11")}),
    Walked(tail="QM-104", who="BTR", device="D", start="Mon 05:30", end="Mon 06:17"),
    *_at("Mon 05:40", "S", "MS",
         d.defers("107-A01", "23-H-04", "on the filter switch", reason="switch on order")),
    *_flight("QM-107", "AF", "MAIL-N", "Mon 06:10", "08:22", "08:35 107-A02"),
    *_flight("QM-101", "TV", "MAIL-N", "Mon 06:15", "08:40"),
    *_at("Mon 07:32", "C", "YB",
         d.acts("161-C01", "prove", "",
                "Great Fennoway on watch, called on channel 3, loud and clear")),
    *_flight("QM-161", "KS", "SURVEY-N", "Mon 08:00", "11:35"),
    *_at("Mon 08:35", "A", "AF", d.raises(
        "QM-107", "hum in LF receiver, generator on", unit="RX-LF", weakens="lf.rx",
        symptom="hum", noticed="cruise", conditions="generator on"), early=True),
    *_at("Mon 10:50", "A", "BT",
         d.mends("107-A02", "could not duplicate on battery; bond strap remade, 1.1 milliohm",
                 "could_not_duplicate")),
    *_at("Mon 11:05", "A", "DQ",
         d.clears("107-A02", "could not duplicate; strap seen, tight")),
    *_flight("QM-107", "RA", "MAIL-D", "Mon 13:05", "15:10"),
    *_flight("QM-104", "RA", "MAIL-N", "Mon 20:10", "22:18", "22:30 104-S01"),
    *_at("Mon 22:30", "S", "RA", d.raises(
        "QM-104", "no sidetone on either transmitter", takes="sidetone", symptom="sidetone"),
        early=True),
    *_at("Mon 22:50", "S", "OH",
         d.defers("104-S01", "23-H-05", "on the panel", "Tarrick tower, by telephone",
                  reason="control box to be looked at")),
)  # fmt: skip

TUESDAY: tuple[Event, ...] = (
    Walked(tail="QM-110", who="BTR", device="B", start="Tue 04:40", end="Tue 05:36", odd={
        "dial-lf-212": ("213.0", "", ""), "dial-lf-329": ("239 330.5", "", ""),
        "dial-lf-446": ("448.5", "", "")}),
    Walked(tail="QM-113", who="NH", device="D", start="Tue 04:45", end="Tue 07:10", odd={
        "op-modulation": ("FAULT", "both transmitters: low modulation, readability 3",
                          "Tue 05:28")}),
    Walked(tail="QM-164", who="YB", device="C", start="Tue 05:00", end="Tue 06:02", odd={
        "op-call-1": ("FAULT", "channel 1: no transmit", "Tue 05:22")}),
    *_at("Tue 05:36", "A", "BT",
         d.acts("113-D01", "symbol", "X", "not two transmitters, one modulator; no voice to fly")),
    *_at("Tue 05:44", "C", "YB",
         d.mends("164-C01", "transmit crystal of channel 1 changed"),
         d.retests("164-C01", "op-call-1")),
    Walked(tail="QM-166", who="IO/BT", device="A", start="Tue 05:45", end="Tue 06:12", odd={
        "ant-wire-forward": ("FAULT", "antenna wire nicked at forward insulator", "Tue 06:02")},
        stops="stopped_by_x", stops_at="ant-insulator-forward"),
    *_at("Tue 05:46", "C", "YB", d.refused(d.clears("164-C01", "channel 1 works"))),
    *_at("Tue 06:05", "C", "DQ",
         d.clears("164-C01", "crystal 5087.5 seen in socket 1; tower answered on channel 1")),
    *_flight("QM-110", "TV", "MAIL-N", "Tue 06:20", "08:31"),
    *_at("Tue 06:40", "D", "NH",
         d.swaps("QM-113", "MOD", "M-5140", "M-5113", reason="low modulation",
                 symptom="low modulation", entry="113-D01"),
         d.mends("113-D01", "modulator changed, latches and wire done; 06:35 both 5",
                 out="MOD M-5113", into="MOD M-5140"),
         d.retests("113-D01", "op-modulation", "op-sidetone")),
    *_at("Tue 06:58", "D", "DQ",
         d.clears("113-D01", "tray, latches and wire seen; both transmitters 5 by the tower")),
    *_flight("QM-113", "AF", "MAIL-D", "Tue 07:25", "09:40"),
    *_flight("QM-164", "KS", "SURVEY-N", "Tue 08:10", "11:50"),
    Walked(tail="QM-107", who="BTR", device="B", start="Tue 10:30", end="Tue 11:18"),
    *_flight("QM-107", "RA", "MAIL-D", "Tue 13:00", "15:06"),
)  # fmt: skip

WEDNESDAY: tuple[Event, ...] = (
    Walked(tail="QM-164", who="YB", device="C", start="Wed 04:40", end="Wed 05:06", odd={
        "lis-dyn": ("FAULT", "dynamotor DYN-V noisy, hot smell", "Wed 05:00")},
        stops="stopped_by_x", stops_at="op-gate"),
    *_at("Wed 05:06", "C", "YB",
         d.acts("164-C02", "symbol", "X", "it smells hot; it would not last a flight"),
         early=True),
    Walked(tail="QM-110", who="BTR", device="B", start="Wed 04:45", end="Wed 05:33", odd={
        "dial-lf-212": ("213.0", "", ""), "dial-lf-329": ("330.5", "", ""),
        "dial-lf-446": ("449.0", "", "")}),
    *_at("Wed 06:10", "S", "NH",
         d.moves("QM-170", "DYN-V", "QM-164", "W-3317", "W-3312", reason="noisy, hot smell",
                 symptom="noisy", entry="164-C02", ordered_by="MS"),
         d.mends("164-C02", "dynamotor changed for W-3317 out of QM-170",
                 out="DYN-V W-3312", into="DYN-V W-3317"),
         d.retests("164-C02", "lis-dyn", "op-call-1")),
    *_flight("QM-110", "TV", "MAIL-N", "Wed 06:15", "08:24"),
    *_at("Wed 06:30", "S", "DQ",
         d.clears("164-C02", "mount, plug and brushes seen; quiet, tower clear both ways")),
    Walked(tail="QM-164", who="YB", device="C", start="Wed 06:35", end="Wed 07:01"),
    *_flight("QM-164", "KS", "SURVEY-N", "Wed 08:00", "11:42"),
    Walked(tail="QM-101", who="NH", device="D", start="Wed 10:40", end="Wed 11:09",
           stops="taken_away", stops_at="filter-all",
           stop_words="taken away: transmitters and filter not tested"),
    *_at("Wed 11:20", "S", "AF", d.accepts("QM-101", "FERRY-D")),
    *_at("Wed 11:30", "S", "AF", d.leaves("QM-101", "FERRY-D")),
    *_at("Wed 12:12", "S", "AF", d.returns("QM-101", "Wed 12:02")),
    Walked(tail="QM-104", who="BTR", device="B", start="Wed 13:10", end="Wed 13:58"),
    *_at("Wed 14:20", "A", "BT",
         d.mends("166-A01", "antenna wire renewed from insulator to insulator"),
         d.retests("166-A01", "ant-wire-forward")),
    *_at("Wed 14:45", "A", "DQ",
         d.clears("166-A01", "new wire, both ends and tension seen")),
    Walked(tail="QM-166", who="IO/BT", device="A", start="Wed 15:00", end="Wed 15:50", odd={
        "ant-insulator-forward": ("FAULT", "forward insulator: hairline chip", "Wed 15:20")}),
    *_flight("QM-104", "RA", "MAIL-D", "Wed 15:00", "17:08", "17:20 104-S02"),
    *_at("Wed 17:00", "S", "JW",
         d.ends_authority("NH", "Wed 17:00", "leaves the company")),
    *_at("Wed 17:20", "S", "RA", d.raises(
        "QM-104", "sidetone in and out", takes="sidetone", symptom="sidetone"), early=True),
    *_at("Wed 18:00", "S", "OH", d.acts("104-S02", "same-as", "104-S01")),
)  # fmt: skip

THURSDAY: tuple[Event, ...] = (
    Walked(tail="QM-107", who="IO/BT", device="A", start="Thu 04:40", end="Thu 05:27", odd={
        "lis-move-lf": ("FAULT", "slight hum in LF receiver, volume full", "Thu 05:12")}),
    *_at("Thu 05:03", "S", "JW", d.new_key("YB", "passphrase forgotten", "MS")),
    Walked(tail="QM-161", who="YB", device="C", start="Thu 05:05", end="Thu 05:31"),
    *_at("Thu 05:40", "S", "MS",
         d.defers("107-A03", "23-H-01", "both copied on TK", reason="strap to be looked at")),
    *_flight("QM-107", "AF", "MAIL-N", "Thu 06:05", "08:15", "08:25 107-S01"),
    *_flight("QM-161", "KS", "SURVEY-N", "Thu 08:00", "11:31"),
    *_at("Thu 08:25", "S", "AF", d.raises(
        "QM-107", "hum again, LF, generator on", unit="RX-LF", weakens="lf.rx", symptom="hum",
        conditions="generator on"), early=True),
    *_at("Thu 09:10", "S", "MS", d.owns("101-D01")),
    *_at("Thu 11:20", "C", "YB",
         d.mends("164-S05", "crystals of channel 4 fitted"),
         d.retests("164-S05", "op-call-4")),
    *_at("Thu 11:30", "A", "BT",
         d.mends("107-A03", "bond strap of the LF tray renewed"),
         d.retests("107-A03", "lis-hear-lf", "lis-move-lf")),
    *_at("Thu 11:45", "C", "DQ",
         d.clears("164-S05", "crystals seen; channel 4 called", placard_off=True)),
    *_at("Thu 11:45", "S", "MS", d.acts("107-S01", "same-as", "107-A03")),
    *_at("Thu 11:50", "A", "DQ", d.clears("107-A03", "new strap seen; no hum on battery")),
    *_flight("QM-107", "TV", "MAIL-D", "Thu 13:10", "15:14"),
    Walked(tail="QM-110", who="BTR", device="D", start="Thu 14:30", end="Thu 15:12", odd={
        "lis-battery": ("ON", "", "Thu 14:31"), "lis-power": ("ON", "", "Thu 14:35"),
        "dial-lf-212": ("213.0", "", ""), "dial-lf-329": ("330.5", "", ""),
        "dial-lf-446": ("449.0", "", "")},
        stops="left_unfinished", stops_at="op-gate", left=("battery", "rx_power"),
        stop_words="walk left: transmit steps not done"),
    *_at("Thu 16:47", "C", "OH",
         d.puts_back("QM-110", "rx_power", "battery"),
         d.raises("QM-110", "battery left on 136 min: charge before start", symbol="-")),
    Walked(tail="QM-104", who="BTR", device="D", start="Thu 16:55", end="Thu 17:43"),
    *_at("Thu 18:30", "B", "BTR", d.mends("110-C01", "battery charged, 26.2 V after an hour")),
)  # fmt: skip

FRIDAY: tuple[Event, ...] = (
    Walked(tail="QM-113", who="IO/BT", device="A", start="Fri 04:35", end="Fri 05:24"),
    Walked(tail="QM-110", who="BTR", device="B", start="Fri 04:40", end="Fri 05:30", odd={
        "dial-lf-212": ("213.0", "", ""), "dial-lf-329": ("331.0", "", ""),
        "dial-lf-446": ("449.5", "", ""), "op-call-2": ("FAULT", "TX-2 dead", "Fri 04:50")},
        undone={"op-call-2": "Fri 04:53"}, taken=("110-D01", "110-C01")),
    *_at("Fri 05:50", "D", "RA", d.refused(d.accepts("QM-104", "MAIL-N"))),
    *_at("Fri 05:55", "B", "DQ", d.clears("110-C01", "battery seen charged, switch OFF")),
    *_flight("QM-113", "TV", "MAIL-N", "Fri 06:10", "08:18"),
    *_flight("QM-110", "AF", "MAIL-D", "Fri 07:10", "09:20"),
    *_at("Fri 08:40", "S", "RA",
         d.accepts("QM-104", "MAIL-N", paper=("Wed 18:10", "Fri 05:50")),
         d.leaves("QM-104", "MAIL-N", "Fri 06:05"),
         d.returns("QM-104", "Fri 08:12", again=("104-S01", "sidetone still out"))),
    *_at("Fri 09:00", "S", "JW",
         d.sees_clock("D", "2027-03-11T09:00-03:00", "2027-03-12T09:00-03:00",
                      jumped="Wed 14:00")),
    *_at("Fri 09:20", "A", "BT", d.mends("166-A02", "insulator cleaned, chip smoothed")),
    Walked(tail="QM-166", who="YB", device="C", start="Fri 09:30", end="Fri 10:14",
           stops="stopped_by_x", stops_at="ant-insulator-forward"),
    *_at("Fri 09:58", "C", "YB",
         d.acts("166-A02", "symbol", "X", "the hairline goes through to the fork")),
    *_at("Fri 10:05", "A", "DQ",
         d.clears_unseen("QM-166", "166-A02", "insulator seen, clean", "Fri 09:57")),
    *_at("Fri 10:20", "A", "BT",
         d.swaps("QM-104", "CTL-T", "C-4431", "C-4410", reason="sidetone in and out",
                 symptom="sidetone in and out", entry="104-S01"),
         d.mends("104-S01", "transmitter control box changed",
                 out="CTL-T C-4410", into="CTL-T C-4431"),
         d.retests("104-S01", "op-call-1", "op-call-2", "op-modulation", "op-sidetone",
                   "op-key")),
    *_at("Fri 10:35", "A", "DQ",
         d.clears("104-S01", "box and plug seen; sidetone on both", placard_off=True)),
    Walked(tail="QM-104", who="IO/BT", device="A", start="Fri 10:40", end="Fri 11:26"),
    *_at("Fri 10:40", "S", "LH", d.settles("166-A02", "insulator to be changed")),
    *_at("Fri 16:10", "A", "BT", d.mends("166-A02", "forward insulator changed")),
    *_at("Fri 16:40", "A", "DQ", d.clears("166-A02", "new insulator and wire end seen")),
)  # fmt: skip

WEEKEND: tuple[Event, ...] = (
    Walked(tail="QM-107", who="YB", device="C", start="Sat 05:00", end="Sat 05:48"),
    *_flight("QM-107", "AF", "MAIL-N", "Sat 06:10", "08:20", "08:30 107-S02"),
    Walked(tail="QM-113", who="BTR", device="B", start="Sat 06:40", end="Sat 07:31", odd={
        "dyn-mod-wire": ("FAULT", "modulator tray: safety wire missing", "Sat 07:05")}),
    *_at("Sat 07:00", "S", "ÅL", d.revises("hand_tuned/preflight.yaml", "H5", "H6")),
    *_at("Sat 07:02", "A", "IO", d.stops_at_wrong_tail("QM-116", "QM-161")),
    Walked(tail="QM-161", who="IO/BT", device="A", start="Sat 07:05", end="Sat 07:33", odd={
        "close-bay-fasteners": ("5", "panel B4: 5 fasteners of 6", "Sat 07:25")}),
    *_at("Sat 07:15", "B", "BTR", d.mends("113-B01", "tray wired")),
    *_at("Sat 07:28", "B", "DQ", d.clears("113-B01", "wire seen, right way round")),
    *_at("Sat 07:31", "A", "BT", d.mends("161-A01", "fastener found on the wing, fitted")),
    *_at("Sat 07:40", "A", "DQ", d.clears("161-A01", "6 of 6 counted")),
    *_flight("QM-161", "KS", "SURVEY-N", "Sat 08:15", "11:50"),
    *_flight("QM-113", "TV", "MAIL-D", "Sat 08:30", "10:41"),
    *_at("Sat 08:30", "S", "AF", d.raises(
        "QM-107", "hum in LF receiver, third report", unit="RX-LF", weakens="lf.rx",
        symptom="hum"), early=True),
    *_at("Sat 09:10", "S", "MS",
         d.defers("107-S02", "23-H-01", "both copied on TK", reason="strap did not cure it")),
    Walked(tail="QM-166", who="BTR", device="D", start="Sat 13:00", end="Sat 13:50"),
    Walked(tail="QM-107", who="BTR", device="B", start="Sun 08:10", end="Sun 08:57"),
    Walked(tail="QM-164", who="YB", device="C", start="Sun 08:15", end="Sun 08:40", odd={
        "op-call-3": ("SKIPPED no station on watch",
                      "channel 3 not tested: no station on watch", "Sun 08:32")}),
    Walked(tail="QM-104", who="IO/BT", device="A", start="Sun 08:20", end="Sun 09:08"),
    *_flight("QM-107", "RA", "MAIL-D", "Sun 10:00", "12:04"),
    *_flight("QM-104", "AF", "MAIL-D", "Sun 10:05", "12:10"),
    *_at("Sun 18:00", "S", "OH", d.marks),
)  # fmt: skip

SHIFTS: tuple[Event, ...] = tuple(
    deed
    for day in DAYS
    for deed in (
        *_at(f"{day} 03:50", "S", "OH", d.hands_on("MS")),
        *_at(f"{day} 16:00", "S", "MS", d.hands_on("OH")),
    )
)
"""Osei to Marit before the first walk, Marit to Osei in the afternoon, every day."""

EVENTS: tuple[Event, ...] = (
    *BEFORE, *MONDAY, *TUESDAY, *WEDNESDAY, *THURSDAY, *FRIDAY, *WEEKEND, *SHIFTS,
)  # fmt: skip
"""The whole of it; played in the order of their times."""
