"""The regions of the reference pages that are made from the program, so that they cannot drift.

A `fields` or `powers` region keeps the meanings a person wrote in it; the rest of it comes from the
program. Everything else is made whole.
"""

from __future__ import annotations

import pkgutil
import re
import types
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from importlib import import_module
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import typer

from docs import requirements, screens
from hardstand import domain, errors
from hardstand.cli.app import app
from hardstand.domain.asking import KEY_WORDS
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.fleet import Fleet
from hardstand.domain.measuring import BESIDE
from hardstand.domain.people import ROLES, role_words
from hardstand.domain.plain import NEEDED, defaults_of, has_fields
from hardstand.domain.powers import NEEDS, ON_THE_LINE
from hardstand.domain.readings.registry import REGISTRY
from hardstand.domain.settings import Settings
from hardstand.formats.judge_rules import KEYS as JUDGE_KEYS
from hardstand.formats.judge_rules import KINDS as JUDGEMENTS
from hardstand.views.open_items import COLUMNS

CODES: Mapping[str, str] = {
    code: said
    for module in pkgutil.iter_modules(domain.__path__)
    for code, said in getattr(
        import_module(f"{domain.__name__}.{module.name}"), "CODES", {}
    ).items()
    if code.startswith("HS")
}
"""Every published code with its sentence, from whichever module tells it."""


def _below(hint: Any) -> Iterator[type[Any]]:
    """The types with fields inside a type, itself first."""
    if isinstance(hint, type) and has_fields(hint):
        yield hint
        for inner in get_type_hints(hint).values():
            yield from _below(inner)
    for inner in get_args(hint):
        yield from _below(inner)


MODELS: Mapping[str, type[Any]] = {
    model.__name__: model for file in (Checklist, Fit, Fleet, Settings) for model in _below(file)
}
"""The types with fields of the files an operator writes, by name."""

_WORDS: Mapping[object, str] = {
    str: "text",
    bool: "true or false",
    int: "whole number",
    Decimal: "number",
}
Kept = str


def region(name: str, kept: Kept) -> str:
    """The text of the region of that name; `kept` is what stands in it now.

    Raises:
        AssertionError: the region is not one of those known here.
    """
    kind, _, argument = name.partition(" ")
    known: Mapping[str, Callable[[str, Kept], str]] = {
        "codes": lambda span, _: codes(span),
        "columns": lambda _, __: columns(),
        "commands": lambda _, __: commands(),
        "exits": lambda _, __: exits(),
        "fields": fields,
        "judgements": lambda _, __: judgements(),
        "keys": lambda _, __: keys(),
        "options": lambda _, __: options(),
        "powers": lambda _, kept: powers(kept),
        "requirements": lambda _, __: table(
            ("id", "severity", "what it asks", "tests"), requirements.rows()
        ),
        "screen": lambda title, _: screens.screen(title),
        "plain": lambda title, _: screens.plain(title),
        "exceptions": lambda _, __: (
            table(("id", "why"), requirements.excepted().items())
            if requirements.excepted()
            else "None of them is excepted."
        ),
    }
    assert kind in known, f"no region is called {name!r}; known are {', '.join(known)}"
    return known[kind](argument, kept)


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table; a bar inside a cell is escaped."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(
        "| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines
    )


def rows_of(text: str) -> tuple[tuple[str, ...], ...]:
    """The rows of the Markdown tables in a text, without heads and rules."""
    lines = [line for line in text.splitlines() if line.startswith("|")]
    split = [re.split(r"(?<!\\)\|", line)[1:-1] for line in lines]
    cells = [tuple(c.strip().replace("\\|", "|") for c in row) for row in split]
    return tuple(
        row
        for n, row in enumerate(cells)
        if set(row[0]) != {"-"} and not (n + 1 < len(cells) and set(cells[n + 1][0]) == {"-"})
    )


# -- findings, exit statuses, columns, keys --------------------------------------------------------


def codes(span: str) -> str:
    """The codes from one number to another, with their sentences."""
    low, high = span.split(" ")
    found = ((c, said) for c, said in sorted(CODES.items()) if f"HS{low}" <= c <= f"HS{high}")
    return table(("code", "what it says"), ((f"`{c}`", said) for c, said in found))


def stops() -> tuple[type[errors.HardstandError], ...]:
    """Every error class, by exit status and then by its word."""
    found: list[type[errors.HardstandError]] = [errors.HardstandError]
    found += errors.HardstandError.__subclasses__()
    return tuple(sorted(found, key=lambda e: (e.exit_status, e.code)))


def exits() -> str:
    """Each exit status that is not 0, with the word and the sentence of what stops so."""
    rows = (
        (str(e.exit_status), f"`{e.code}`", "A fault of the program itself." if e.code == "bug"
         else (e.__doc__ or "").splitlines()[0])
        for e in stops()
    )  # fmt: skip
    return table(("status", "word", "when"), rows)


