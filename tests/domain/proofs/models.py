"""Reads the expressions of computations 3.3 (`all`, `any`, `atleast k`) as checks."""

from __future__ import annotations

import re
from collections.abc import Mapping

from domain.proofs.tables import sections
from hardstand.domain.coverage import Checks


def model() -> dict[str, str]:
    """Function name to expression, as the paper writes it."""
    return dict(sections("proof_model.txt")["functions"])


def terms(expression: str) -> list[str]:
    """The expressions between the outermost brackets, split at their commas."""
    inner = expression[expression.index("(") + 1 : -1]
    parts, depth = [""], 0
    for char in inner:
        depth += (char == "(") - (char == ")")
        if char == "," and not depth:
            parts.append("")
        else:
            parts[-1] += char
    return [part.strip() for part in parts]


def leaves(expression: str) -> set[str]:
    """Every name an expression mentions."""
    if "(" not in expression:
        return {expression}
    return {name for term in terms(expression) for name in leaves(term)}


def works(functions: Mapping[str, str], expression: str, lost: frozenset[str]) -> bool:
    """Whether an expression holds with those units lost."""
    if expression in functions:
        return works(functions, functions[expression], lost)
    if "(" not in expression:
        return expression not in lost
    outcomes = [works(functions, term, lost) for term in terms(expression)]
    if expression.startswith("all("):
        return all(outcomes)
    if expression.startswith("any("):
        return any(outcomes)
    found = re.match(r"atleast (\d+)\(", expression)
    assert found
    return sum(outcomes) >= int(found[1])


def checks(*names: str) -> Checks:
    """The named functions as checks, over every unit of the model."""
    functions = model()
    units = sorted({u for e in functions.values() for u in leaves(e)} - set(functions))

    def good(lost: frozenset[str]) -> tuple[bool, ...]:
        return tuple(works(functions, name, lost) for name in names)

    return Checks(names=names, units=tuple(units), good=good)
