"""Revisions of a list as text: compared, withdrawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal

from hardstand.domain.checklist import Checklist
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import date_time, zone
from hardstand.domain.revision import Measure
from hardstand.domain.words import visible
from hardstand.flows.comparing import Compared
from hardstand.flows.diagnosing import Suspected
from hardstand.flows.mending import Again
from hardstand.flows.withdrawing import Reach, Touched, Withdrawal
from hardstand.views.output import prose
from hardstand.views.tables import table


def comparison(found: Compared, *, plain: bool) -> str:
    """The burden side by side, what was done step by step, and what to walk again."""
    old, new = found.old, found.new
    rows = [[m.name, _plain(m.old), _plain(m.new), _growth(m)] for m in found.measures]
    heads = ("burden", old.revision, new.revision, "growth")
    lines = [
        f"{new.id}, fit {new.fit}: {old.revision} to {new.revision}",
        table(heads, rows, plain=plain),
        *_reason(found),
        *_changes(found),
        *_again(found),
    ]
    return prose("\n".join(visible(line) for text in lines for line in text.split("\n")))


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _growth(measure: Measure) -> str:
    if measure.old == measure.new:
        return ""
    if not measure.old:
        return "new"
    percent = (measure.new - measure.old) / measure.old * 100
    return f"{percent.quantize(Decimal(1), rounding=ROUND_HALF_UP):+f} %"


def _reason(found: Compared) -> Iterator[str]:
    grown = ", ".join(m.name for m in found.measures if m.too_much)
    if found.unexplained:
        yield f"Over a tenth more: {grown}. No reason is given: say why under revision_reason."
    elif grown:
        yield f"Over a tenth more: {grown}. Reason given: {found.new.revision_reason.strip()}"


def _changes(found: Compared) -> Iterator[str]:
    old, new, did = found.old, found.new, found.changes
    yield from (f"added    {_named(new, name)}" for name in did.added)
    yield from (f"removed  {_named(old, name)}" for name in did.removed)
    yield from (f"moved    {_named(new, name)}" for name in did.moved)
    for name, differ in did.edited:
        yield f"changed  {_named(new, name)}: {', '.join(differ)}"
        yield from _was_and_is(old.step(name), new.step(name), differ)
    for name, differ in did.zones:
        yield f"zone     {name}: {', '.join(differ)}"
        was, now = (next(z for z in one.zones if z.id == name) for one in (old, new))
        yield from _was_and_is(was, now, differ)
    if did.listed:
        yield f"list     {', '.join(did.listed)}"
        yield from _was_and_is(old, new, [n for n in did.listed if n != "zones"])
        if "zones" in did.listed:
            yield from (f"  zones {w}: {', '.join(z.id for z in one.zones)}"
                        for w, one in (("was", old), ("now", new)))  # fmt: skip
    if did.nothing:
        yield "Nothing was added, removed, moved or changed."


def _was_and_is(old: object, new: object, names: Sequence[str]) -> Iterator[str]:
    """Each field before and after; of a list only what is gone and what is new."""
    for name in names:
        was, now = (to_plain(getattr(one, name)) for one in (old, new))
        if (
            isinstance(was, list)
            and isinstance(now, list)
            and sorted(map(str, was)) != sorted(map(str, now))
        ):
            yield from (f"  {name} gone: {_in_words(part)}" for part in was if part not in now)
            yield from (f"  {name} new: {_in_words(part)}" for part in now if part not in was)
        else:
            yield f"  {name} was: {_in_words(was)}"
            yield f"  {name} now: {_in_words(now)}"


def _in_words(tree: object) -> str:
    """A plain tree on one line, as its file has it but for the brackets."""
    match tree:
        case {"hazard": hazard, "consequence": consequence, "avoid": avoid}:
            return f"{hazard} {consequence} {avoid}"
        case dict():
            return ", ".join(f"{name} {_in_words(part)}" for name, part in tree.items())
        case list() | tuple():
            return "; ".join(_in_words(part) for part in tree) or "none"
        case bool():
            return "true" if tree else "false"
        case None | "":
            return "none"
        case _:
            return str(tree)


def _named(checklist: Checklist, name: str) -> str:
    return f"{checklist.number(name)} {name}"


def _again(found: Compared) -> Iterator[str]:
    if found.again is None:
        yield f"What to walk again is not worked out: fit {found.new.fit} is not at hand."
    elif found.again:
        numbers = ", ".join(found.new.number(name) for name in found.again)
        count = f"{len(found.again)} of {len(found.new.steps)} steps"
        yield f"To walk again where {found.old.revision} was walked last: {count}: {numbers}."
    else:
        yield "Nothing is to be walked again: no step asks otherwise."


def withdrawal(found: Withdrawal) -> str:
    """What was withdrawn, and each airframe it touched with its walks and its dash."""
    body = found.body
    head = f"{body.id} {body.revision} is withdrawn: {body.reason}"
    if not found.touched:
        return f"{head}\nNo walk passed anything on it."
    lines = [head]
    for one in found.touched:
        lines += [f"{one.tail}  {_became(one)}", *_walks(one, found.time_zone)]
    return prose("\n".join(visible(line) for line in lines))


def reach(found: Reach) -> str:
    """What a withdrawal would touch, with how to say that an airframe is not touched."""
    if not found.touched:
        return f"{found.id} {found.revision} passed nothing on any aircraft."
    lines = [f"{found.id} {found.revision} passed something on these; nothing is written yet."]
    for one in found.touched:
        gone = one.tail in found.gone
        lines.append(f"{one.tail}  {'no longer of this fleet' if gone else 'would get a dash'}")
        lines += _walks(one, found.time_zone)
    lines.append("An aircraft it does not concern is named with --not-touched TAIL=WHY.")
    return prose("\n".join(visible(line) for line in lines))


def _walks(one: Touched, time_zone: str) -> list[str]:
    where = zone(time_zone)
    return [f"  walk {w.walk}, {w.outcome}, {date_time(w.at, where)}, {w.by}" for w in one.walks]


def _became(one: Touched) -> str:
    if one.spared:
        return f"not touched: {one.spared}"
    return f"to be looked at again: {one.entry}" if one.entry else "no longer of this fleet"


def to_walk(again: Again) -> str:
    """The steps to walk after a repair in words, those that show it marked, and what none shows."""
    listed, found = again.checklist, again.found
    head = f"{again.tail}, after work on {', '.join(again.repaired)}: {listed.id} {listed.revision}"
    lines = [f"{head}, {len(found.steps)} of {len(listed.steps)} steps; * looks at the repair"]
    lines += [
        f"{'*' if name in again.bearing else ' '} {listed.number(name)}  {words}  [{name}]"
        for name, words in zip(found.steps, again.words, strict=True)
    ]
    if found.left_out:
        named = ", ".join(_named(listed, name) for name in found.left_out)
        lines.append(f"Not for this aircraft: {named}.")
    if found.unproved:
        lines.append(f"No step proves {', '.join(found.unproved)}: it stays not shown.")
    return prose("\n".join(visible(line) for line in lines))


def explained(found: Suspected) -> str:
    """What would explain the faults of an airframe, and by what that is said."""
    return prose(visible(f"{found.tail}, by {found.by}: {found.said}"))
