"""Navigation receivers: VOR and ADF bearings against a reference, and how long a check holds."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

HALF_TURN, TURN = Decimal(180), Decimal(360)
VOR_LIMITS = {"vot": 4, "ground": 4, "airborne": 6, "dual": 4}
"""Method → degrees, inclusive. Source: 14 CFR 91.171(b), (c); the in-flight landmark and the dual
figure from the Aeronautical Information Manual, restated."""
ADF_LIMIT = 5
CURRENT_DAYS = 30

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@exact
def apart(indicated: Decimal, reference: Decimal) -> Decimal:
    """Indicated minus reference by the shorter way round: -180 up to, not with, +180 degrees."""
    turned = (indicated - reference + HALF_TURN) % TURN
    return (turned + TURN if turned < 0 else turned) - HALF_TURN


def _held_to(indicated: Decimal, reference: Decimal, limit: int) -> Judged:
    difference = apart(indicated, reference)
    verdict = "pass" if abs(difference) <= limit else "fail"
    figures = {"limit_deg": str(limit), "error_deg": shown(difference, 1), "verdict": verdict}
    return Judged(
        figures=figures,
        value=difference,
        unit="°",
        limit=f"{limit}°, either way, inclusive",
        verdict=verdict,
        look_at=() if verdict == "pass" else ("ident and frequency, then a second method",),
    )


def vor_check(*, method: str, indicated: Decimal, reference: Decimal) -> Judged:
    """A VOR bearing by one of the published methods; `dual` compares two receivers, no truth."""
    return _held_to(indicated, reference, VOR_LIMITS[method])


def adf_check(*, indicated: Decimal, reference: Decimal) -> Judged:
    """An ADF bearing on a strong enough station."""
    return _held_to(indicated, reference, ADF_LIMIT)


def vor_currency(*, check_date: str, flight_date: str) -> Judged:
    """Whether a VOR check still holds on a day: thirty calendar days, the thirtieth included.

    Raises:
        Usage: a date is not a day of the calendar, or the flight is before the check.
    """
    days = (_day(flight_date) - _day(check_date)).days
    if days < 0:
        raise Usage("the flight is before the check")
    state = "current" if days <= CURRENT_DAYS else "expired"
    return Judged(
        figures={"days": str(days), "state": state},
        value=Decimal(days),
        unit="days",
        limit=f"{CURRENT_DAYS} days, inclusive",
        verdict=state,
    )


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text if _DATE.fullmatch(text) else "")
    except ValueError:
        raise Usage(f"{text!r} is not a day", hint="Write it as 2027-03-08.") from None


def _bearing(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("°", "deg"), low=Decimal(0), high=TURN)


INDICATED = _bearing("indicated", "bearing shown")
REFERENCE = _bearing("reference", "true bearing, or the other receiver")
COLUMNS = ("indicated", "reference", "limit_deg", "error_deg", "verdict")
SHORTER = "error = shown - reference by the shorter way round"

FAMILIES = by_name(
    Family(
        name="vor_check",
        asks=(
            Ask(name="method", words="method", choices={method: method for method in VOR_LIMITS}),
            INDICATED,
            REFERENCE,
        ),
        columns=("method", *COLUMNS),
        formula=SHORTER + "; 4° on the ground and between two receivers, 6° in the air",
        source="14 CFR 91.171; the dual figure from the Aeronautical Information Manual.",
        compute=vor_check,
    ),
    Family(
        name="adf_check",
        asks=(INDICATED, REFERENCE),
        columns=COLUMNS,
        formula=SHORTER,
        source="ICAO Annex 10 volume I 3.9.1.1, at 70 microvolt per metre or more. No figure for "
        "a check on the ground was found.",
        compute=adf_check,
    ),
    Family(
        name="vor_currency",
        asks=(
            Ask(name="check_date", words="day of the check", free=True),
            Ask(name="flight_date", words="day of the flight", free=True),
        ),
        columns=("check_date", "flight_date", "days", "state"),
        formula="calendar days from check to flight; good up to and with day 30",
        source="14 CFR 91.171(a): within the preceding 30 days.",
        compute=vor_currency,
    ),
)
