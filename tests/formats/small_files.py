"""The smallest fit, list and fleet that use most fields, and how a test bends them."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

FIT = """\
format: 1
id: V
title: VHF set
units:
  TR-V: {title: transmitter-receiver, zone: bay}
  DYN-V: {title: dynamotor}
functions:
  v.rx: {title: receive, fed_by: [TR-V]}
  v.tx: {title: transmit, fed_by: [TR-V, DYN-V]}
items:
  battery:
    title: BATTERY switch
    kind: energy
    home: OFF
    draws: 2.50
    actions:
      - {from: OFF, to: ON, only_with: {panel: SHUT}, zone: cockpit}
      - {from: ON, to: OFF}
  panel:
    title: panel {bay.panel}
    kind: access
    home: SHUT
    actions:
      - {from: SHUT, to: OPEN}
      - {from: OPEN, to: SHUT}
  tools: {title: tools, kind: count, home: 0}
controls:
  lever: {plate: VHF, positions: [OFF, ON], unit: TR-V}
never:
  - {battery: ON, panel: OPEN}
missions:
  MAIL: {needs: v.rx and v.tx}
  FERRY: {needs: MAIL or v.rx, limited_by: [v.tx]}
permitted:
  23-V-09: {what: lamp out, category: D, condition: none, example: true}
facts: [high_wing]
"""

LIST = """\
format: 1
id: V-PRE
title: VHF preflight
fit: V
purpose: preflight
revision: 1
manual: {title: approved manual, revision: 4}
zones:
  - {id: cockpit, title: cockpit}
  - {id: bay, title: radio bay}
  - {id: end, title: close up}
steps:
  - id: tools
    zone: cockpit
    place: seat
    do: Count the tools.
    kind: count
    sets: {tools: counted}
    why: what is counted comes back
    good: one number
    bad: things in pockets
    ref: chapter 1
  - id: lever
    zone: cockpit
    place: left wall
    do: Look at the lever.
    kind: state
    states: [OFF, ON]
    expect: OFF
    critical: true
    touch: the lever
    why: a live set bites
    good: at its stop
    bad: half-way
    ref: chapter 2
    proves: [lever]
  - id: open
    zone: bay
    place: behind {bay.panel}
    do: Open the panel.
    kind: set
    sets: {panel: OPEN}
    why: the set is behind it
    good: it hangs free
    bad: it sticks
    ref: chapter 3
  - id: meter
    zone: bay
    place: test socket
    do: Read the meter.
    kind: reading
    unit: V
    accept: {low: 24, high: 28.5, example: true}
    possible: {low: 0, high: 50}
    graduation: 0.5
    after: [open]
    must_be: {panel: OPEN}
    if_fault: shut
    beside: [end]
    why: low volts, weak signal
    good: steady
    bad: it swings
    ref: chapter 4
    proves: [v.tx, DYN-V]
    on_fault: {takes: [v.tx], weakens: [v.rx], symbol: X, symptoms: [low, high]}
  - id: hear
    zone: bay
    place: headset
    do: Listen to the tower.
    kind: listen
    sounds_good: a clear voice
    sounds_bad: hum
    why: dead air is the commonest fault
    good: every word
    bad: some words
    ref: chapter 5
    proves: [v.rx]
  - id: shut
    zone: end
    place: behind {bay.panel}
    do: Shut the panel.
    kind: set
    sets: {panel: SHUT}
    why: it flies off
    good: flush
    bad: proud
    ref: chapter 6
  - id: fasteners
    zone: end
    place: panel
    do: Count the fasteners.
    kind: count
    expect: '{bay.fasteners}'
    applies_if: not high_wing
    why: one missing starts the next
    good: all there
    bad: one gone
    ref: chapter 7
  - id: count-out
    zone: end
    place: seat
    do: Count the tools again.
    kind: count
    sets: {tools: 0}
    why: what is counted comes back
    good: the same number
    bad: another number
    ref: chapter 8
  - id: done
    zone: end
    place: seat
    do: Say that the walk is done.
    kind: gate
    evidence: who was told
    why: the next hand must know
    good: said
    bad: not said
    ref: chapter 9
"""

FLEET = """\
format: 1
operator: Quennock Mail & Survey Flight
time_zone: Etc/GMT+3
types:
  Pask 4:
    places:
      bay: {panel: L3, fasteners: 14}
    battery: {rated_ah: 34, reserve_ah: 14}
  Pask 6:
    places:
      bay: {panel: R2, fasteners: 12}
    facts: [high_wing]
airframes:
  QM-161:
    type: Pask 6
    fits: [{since: 2026-11-01, fit: V}]
    serials: {TR-V: V-6106, DYN-V: W-3307}
  QM-116:
    type: Pask 4
    fits:
      - {since: 2026-11-01, fit: V}
      - {since: 2027-02-28, fit: V}
    serials: {TR-V: V-6101}
    entries_before: {S: 2}
stations:
  TK: {title: range with tower voice, khz: [329], example: true}
  MSH: {title: beacon, khz: [446], hours: 05:00-22:00, heard: day, example: true}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bent:
    """A small file with one change, and every finding it must lead to, verbatim.

    An `old` text stands exactly once in the file. `says` are whole findings in a file `x.yaml`.
    """

    name: str
    old: str
    new: str
    says: tuple[str, ...]

    def of(self, text: str) -> bytes:
        """The file with the change made."""
        assert text.count(self.old) == 1, f"{self.old!r} stands {text.count(self.old)} times"
        return text.replace(self.old, self.new).encode()


def bent(name: str, old: str, new: str, *says: str) -> Bent:
    """A case; each finding is given as `line:column: CODE message | hint`."""
    return Bent(name=name, old=old, new=new, says=tuple(whole(s) for s in says))


def whole(short: str) -> str:
    """A finding as it is shown, for a file `x.yaml`, from `line:column: CODE message | hint`."""
    head, _, hint = short.partition(" | ")
    return f"x.yaml:{head}\n  hint: {hint}"


def cases(*table: Bent) -> pytest.MarkDecorator:
    """Runs a test once for each case, named by its sentence."""
    return pytest.mark.parametrize("case", table, ids=lambda case: case.name.replace(" ", "_"))