def columns() -> str:
    """The columns of the open list as CSV."""
    return table(("column", "what it holds"), ((f"`{n}`", said) for n, said in COLUMNS.items()))


def keys() -> str:
    """The keys of a walk, each with its one meaning."""
    return table(("key", "meaning"), ((f"`{k}`", said) for k, said in KEY_WORDS.items()))


def powers(kept: Kept) -> str:
    """Each deed with the roles of which one is needed, and the meaning kept."""
    meanings = {row[0].strip("`"): row[2] for row in rows_of(kept) if len(row) == 3}
    groups = {ROLES: "every role", ON_THE_LINE: "every role but auditor"}
    rows = (
        (
            f"`{deed}`",
            groups.get(roles) or ", ".join(map(role_words, roles)),
            meanings.get(deed, ""),
        )
        for deed, roles in NEEDS.items()
    )
    return table(("deed", "roles", "meaning"), rows)


def judgements() -> str:
    """What `judge` can name: the kind of step, the keys that stand beside the name."""
    rows = []
    for name, kind in JUDGEMENTS.items():
        asked = [ask.name for ask in REGISTRY[name].asks] if name not in JUDGE_KEYS else []
        beside = [key for key in BESIDE if key not in {"name", "example"}] if asked else []
        known = ", ".join(f"`{key}`" for key in (*asked, *JUDGE_KEYS.get(name, ()), *beside))
        rows.append((f"`{name}`", f"`{kind}`", known))
    return table(("judgement", "kind of step", "keys beside `name` and `example`"), rows)


# -- commands --------------------------------------------------------------------------------------


def tree() -> Iterator[tuple[str, Any]]:
    """Every command and group of commands by its words, as the program would find it."""
    yield from _commands("hardstand", typer.main.get_command(app))


def _commands(words: str, command: Any) -> Iterator[tuple[str, Any]]:
    yield words, command
    for name, inner in getattr(command, "commands", {}).items():
        yield from _commands(f"{words} {name}", inner)


def commands() -> str:
    """Each command with its sentence, its arguments and its options."""
    found = []
    for words, command in tree():
        if getattr(command, "commands", None):
            continue
        found += [f"### `{words}`", "", command.help.strip(), ""]
        rows = [_parameter(p) for p in command.params]
        found += [table(("given as", "meaning"), rows), ""] if rows else []
    return "\n".join(found).strip()


def options() -> str:
    """The options that stand before a command."""
    _, root = next(tree())
    return table(("option", "meaning"), (_parameter(p) for p in root.params))


def _parameter(parameter: Any) -> tuple[str, str]:
    """How an argument or option is given, and what it is for."""
    default = parameter.default
    told = f" Default: `{default}`." if default not in {None, "", False} else ""
    said = f"{parameter.help or '—'}{told}"
    if parameter.param_type_name == "argument":
        shown = (parameter.metavar or parameter.name.upper()).strip("[]")
        return (f"`{shown}`" if parameter.required else f"`[{shown}]`"), said
    names = "/".join([*parameter.opts, *parameter.secondary_opts])
    if parameter.is_flag:
        return f"`{names}`", said
    value = parameter.metavar or {"path": "PATH", "integer": "N"}.get(parameter.type.name, "TEXT")
    return f"`{names} {value}`", said


# -- fields ----------------------------------------------------------------------------------------


def fields(name: str, kept: Kept) -> str:
    """The fields of a dataclass: spelling in the file, type, default, and the meaning kept."""
    meanings = {row[0].strip("`"): row[3] for row in rows_of(kept) if len(row) == 4}
    hints = get_type_hints(MODELS[name])
    rows = [
        (
            f"`{field.removesuffix('_')}`",
            spelled(hints[field]),
            _default(default),
            meanings.get(field.removesuffix("_"), ""),
        )
        for field, default in defaults_of(MODELS[name]).items()
    ]
    return table(("field", "type", "default", "meaning"), rows)


def spelled(hint: Any) -> str:
    """A type in the words of the file."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin in {Union, types.UnionType}:
        return spelled(next(a for a in inner if a is not type(None)))
    if origin is Literal:
        return "one of " + ", ".join(f"`{word}`" for word in inner)
    if origin is tuple:
        return f"list of {_many(inner[0])}"
    if origin is not None:
        return f"names with {_many(inner[1])}"
    if hint in _WORDS:
        return _WORDS[hint]
    return f"[{hint.__name__}](#{hint.__name__.lower()})"


def _many(hint: Any) -> str:
    if hint in {str, Decimal, int}:
        return {str: "texts", Decimal: "numbers", int: "whole numbers"}[hint]
    return spelled(hint)


def _default(default: object) -> str:
    if default is NEEDED:
        return "required"
    if default in ("", (), None) or has_fields(type(default)):
        return "none"
    shown = str(default).lower() if isinstance(default, bool) else str(default)
    return f"`{shown}`"
