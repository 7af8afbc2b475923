"""Why an airframe stands as it does: reasons, then each line of the record behind them."""

from __future__ import annotations

from datetime import tzinfo

from hardstand.domain.facts import Act, OpenEntry
from hardstand.domain.quantity import Instant, date_time, local_day, zone
from hardstand.domain.verdict import day_end
from hardstand.domain.words import brief, visible
from hardstand.flows.explaining import Why
from hardstand.views.output import prose
from hardstand.views.symbols import symbol_words


def text(why: Why) -> str:
    """The reasons of an airframe with the lines behind each, or the life of one entry."""
    where = zone(why.record.time_zone)
    banner = ["DEMO RECORD — example limits, its own clock."] if why.record.demo else []
    if why.entry is not None:
        told = _entry(why.verdict.tail, why.entry, _before(why, where), where)
        return prose("\n".join([*banner, *told]))
    v = why.verdict
    head = f"{v.tail} reads {symbol_words(v.symbol)}, as of {date_time(v.as_of, where)}, because:"
    found = [*banner, head]
    entries = {s.entry.number: s.entry for s in v.open}
    for reason in v.reasons:
        named = [n for n in reason.entries if n not in entries]
        source = f"  [{', '.join(named)}]" if named else ""
        found.append(visible(f"- {reason.text}{source}"))
        for number in reason.entries:
            if number in entries:
                found += [f"    {_act(a, where)}" for a in entries[number].acts]
    return prose("\n".join(found))


def _before(why: Why, where: tzinfo) -> list[tuple[str, str]]:
    """The same thing reported before, newest first, and whether the last fix held."""
    found = list[tuple[str, str]]()
    for report in reversed(why.before):
        cure = brief(report.cure) or ("cleared" if report.cleared is not None else "")
        failed = "; it did not hold" if not found and not why.held else ""
        done = f": {cure}{failed}" if cure else ""
        found.append(("before", f"{report.number} {local_day(report.at, where)}{done}"))
    return found


def _entry(tail: str, entry: OpenEntry, before: list[tuple[str, str]], where: tzinfo) -> list[str]:
    facts = [
        ("found", f"{date_time(entry.found_at, where)} by {entry.found_by}"),
        ("state", entry.state.replace("_", " ")),
        ("takes", ", ".join(entry.takes)),
        ("weakens", ", ".join(entry.weakens)),
        ("waits for a test of", ", ".join(entry.untested)),
        ("unit", f"{entry.unit} {entry.serial}".strip()),
        ("step", entry.step),
        ("joined to it", ", ".join(entry.joined)),
        ("follows", entry.successor_of),
        *before,
        *_waits(entry, where),
        *(("disagreement", d.text) for d in entry.disputes),
        ("said to be an error by", ", ".join(entry.voiders)),
    ]
    head = visible(f"{entry.number} on {tail}: {symbol_words(entry.symbol)}: {entry.text}")
    told = [visible(f"  {name}: {value}") for name, value in facts if value]
    return [head, *told, *(f"  {_act(a, where)}" for a in entry.acts)]


def _waits(entry: OpenEntry, where: tzinfo) -> list[tuple[str, str]]:
    """What an entry was put off by, or may fly within, and until when."""
    found = []
    put_off, limits = entry.waits_by, entry.limits
    if put_off is not None:
        ends = day_end(Instant(put_off.runs_out), where)
        more = f", extended by {put_off.extended} days" if put_off.extended else ""
        what = f"item {put_off.item}, category {put_off.category}{more}, by {put_off.by}"
        found.append(
            ("deferred" if entry.deferral else "put off before", f"{what}; runs out {ends}")
        )
        found += [("condition met", met) for met in put_off.met if entry.deferral]
    if limits is not None:
        once = ", one operation" if limits.one_operation else ""
        ends = day_end(Instant(limits.ends), where)
        found.append(("limits", f"{limits.text}{once}, by {limits.by}; end {ends}"))
    return [*found, ("ruled", entry.ruled)]


def _act(act: Act, where: tzinfo) -> str:
    return visible(f"{date_time(act.at, where)}  {act.by}  {act.what}  [{act.ref}]")
