"""Many check points of one dial: straight-line fit, correction card, and what they cover.

Source: the straight line between check points and the setting near the frequency in use are
published practice for calibrated dials; leave-one-out, the count of four and the third of the
limit are our own (common practice). Nothing is ever extrapolated.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from hardstand.domain.readings.arithmetic import between, exact, to_step
from hardstand.errors import Usage


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPoint:
    """One identified station: its true frequency and where the dial stood, both in kHz."""

    true: Decimal
    dial: Decimal

    @property
    def error(self) -> Decimal:
        """Dial minus true."""
        return self.dial - self.true


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """y = intercept + slope x, with what each point leaves over, in the order given."""

    intercept: Decimal
    slope: Decimal
    residuals: tuple[Decimal, ...]

    @property
    def worst(self) -> Decimal:
        """The largest residual, without its sign."""
        return max(abs(r) for r in self.residuals)

    @exact
    def spread(self) -> Decimal:
        """Standard deviation of the residuals on n - 2 degrees of freedom."""
        if len(self.residuals) == 2:
            return Decimal(0)
        squares = sum((r * r for r in self.residuals), Decimal(0))
        return (squares / (len(self.residuals) - 2)).sqrt()

    @exact
    def at(self, x: Decimal) -> Decimal:
        """The height of the line at `x`."""
        return self.intercept + self.slope * x


@exact
def fitted(points: tuple[tuple[Decimal, Decimal], ...]) -> Line:
    """The least-squares line through (x, y) points, unweighted.

    Raises:
        Usage: fewer than two points, or all at one x.
    """
    n = len(points)
    if n < 2 or len({x for x, _ in points}) < 2:
        raise Usage("a line needs two points at different places on the dial")
    mean_x = sum((x for x, _ in points), Decimal(0)) / n
    mean_y = sum((y for _, y in points), Decimal(0)) / n
    across = sum(((x - mean_x) ** 2 for x, _ in points), Decimal(0))
    slope = sum(((x - mean_x) * (y - mean_y) for x, y in points), Decimal(0)) / across
    intercept = mean_y - slope * mean_x
    left_over = tuple(y - (intercept + slope * x) for x, y in points)
    return Line(intercept=intercept, slope=slope, residuals=left_over)


def error_line(points: tuple[CheckPoint, ...]) -> Line:
    """Dial error as a straight line of the true frequency."""
    return fitted(tuple((p.true, p.error) for p in points))


@exact
def dial_for(line: Line, true: Decimal) -> Decimal:
    """Where to set the dial for a true frequency, by the line of the errors."""
    return true + line.at(true)


@exact
def true_for(line: Line, dial: Decimal) -> Decimal:
    """The true frequency of a dial reading, by the line of the errors."""
    return (dial - line.intercept) / (1 + line.slope)


@exact
def error_at(points: tuple[CheckPoint, ...], true: Decimal) -> Decimal | None:
    """Dial error between neighbouring check points; None outside the outermost: not covered."""
    return between(true, tuple(sorted((p.true, p.error) for p in points)))


@exact
def settings(
    points: tuple[CheckPoint, ...], wanted: tuple[Decimal, ...], division: Decimal
) -> tuple[tuple[Decimal, Decimal | None], ...]:
    """The correction card: wanted true frequency → dial to the nearest division, or not covered."""
    dials = tuple(sorted((p.true, p.dial) for p in points))
    found = ((true, between(true, dials)) for true in wanted)
    return tuple((true, None if at is None else to_step(at, division)) for true, at in found)


@exact
def left_out(points: tuple[CheckPoint, ...]) -> tuple[tuple[CheckPoint, Decimal], ...]:
    """Each inner point with the true frequency its neighbours foretell, less its own.

    The points are merged and rising by dial.
    """
    line = tuple(sorted(points, key=lambda p: p.dial))
    missed = []
    for before, point, after in zip(line, line[1:], line[2:], strict=False):
        ends = ((before.dial, before.true), (after.dial, after.true))
        foretold = between(point.dial, ends)
        missed.append((point, (foretold or Decimal(0)) - point.true))
    return tuple(missed)


@exact
def merged(points: tuple[CheckPoint, ...]) -> tuple[tuple[CheckPoint, Decimal], ...]:
    """Points by rising dial, those at one dial mark averaged, each with its repeatability.

    Repeatability is highest minus lowest true frequency at that mark; zero for a single reading.
    """
    by_mark: dict[Decimal, list[Decimal]] = {}
    for point in sorted(points, key=lambda p: p.dial):
        by_mark.setdefault(point.dial, []).append(point.true)
    return tuple(
        (CheckPoint(dial=dial, true=sum(t, Decimal(0)) / len(t)), max(t) - min(t))
        for dial, t in by_mark.items()
    )


@exact
def remarks(points: tuple[CheckPoint, ...], limit: Decimal, division: Decimal) -> tuple[str, ...]:
    """What the card must say of itself: suspected readings, points too far apart, a bent dial.

    `limit` and `division` in kHz; the points are merged and rising by dial.
    """
    said = []
    for before, after in pairwise(points):
        if after.true <= before.true:
            said.append(f"reading suspected at dial {after.dial}: not above the one before it")
    if any(abs(miss) * 2 > limit for _, miss in left_out(points)):
        said.append("points too far apart to interpolate here")
    if not is_straight(points, division):
        said.append("no straight line: go from point to point")
    return tuple(said)


@exact
def is_straight(points: tuple[CheckPoint, ...], division: Decimal) -> bool:
    """Whether one line may stand for the dial: four points or more, all within one division."""
    if len(points) < 4:
        return False
    return fitted(tuple((p.dial, p.true) for p in points)).worst <= division


@exact
def widest_gap(
    heard: tuple[Decimal, ...], low: Decimal, high: Decimal
) -> tuple[Decimal, Decimal, Decimal]:
    """The worst stretch without a check point, and its ends; end stretches count twice.

    A stretch past the last point can only be extrapolated, so it is worth half.
    """
    marks = sorted(heard)
    if not marks:
        return 2 * (high - low), low, high
    inner = [(b - a, a, b) for a, b in pairwise(marks)]
    ends = [(2 * (marks[0] - low), low, marks[0]), (2 * (high - marks[-1]), marks[-1], high)]
    return max((*inner, *ends), key=lambda gap: gap[0])
