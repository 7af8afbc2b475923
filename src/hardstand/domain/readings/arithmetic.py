"""Exact decimals for the bench: one context, rounding for display, decibels, straight lines."""

from __future__ import annotations

from collections.abc import Callable
from decimal import (
    ROUND_HALF_EVEN,
    ROUND_HALF_UP,
    Context,
    Decimal,
    DivisionByZero,
    InvalidOperation,
    Overflow,
    localcontext,
)
from functools import wraps
from itertools import pairwise
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

BENCH = Context(
    prec=50, rounding=ROUND_HALF_EVEN, traps=[InvalidOperation, DivisionByZero, Overflow]
)
"""Fifty digits: the product of three numbers of fifteen digits is still exact in it."""

MILLION = Decimal(1_000_000)
PI = Decimal("3.1415926535897932384626433832795028841971693993751")


def exact(sum_: Callable[P, R]) -> Callable[P, R]:
    """The same function, reckoned in BENCH whatever context the caller has."""

    @wraps(sum_)
    def reckoned(*args: P.args, **kwargs: P.kwargs) -> R:
        with localcontext(BENCH):
            return sum_(*args, **kwargs)

    return reckoned


def shown(value: Decimal, places: int) -> str:
    """`value` with that many decimals, halves away from zero, and never a minus zero."""
    step = Decimal(1).scaleb(-places)
    rounded = value.quantize(step, rounding=ROUND_HALF_UP, context=BENCH)
    return f"{rounded if rounded else rounded.copy_abs():f}"


def plain(value: Decimal) -> str:
    """`value` with the decimals it has, which is those of the numbers it was added up from."""
    return f"{value if value else value.copy_abs():f}"


def to_step(value: Decimal, step: Decimal) -> Decimal:
    """`value` at the nearest multiple of `step`, halves away from zero."""
    return (value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


def power_db(ratio: Decimal) -> Decimal:
    """Decibels of a ratio of powers, which must be above zero."""
    return 10 * ratio.log10()


def volts_db(ratio: Decimal) -> Decimal:
    """Decibels of a ratio of voltages across the same load, which must be above zero."""
    return 20 * ratio.log10()


def power_ratio(db: Decimal) -> Decimal:
    """The ratio of powers that is so many decibels."""
    return Decimal(10) ** (db / 10)


def between(x: Decimal, points: tuple[tuple[Decimal, Decimal], ...]) -> Decimal | None:
    """Straight line between the neighbours of `x` in `points` (rising x); None outside them."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 < x1 and x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None
