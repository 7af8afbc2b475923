"""Cards as text, no wider than 72 columns, to be printed and carried."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from hardstand.domain.cards import LONGEST, Call, DialCard
from hardstand.domain.facts import RecordFacts
from hardstand.domain.quantity import date_time, zone
from hardstand.domain.readings.arithmetic import plain
from hardstand.domain.readings.report import SCALE
from hardstand.flows.cards import CallCard, StationCard, Touched

WIDE = 72
FULL = "Full: three at least, one in the lowest, middle and highest fifth, over 60 % of the band."
DEMO = "DEMO RECORD — example limits, its own clock."


def dial(card: DialCard, record: RecordFacts) -> str:
    """What the dial reads at each station, and where to set it for round frequencies."""
    where = zone(record.time_zone)
    lines = [
        *_banner(record),
        f"DIAL CARD  {card.position}  serial {card.serial}",
        "",
        "true kHz  dial kHz  error  verdict    read",
    ]
    for point in card.points:
        error = point.dial - point.true
        sign = "+" if error > 0 else ""
        read = f"{date_time(point.at, where)[:16]} {point.tail}"
        lines.append(
            f"{plain(point.true):>8}  {plain(point.dial):>8}  {sign + plain(error):>5}  "
            f"{point.verdict.replace('_', ' '):<9}  {read}"
        )
    if card.to_set:
        lines += ["", f"for kHz   set the dial to, nearest {plain(card.division)} kHz"]
        lines += [f"{plain(true):>7}   {_setting(at)}" for true, at in card.to_set]
    low, high = plain(card.points[0].true), plain(card.points[-1].true)
    said = [f"Not covered below {low} and above {high} kHz: no figure is given there."]
    said += [f"{words[:1].upper()}{words[1:]}." for words in card.remarks]
    said.append(
        "Between points the dial is taken as straight. A station heard beats a card: identify it, "
        "then trust it. The approved manual governs."
    )
    return "\n".join((*lines, "", *_wrapped(said)))


def _setting(at: object) -> str:
    return "not covered" if at is None else str(at)


def _banner(record: RecordFacts) -> list[str]:
    return [DEMO] if record.demo else []


def call(card: CallCard, record: RecordFacts) -> str:
    """Each call: station, frequency, words, and whether anybody is on watch now."""
    where = zone(record.time_zone)
    lines = _banner(record)
    lines += [f"CALL CARD  {card.tail}  {date_time(card.at, where)}  {card.checklist}"]
    for one in card.calls:
        lines += ["", f"{one.step}  {one.channel}  {one.frequency}  {one.station}"]
        lines += [f"  {line}" for line in _wrapped([_watch(one)])]
        lines += [f"  {line}" for line in _wrapped([f"Say: {one.words}"])]
    scale = "; ".join(f"{digit} {words}" for digit, (words, _) in SCALE.items())
    said = [
        LONGEST,
        "First: nobody at the antenna, fuel away, charges safe; whoever may be disturbed agrees.",
        f"Write the station that answered and its words. Readability only if it is said: {scale}.",
        "Never call on a distress frequency in a test.",
    ]
    return "\n".join((*lines, "", *_wrapped(said)))


def _watch(one: Call) -> str:
    if one.on_watch is None:
        return "Watch hours not known."
    now = "ON WATCH now" if one.on_watch else "NOT on watch now"
    hours = "all hours" if one.hours == "all" else one.hours
    return f"{now}: {one.title}, {hours} local."


def stations(card: StationCard, record: RecordFacts) -> str:
    """For each receiver what to tune to now, how its ident sounds, and why not the others."""
    where = zone(record.time_zone)
    sun = {True: "day", False: "night", None: "day or night not known"}[card.sun_up]
    lines = _banner(record)
    lines.append(
        f"STATIONS NOW  {card.tail}  {date_time(card.at, where)}  {sun}  "
        f"list {card.list_days} days old"
    )
    for band in card.bands:
        lines += [
            "",
            f"{band.position}  {plain(band.low)} to {plain(band.high)} kHz  {band.result}",
        ]
        for one in band.usable:
            named = f"{plain(one.khz):>6}  {one.ident:<4} {one.code}"
            lines += [named.rstrip(), *_under(one.title)]
        for one, why in band.left_out:
            lines.append(f"{plain(one.khz):>6}  {one.ident:<4} not now: {why}")
    said = [
        "Hear the ident first: a station that is not identified is no calibration point.",
        FULL,
        "Two points are enough for a preflight. A station not heard is no fault of a receiver.",
    ]
    return "\n".join((*lines, "", *_wrapped(said)))


def _under(title: str) -> list[str]:
    return [f"        {line}" for line in textwrap.wrap(title, WIDE - 8)]


def gear(name: str, due: str, touched: Sequence[Touched], record: RecordFacts) -> str:
    """Every verdict a meter had a part in after it was due."""
    where = zone(record.time_zone)
    lines = _banner(record)
    lines += [f"{name} was due for its check on {due}. Read on it after that day: {len(touched)}."]
    for one in touched:
        value = f"{one.value} {one.unit}".strip()
        verdict = one.verdict.replace("_", " ")
        lines.append(
            f"{date_time(one.at, where)}  {one.tail}  {one.step}: {value}, told as {verdict}"
            f"  [{one.ref}]"
        )
    return "\n".join(lines)


def _wrapped(paragraphs: Sequence[str]) -> list[str]:
    return [line for text in paragraphs for line in textwrap.wrap(text, WIDE - 2)]
