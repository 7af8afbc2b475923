"""What must be true of a fleet, alone and against its fits: every finding verbatim."""

from __future__ import annotations

from formats.small_files import FIT, FLEET, Bent, bent, cases
from hardstand.domain.checklist import Fit
from hardstand.formats import fit_yaml, fleet_yaml


@cases(
    bent(
        "a look-alike letter in a tail is refused",
        "  QM-161:",
        "  Q\u041c-161:",
        "14:3: HS270 the tail 'Q\u041c-161' holds other characters: '\u041c' is U+041C | "
        "accepted: A-Z 0-9, and single hyphens inside",
    ),
    bent(
        "a tail in small letters is refused",
        "  QM-161:",
        "  qm-161:",
        "14:3: HS270 the tail 'qm-161' holds other characters | accepted: A-Z 0-9, and single "
        "hyphens inside",
    ),
    bent(
        "two tails alike but for the hyphen are refused",
        "  QM-161:",
        "  QM1-16:",
        "18:3: HS282 'QM-116' and 'QM1-16' cannot be told apart when typed (the other on line "
        "14) | letter case, spaces and hyphens do not count in a tail",
    ),
    bent(
        "an unknown type is refused",
        "type: Pask 6\n",
        "type: Pask 5\n",
        "15:11: HS271 the fleet has no type 'Pask 5' | nearest: Pask 6; accepted: Pask 4, Pask 6",
    ),
    bent(
        "a day that is none is refused",
        "{since: 2027-02-28, fit: V}",
        "{since: 2027-02-30, fit: V}",
        "22:17: HS272 '2027-02-30' is not a date | write year, month, day, such as 2027-03-01",
    ),
    bent(
        "a day in another order is refused",
        "{since: 2027-02-28, fit: V}",
        "{since: 28.02.2027, fit: V}",
        "22:17: HS272 '28.02.2027' is not a date | write year, month, day, such as 2027-03-01",
    ),
    bent(
        "days that do not ascend are refused",
        "{since: 2027-02-28, fit: V}",
        "{since: 2026-11-01, fit: V}",
        "22:17: HS273 2026-11-01 does not come after 2026-11-01 | put the oldest fit first; "
        "one fit a day",
    ),
    bent(
        "an unknown fit is refused",
        "{since: 2027-02-28, fit: V}",
        "{since: 2027-02-28, fit: W}",
        "22:34: HS274 no fit 'W' is known | accepted: V",
    ),
    bent(
        "an unknown time zone is refused",
        "Etc/GMT+3",
        "Europe/Olso",
        "3:12: HS275 the time zone 'Europe/Olso' is not known | nearest: Europe/Oslo; give an "
        "IANA name, such as Europe/Oslo or Etc/GMT+3",
    ),
    bent(
        "the zone of the machine is no time zone",
        "Etc/GMT+3",
        "localtime",
        "3:12: HS275 the time zone 'localtime' is not known | give an IANA name, such as "
        "Europe/Oslo or Etc/GMT+3",
    ),
    bent(
        "a time zone like no other gets no nearest",
        "Etc/GMT+3",
        "3",
        "3:12: HS275 the time zone '3' is not known | give an IANA name, such as Europe/Oslo "
        "or Etc/GMT+3",
    ),
    bent(
        "a device is one capital letter",
        "entries_before: {S: 2}",
        "entries_before: {s: 2}",
        "24:22: HS276 the device 's' is not one capital letter | accepted: A to Z",
    ),
    bent(
        "entries before are not below zero",
        "entries_before: {S: 2}",
        "entries_before: {S: -2}",
        "24:25: HS277 'entries_before' of S is -2 | give 0 or more",
    ),
    bent(
        "a serial at an unknown position is refused",
        "serials: {TR-V: V-6101}",
        "serials: {TR: V-6101}",
        "23:15: HS278 fit 'V' has no unit 'TR' | nearest: TR-V; accepted: TR-V, DYN-V",
    ),
    bent(
        "an airframe has a fit",
        "fits: [{since: 2026-11-01, fit: V}]",
        "fits: []",
        "16:11: HS279 'QM-161' has no fit | add one, such as {since: 2027-03-01, fit: H}",
    ),
    bent(
        "hours that cannot be read are refused",
        "05:00-22:00",
        "5-22",
        "27:43: HS280 the hours '5-22' cannot be read | accepted: all, or local times such as "
        "05:00-22:00",
    ),
    bent(
        "a time of day that is none is refused",
        "heard: day",
        "heard: dawn",
        "27:63: HS280 'dawn' is no time of day for 'heard' | accepted: both, day, night",
    ),
    bent(
        "a battery holds something",
        "{rated_ah: 34, reserve_ah: 14}",
        "{rated_ah: 0, reserve_ah: 14}",
        "8:25: HS281 'rated_ah' is 0 | give ampere-hours above 0",
    ),
    bent(
        "a reserve is no more than all",
        "{rated_ah: 34, reserve_ah: 14}",
        "{rated_ah: 34, reserve_ah: 34.1}",
        "8:41: HS281 'reserve_ah' is 34.1 | give 0 to 34, the rated capacity",
    ),
    bent(
        "a station has a frequency",
        "khz: [329]",
        "khz: []",
        "26:44: HS281 'TK' has no frequency | give one in kHz",
    ),
    bent(
        "a frequency is above zero",
        "khz: [329]",
        "khz: [0]",
        "26:45: HS281 the frequency is 0 kHz | give a number above 0",
    ),
    bent(
        "a fact no fit knows is refused",
        "facts: [high_wing]",
        "facts: [highwing]",
        "12:13: HS283 no fit knows the fact 'highwing' | nearest: high_wing; accepted: high_wing",
    ),
    bent(
        "one serial stands in one airframe",
        "TR-V: V-6101",
        "TR-V: V-6106",
        "23:21: HS284 'V-6106' stands at TR-V of QM-116 and of QM-161 (the other on line 17) | "
        "one box sits in one aircraft; correct one of them",
    ),
    bent(
        "a table of daylight is taken",
        "stations:",
        "daylight:\n  - {since: 01-01, rises: 06:41, sets: 18:52}\nstations:",
    ),
    bent(
        "daylight on no day of the year is refused",
        "stations:",
        "daylight:\n  - {since: 02-30, rises: 06:41, sets: 18:52}\nstations:",
        "26:13: HS285 '02-30' is no day of the year | write MM-DD",
    ),
    bent(
        "daylight out of the order of the year is refused",
        "stations:",
        "daylight:\n  - {since: 03-01, rises: 06:41, sets: 18:52}\n"
        "  - {since: 02-01, rises: 06:41, sets: 18:52}\nstations:",
        "27:13: HS285 02-01 stands after 03-01 | put the rows in the order of the year, each day "
        "once",
    ),
    bent(
        "daylight in another form is refused",
        "stations:",
        "daylight:\n  - {since: 03-01, rises: 6:41, sets: 18:52}\nstations:",
        "26:27: HS285 '6:41' to '18:52' are no times of day | write both as HH:MM, local",
    ),
    bent(
        "a sunset before sunrise is refused",
        "stations:",
        "daylight:\n  - {since: 03-01, rises: 18:52, sets: 06:41}\nstations:",
        "26:27: HS285 the sun rises 18:52 and sets 06:41 | sunrise comes before sunset on one "
        "local day",
    ),
)
def test_each_change_to_a_good_fleet_is_told_in_full(case: Bent) -> None:
    fit = fit_yaml.parse("fit.yaml", FIT.encode())
    assert isinstance(fit, Fit)
    found = fleet_yaml.against(fleet_yaml.read("x.yaml", case.of(FLEET)), {"V": fit}).findings
    assert tuple(finding.text() for finding in found) == case.says
