"""`{place.part}` marks in texts: well formed, and known to each airframe type that needs them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.fleet import AirframeType
from hardstand.domain.plain import defaults_of, has_fields
from hardstand.formats.located import Path
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted

MARK = r"\{([A-Za-z0-9_-]+)\.([A-Za-z0-9_-]+)\}"
_MARK = re.compile(MARK)

Types = Mapping[str, AirframeType]


def of_list(checklist: Checklist, types: Types) -> Iterator[Remark]:
    """HS246, HS247 over every text of zones and steps, and HS233 where a count is a mark.

    A type needs the places only of the steps that apply to it.
    """
    for index, zone in enumerate(checklist.zones):
        for path, text in _texts(zone, ("zones", index)):
            yield from _judged(text, path, types)
    for index, step in enumerate(checklist.steps):
        concerned = {name: t for name, t in types.items() if _applies(step, t)}
        for path, text in _texts(step, ("steps", index)):
            yield from _judged(text, path, concerned)
        if step.kind == "count":
            yield from _no_number(step.expect, ("steps", index, "expect"), concerned)


def of_fit(fit: Fit, types: Types) -> Iterator[Remark]:
    """HS246, HS247 over the titles of the items, which a walk shows."""
    for name, item in fit.items.items():
        yield from _judged(item.title, ("items", name, "title"), types)


def _judged(text: str, path: Path, types: Types) -> Iterator[Remark]:
    if "{" not in text and "}" not in text:
        return
    rest = _MARK.sub("", text)
    if "{" in rest or "}" in rest:
        said = f"a mark that is not well formed: {quoted(text)}"
        hint = "write {place.part}, such as {radio_compartment.panel}; no other { or }"
        yield Remark(code="HS246", path=path, message=said, hint=hint)
    for place, part in dict.fromkeys(_MARK.findall(text)):
        for name, airframe_type in types.items():
            yield from _unknown(place, part, path, name, airframe_type)


def _unknown(
    place: str, part: str, path: Path, name: str, airframe_type: AirframeType
) -> Iterator[Remark]:
    places = airframe_type.places
    said = f"type {quoted(name)} has no {'place' if place not in places else 'part'} for "
    said += quoted(f"{{{place}.{part}}}")
    if place not in places:
        hint = accepted(place, places, none="the type has no places")
        yield Remark(code="HS247", path=path, message=said, hint=hint)
    elif part not in places[place]:
        hint = accepted(part, places[place], none="the place has no parts")
        yield Remark(code="HS247", path=path, message=said, hint=hint)


def _no_number(text: str, path: Path, types: Types) -> Iterator[Remark]:
    match = _MARK.fullmatch(text)
    for name, airframe_type in types.items() if match else ():
        word = airframe_type.places.get(match[1], {}).get(match[2], "0") if match else "0"
        if not re.fullmatch(r"[0-9]{1,6}", word):
            said = f"type {quoted(name)} has {quoted(word)} for {quoted(text)}, which is no count"
            hint = "name a part that holds a whole number"
            yield Remark(code="HS233", path=path, message=said, hint=hint)


def _applies(step: Step, airframe_type: AirframeType) -> bool:
    fact = step.applies_if.removeprefix("not ").strip()
    return not fact or (fact in airframe_type.facts) != step.applies_if.startswith("not ")


def _texts(value: object, path: Path) -> Iterator[tuple[Path, str]]:
    """Every text inside a value, with its path."""
    if isinstance(value, str):
        yield path, value
    elif has_fields(type(value)):
        for name in defaults_of(type(value)):
            yield from _texts(getattr(value, name), (*path, name.removesuffix("_")))
    elif isinstance(value, tuple):
        for index, inner in enumerate(value):
            yield from _texts(inner, (*path, index))
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _texts(inner, (*path, key))
