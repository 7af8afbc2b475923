"""What must be true of a fit once it has its shape: small rules, each over the whole fit."""

from __future__ import annotations

import graphlib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from hardstand.domain.checklist import Checklist, Fit, Item, Mission
from hardstand.domain.deferral import is_looser
from hardstand.domain.mission_words import RESERVED, Unreadable, names, needs
from hardstand.formats.located import Path
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_MISSION_HINT = "write functions and missions joined by 'and', 'or', 'atleast 2 of (a, b, c)'"


def names_are_sayable(fit: Fit) -> Iterator[Remark]:
    """HS209: ids are plain ASCII and no word of the mission language."""
    hint = "accepted: A-Z a-z 0-9 and . _ - after the first sign"
    if not _NAME.fullmatch(fit.id):
        said = f"the id {quoted(fit.id)} holds other characters"
        yield Remark(code="HS209", path=("id",), message=said, hint=hint)
    for group, keys in _groups(fit).items():
        for key in keys:
            if not _NAME.fullmatch(key):
                said = f"the name {quoted(key)} holds other characters"
                yield Remark(code="HS209", path=(group, key), message=said, hint=hint, on_key=True)
            elif key in RESERVED:
                said = f"the name {quoted(key)} is a word of the mission language"
                yield Remark(
                    code="HS209",
                    path=(group, key),
                    message=said,
                    hint="choose another name than: " + ", ".join(sorted(RESERVED)),
                    on_key=True,
                )


def names_mean_one_thing(fit: Fit) -> Iterator[Remark]:
    """HS214: `proves` names a function, unit or control; a mission names functions, missions."""
    for group, others in (
        ("functions", ("units",)),
        ("controls", ("units", "functions")),
        ("missions", ("functions",)),
    ):
        for key in _groups(fit)[group]:
            for other in others:
                if key in _groups(fit)[other]:
                    yield Remark(
                        code="HS214",
                        path=(group, key),
                        message=f"{quoted(key)} stands under {group} and under {other}",
                        hint="a step or a mission could mean either; rename one",
                        on_key=True,
                        also=(other, key),
                        also_is="the other on line",
                        also_on_key=True,
                    )


def units_are_known(fit: Fit) -> Iterator[Remark]:
    """HS201: what feeds a function, and where a control sits, are units of the fit."""
    for name, function in fit.functions.items():
        for index, unit in enumerate(function.fed_by):
            if unit not in fit.units:
                yield _unknown_unit(fit, unit, ("functions", name, "fed_by", index))
    for name, control in fit.controls.items():
        if control.unit and control.unit not in fit.units:
            yield _unknown_unit(fit, control.unit, ("controls", name, "unit"))


def items_come_home(fit: Fit) -> Iterator[Remark]:
    """HS202: from every value an item can have, its actions lead back to home.

    A count is counted back without an action.
    """
    for name, item in fit.items.items():
        stuck = [v for v in item.values if v not in _leads_home(item)]
        for value in stuck if item.kind != "count" else ():
            yield Remark(
                code="HS202",
                path=("items", name),
                message=f"{quoted(name)} has no way home from {quoted(value)}",
                hint=f"add an action that leads from {value} to {item.home}, with only_with what "
                "it needs",
                on_key=True,
            )


def actions_move_something(fit: Fit) -> Iterator[Remark]:
    """HS210: an action ends at another value than it starts from."""
    for name, item in fit.items.items():
        for index, action in enumerate(item.actions):
            if action.from_ == action.to:
                said = f"from {quoted(action.from_)} to {quoted(action.to)} moves nothing"
                path = ("items", name, "actions", index)
                yield Remark(code="HS210", path=path, message=said, hint="give two values")


def counts_start_from_a_number(fit: Fit) -> Iterator[Remark]:
    """HS212: a count is a number, at home too."""
    for name, item in fit.items.items():
        if item.kind == "count" and not is_count(item.home):
            said = f"the count {quoted(name)} has the home {quoted(item.home)}"
            hint = "give a whole number; usually 0"
            yield Remark(code="HS212", path=("items", name, "home"), message=said, hint=hint)


def conditions_are_known(fit: Fit) -> Iterator[Remark]:
    """HS203, HS204: `only_with` and `never` name items and values of the fit."""
    for name, item in fit.items.items():
        for index, action in enumerate(item.actions):
            path = ("items", name, "actions", index, "only_with")
            yield from unknown_values(fit, action.only_with or {}, path, ("HS203", "HS204"))
    for index, combination in enumerate(fit.never):
        yield from unknown_values(fit, combination, ("never", index), ("HS203", "HS204"))


def never_leaves_home_free(fit: Fit) -> Iterator[Remark]:
    """HS211: with everything at home nothing forbidden stands."""
    for index, combination in enumerate(fit.never):
        if all(n in fit.items and fit.items[n].home == v for n, v in combination.items()):
            yield Remark(
                code="HS211",
                path=("never", index),
                message="this would forbid the aircraft with everything at home",
                hint="name at least one item away from its home value",
            )


def missions_say_what_they_need(fit: Fit) -> Iterator[Remark]:
    """HS216: needs, or limits in their place, or why never; `never` stands alone."""
    for name, mission in (fit.missions or {}).items():
        path = ("missions", name)
        if mission.never and mission != Mission(never=mission.never):
            said = f"{quoted(name)} is never flown with this fit and says more besides"
            hint = "take `never` out, or leave only `never`"
        elif not (mission.never or mission.needs or mission.with_limits):
            said = f"{quoted(name)} needs nothing and has no limits"
            hint = "give `needs`, or under `with_limits` what takes the place of the set"
        else:
            continue
        yield Remark(code="HS216", path=path, message=said, hint=hint, on_key=True)


