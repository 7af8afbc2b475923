"""Wires and lockwire by the book: damaged strands, twists to the inch."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

ZERO = Decimal(0)
NO_RULE = "no_rule"

STRANDS = (
    (14, 24, 2, 0),
    (10, 12, 4, 0),
    (4, 8, 6, 6),
    (1, 2, 6, 6),
    (0, 0, 6, 6),
)
"""Thickest and thinnest AWG of a row, most nicked, most broken; copper. Sizes 0 to 0000 count as 0.
Source: AC 43.13-1B table 11-13, read in a scanned copy. Aluminium: none at all."""

TWISTS = {
    Decimal("0.020"): (Decimal(10), Decimal(13)),
    Decimal("0.032"): (Decimal(6), Decimal(12)),
}
"""Wire diameter in inches → fewest and most twists to the inch, inclusive. Source: a modern
light-aeroplane manual, 20-50, where "0.20 inch (0.5 mm)" is a misprint for 0.020."""


def strand_damage(*, awg: Decimal, nicked: Decimal, broken: Decimal) -> Judged:
    """Nicked and broken strands of a copper wire against its row; `no_rule` where none has it."""
    row = next((r for r in STRANDS if r[0] <= awg <= r[1]), None)
    if row is None:
        return Judged(
            figures={"verdict": NO_RULE},
            verdict=NO_RULE,
            look_at=("the approved manual: this table has no row for the size",),
        )
    good = nicked <= row[2] and broken <= row[3]
    verdict = "pass" if good else "fail"
    return Judged(
        figures={"verdict": verdict},
        value=nicked,
        limit=f"{row[2]} nicked, {row[3]} broken, inclusive",
        verdict=verdict,
        look_at=() if good else ("cut back or replace the wire",),
    )


def lockwire_twists(*, wire_dia_in: Decimal, twists_per_inch: Decimal) -> Judged:
    """Twists to the inch of lockwire; `no_rule` for a diameter without a row."""
    row = TWISTS.get(wire_dia_in)
    if row is None:
        return Judged(
            figures={"verdict": NO_RULE},
            verdict=NO_RULE,
            look_at=("the approved manual: no row for this diameter",),
        )
    good = row[0] <= twists_per_inch <= row[1]
    verdict = "pass" if good else "fail"
    return Judged(
        figures={"verdict": verdict},
        value=twists_per_inch,
        unit="per inch",
        limit=f"{row[0]} to {row[1]} per inch, inclusive",
        verdict=verdict,
        look_at=() if good else ("take it off and wire it anew; lockwire is never used twice",),
    )


def _count(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, low=ZERO, whole=True)


FAMILIES = by_name(
    Family(
        name="strand_damage",
        asks=(
            Ask(name="awg", words="wire size, AWG", low=ZERO, high=Decimal(60), whole=True),
            _count("nicked", "strands nicked"),
            _count("broken", "strands broken"),
        ),
        columns=("awg", "nicked", "broken", "verdict"),
        formula="24-14: 2 nicked, none broken; 12-10: 4, none; 8-4 and thicker: 6 and 6; copper",
        source="AC 43.13-1B table 11-13 (scanned copy).",
        compute=strand_damage,
    ),
    Family(
        name="lockwire_twists",
        asks=(
            Ask(name="wire_dia_in", words="wire diameter", units=("in",), above=ZERO),
            Ask(name="twists_per_inch", words="twists to the inch", low=ZERO),
        ),
        columns=("wire_dia_in", "twists_per_inch", "verdict"),
        formula="0.020 in: 10 to 13; 0.032 in: 6 to 12; other diameters have no row here",
        source="A modern light-aeroplane manual, 20-50; other standards differ.",
        compute=lockwire_twists,
    ),
)
