"""A second program for the boards: the paper's own tables and rules, nothing of hardstand's.

Reads only the three tables of walks, entries and flights. Source: whole-job C-8, C-9, C-10, 7.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from domain.readings.blocks import block

WEEK = {"Mon": 8, "Tue": 9, "Wed": 10, "Thu": 11, "Fri": 12, "Sat": 13, "Sun": 14}
VHF = {"QM-116", "QM-161", "QM-164", "QM-170"}
TAILS = tuple(f"QM-{n}" for n in (101, 104, 107, 110, 113, 116, 161, 164, 166, 170))
INTERVAL = {"B": 3, "C": 10, "D": 120}
RECEIVERS_AND_TRANSMITTERS = ("lf.rx", "hfa.rx", "hfb.rx", "tx1", "tx2")
HAND_TUNED = (
    *RECEIVERS_AND_TRANSMITTERS, "mod", "key", "sidetone", "filt.range", "filt.voice", "filt.both",
)  # fmt: skip
CHANNELS = ("v.tx", "v.rx", "ch1", "ch2", "ch3", "ch4", "ch5", "ch6")
BATTERY_LEFT_ON = ("QM-110", "Thu 15:12", "Thu 16:47")
"""The one line that stood open with no walk in progress."""


def local(text: str) -> datetime:
    """A local time of the tables: `Tue 05:22`, or a date and a time."""
    day, clock = text.split()
    date = f"2027-03-{WEEK[day]:02d}" if day in WEEK else day
    return datetime.fromisoformat(f"{date}T{clock}")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry of the table: what it bears on and what happened to it, oldest first."""

    number: str
    tail: str
    takes: tuple[str, ...]
    weakens: tuple[str, ...]
    untested: tuple[str, ...]
    symbols: tuple[tuple[datetime, str], ...]
    runs_out: datetime | None
    deferred: datetime | None
    closed: datetime | None

    def symbol(self, at: datetime) -> str:
        """What it counts with at a time; empty while it is not open."""
        said = [s for since, s in self.symbols if since <= at]
        if not said or (self.closed and self.closed <= at):
            return ""
        out = self.runs_out and self.deferred and self.deferred <= at and self.runs_out <= at
        return "X" if out else said[-1]


def _entry(row: dict[str, str]) -> Entry:
    happened = row["happened"].split("; ")
    symbols, runs_out, deferred, closed = [], None, None, None
    for words in happened:
        at = local(" ".join(words.rsplit(" ", 2)[-2:]))
        if words[0] in "X/-":
            symbols.append((at, words.split()[0]))
        elif put_off := re.match(r"deferred cat (\w)", words):
            day = local(row["found"]).date() + timedelta(days=INTERVAL[put_off[1]] + 1)
            runs_out, deferred = datetime.combine(day, datetime.min.time()), at
        elif words.startswith(("cleared", "closed by test", "same as", "entered in error")):
            closed = at
    takes, _, weakens = row["functions"].partition(" / ")
    names = takes.replace("all receivers and transmitters", ", ".join(RECEIVERS_AND_TRANSMITTERS))
    parts = [p for p in names.split(", ") if p and p != "—"]
    return Entry(
        number=row["entry"], tail=row["tail"], symbols=tuple(symbols), runs_out=runs_out,
        deferred=deferred, closed=closed, weakens=tuple(filter(None, weakens.split(", "))),
        takes=tuple(p for p in parts if not p.startswith("untested ")),
        untested=tuple(p.removeprefix("untested ") for p in parts if p.startswith("untested ")),
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Finished:
    """A finished walk of the table."""

    tail: str
    end: datetime
    not_tested: tuple[str, ...]


ENTRIES = tuple(_entry(row) for row in block("quennock_entries")[1])
FINISHED = tuple(
    Finished(
        tail=row["tail"],
        end=local(f"{row['start'].split()[0]} {row['end']}"),
        not_tested=tuple(filter(None, row["not_tested"].split(", "))),
    )
    for row in block("quennock_walks")[1]
    if row["result"] == "finished"
)


@dataclass(frozen=True, kw_only=True)
class Board:
    """How an aircraft stands by the tables."""

    symbol: str
    preflight: str
    until: datetime | None
    missions: dict[str, str]
    open: tuple[str, ...]


def board(tail: str, at: datetime) -> Board:
    """What the tables say of an aircraft at a local time."""
    stand = {e: e.symbol(at) for e in ENTRIES if e.tail == tail and e.symbol(at)}
    symbols = list(stand.values())
    left, since, until = BATTERY_LEFT_ON
    if tail == left and local(since) <= at < local(until):
        symbols.append("X")
    symbol = min(symbols, key="X-/".index, default="clear")
    walks = [w for w in FINISHED if w.tail == tail and w.end <= at]
    last = walks[-1] if walks else None
    ends = last.end + timedelta(hours=24) if last else None
    in_date = ends is not None and at < ends
    values = {f: _value(f, stand, last if in_date else None) for f in (*HAND_TUNED, *CHANNELS)}
    weak = {f for e in stand for f in e.weakens}
    return Board(
        symbol=symbol, until=ends, open=tuple(e.number for e in stand),
        preflight="none" if ends is None else "in_date" if in_date else "ran_out",
        missions=missions(tail, symbol, values, weak, at),
    )  # fmt: skip


def _value(function: str, stand: dict[Entry, str], last: Finished | None) -> float:
    """1 good, 0 gone, 0.5 unknown: then AND is the least and OR the greatest."""
    if any(function in e.takes for e in stand):
        return 0
    unproved = last is None or function in last.not_tested
    return 0.5 if unproved or any(function in e.untested for e in stand) else 1


def missions(
    tail: str, symbol: str, v: dict[str, float], weak: set[str], at: datetime
) -> dict[str, str]:
    """What each function's value, 1, 0.5 or 0, makes of each mission. Source: whole-job C-10."""
    by_day = (6, 41) <= (at.hour, at.minute) < (18, 52)
    limits: dict[str, set[str]] = {}
    if tail in VHF:
        mail = min(v["v.tx"], v["v.rx"], v["ch1"])
        found = {"MAIL-D": mail, "MAIL-N": 0.0, "SURVEY-N": min(mail, v["ch2"], v["ch6"]),
                 "SURVEY-F": 0.0}  # fmt: skip
    else:
        hear = max(v["hfa.rx"], min(v["lf.rx"], max(v["filt.voice"], v["filt.both"])))
        mail = min(hear, v["mod"], max(v["tx1"], v["tx2"]))
        night = min(mail, v["lf.rx"], max(v["filt.range"], v["filt.both"]))
        near = min(mail, v["hfb.rx"], v["tx2"], max(v["mod"], v["key"]))
        far = min(near, v["tx1"], v["key"], v["lf.rx"], v["hfa.rx"], v["sidetone"])
        found = {"MAIL-D": mail, "MAIL-N": night, "SURVEY-N": near, "SURVEY-F": far}
        limits = {"MAIL-N": {"lf.rx", "filt.voice"}, "SURVEY-F": {"lf.rx"}}
    words = {0: "CANNOT", 0.5: "UNKNOWN", 1: "CAN"}
    said = {name: words[value] for name, value in found.items()}
    for name, functions in limits.items():
        if said[name] == "CAN" and weak & functions:
            said[name] = "CAN WITH LIMITS"
    said["FERRY-D"] = "CAN WITH LIMITS" if by_day else "CANNOT"
    return dict.fromkeys(said, "BARRED") if symbol == "X" else said