def missions_are_readable(fit: Fit) -> Iterator[Remark]:
    """HS205, HS206, HS208: `needs` reads and names what the fit has; `limited_by` too."""
    missions = fit.missions or {}
    known = (*fit.functions, *missions)
    for name, mission in missions.items():
        if not mission.needs:
            continue
        path = ("missions", name, "needs")
        tree = needs(mission.needs)
        if isinstance(tree, Unreadable):
            yield Remark(code="HS205", path=path, message=tree.why, hint=_MISSION_HINT)
            continue
        for needed in names(tree):
            if needed not in known:
                said = f"{quoted(needed)} is neither a function nor a mission of the fit"
                hint = accepted(needed, known)
                yield Remark(code="HS206", path=path, message=said, hint=hint)
    for name, mission in missions.items():
        for index, function in enumerate(mission.limited_by):
            if function not in fit.functions:
                yield Remark(
                    code="HS208",
                    path=("missions", name, "limited_by", index),
                    message=f"the fit has no function {quoted(function)}",
                    hint=accepted(function, fit.functions, none="the fit has no functions"),
                )


def missions_end(fit: Fit) -> Iterator[Remark]:
    """HS207: no mission needs itself, by whatever way round."""
    missions = fit.missions or {}
    trees = {name: needs(mission.needs) for name, mission in missions.items() if mission.needs}
    graph = {
        name: [] if isinstance(tree, Unreadable) else [n for n in names(tree) if n in missions]
        for name, tree in trees.items()
    }
    try:
        graphlib.TopologicalSorter(graph).prepare()
    except graphlib.CycleError as error:
        ring: list[str] = error.args[1]
        first = min(ring, key=list(missions).index)
        turned = ring[:-1][ring.index(first) :] + ring[:-1][: ring.index(first)] + [first]
        turned.reverse()
        yield Remark(
            code="HS207",
            path=("missions", first, "needs"),
            message="missions need each other in a ring: " + " needs ".join(turned),
            hint="take one of them out of the needs of another",
        )


def zones_are_walked(fit: Fit, lists: Sequence[Checklist]) -> Iterator[Remark]:
    """HS213: units and actions stand in zones that a list of the fit walks; no list, no finding."""
    zones = tuple(dict.fromkeys(zone.id for one in lists for zone in one.zones))
    named: list[tuple[Path, str]] = [(("units", n, "zone"), u.zone) for n, u in fit.units.items()]
    for name, item in fit.items.items():
        for index, action in enumerate(item.actions):
            named.append((("items", name, "actions", index, "zone"), action.zone))
    for path, zone in named if lists else ():
        if zone and zone not in zones:
            said = f"no list of the fit has the zone {quoted(zone)}"
            yield Remark(code="HS213", path=path, message=said, hint=accepted(zone, zones))


def permitted_no_longer_than_the_master(fit: Fit) -> Iterator[Remark]:
    """HS217: an operator's list may be stricter than the master's, never looser.

    Source: FAA Order 8900.1 as quoted; ORO.MLR.105(e)(1) as published for the UK.
    """
    for name, item in (fit.permitted or {}).items():
        if item.master and is_looser(item.category, item.master):
            yield Remark(
                code="HS217",
                path=("permitted", name, "category"),
                message=f"category {item.category} gives more time than the master list's "
                f"{item.master}",
                hint=f"accepted: {', '.join(c for c in 'ABCD' if not is_looser(c, item.master))}",
            )


RULES: tuple[Callable[[Fit], Iterable[Remark]], ...] = (
    names_are_sayable,
    names_mean_one_thing,
    permitted_no_longer_than_the_master,
    units_are_known,
    items_come_home,
    actions_move_something,
    counts_start_from_a_number,
    conditions_are_known,
    never_leaves_home_free,
    missions_say_what_they_need,
    missions_are_readable,
    missions_end,
)


def is_count(text: str) -> bool:
    """True for a whole number from zero up, as typed in a file."""
    return bool(re.fullmatch(r"0|[1-9][0-9]{0,5}", text))


def unknown_values(
    fit: Fit, values: Mapping[str, str], path: Path, codes: tuple[str, str]
) -> Iterator[Remark]:
    """Items the fit does not have, and values an item cannot have; one code for each."""
    for name, value in values.items():
        below = (*path, name)
        if name not in fit.items:
            yield Remark(
                code=codes[0],
                path=below,
                message=f"the fit has no item {quoted(name)}",
                hint=accepted(name, fit.items, none="the fit has no items"),
                on_key=True,
            )
            continue
        item = fit.items[name]
        if item.kind == "count":
            if not is_count(value):
                said = f"{quoted(value)} is no value of the count {quoted(name)}"
                yield Remark(code=codes[1], path=below, message=said, hint="give a whole number")
        elif value not in item.values:
            said = f"{quoted(value)} is no value of {quoted(name)}"
            hint = accepted(value, item.values)
            yield Remark(code=codes[1], path=below, message=said, hint=hint)


def _unknown_unit(fit: Fit, unit: str, path: Path) -> Remark:
    return Remark(
        code="HS201",
        path=path,
        message=f"the fit has no unit {quoted(unit)}",
        hint=accepted(unit, fit.units, none="the fit has no units"),
    )


def _leads_home(item: Item) -> set[str]:
    home = {item.home}
    while more := {a.from_ for a in item.actions if a.to in home} - home:
        home |= more
    return home


def _groups(fit: Fit) -> dict[str, Iterable[str]]:
    return {
        "units": fit.units,
        "functions": fit.functions,
        "items": fit.items,
        "controls": fit.controls,
        "missions": fit.missions or {},
        "permitted": fit.permitted or {},
    }
