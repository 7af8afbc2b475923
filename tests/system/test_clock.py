"""The machine's clock, watched against its steady one; a wrong clock read by its known error."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest

from hardstand.domain.quantity import Instant
from hardstand.ports import SteadyClock
from hardstand.system.clock import SLIP_S, CorrectedClock, MachineClock


@dataclass
class World:
    """A wall clock that can be set, and seconds that pass."""

    passed: float = 0.0
    wrong: float = 0.0

    def wall(self) -> datetime:
        start = datetime(2027, 3, 8, 8, tzinfo=UTC)
        return start + timedelta(seconds=self.passed + self.wrong)

    def steady(self) -> float:
        return 500.0 + self.passed


@pytest.fixture
def world() -> World:
    return World()


@pytest.fixture
def clock(world: World) -> MachineClock:
    return MachineClock(world.wall, world.steady)


def test_a_clock_that_runs_has_not_slipped_however_long(world: World, clock: MachineClock) -> None:
    world.passed = 90_000.0
    assert (clock.slipped(), clock.has_slipped()) == (0, False)
    assert clock.now() == "2027-03-09T09:00:00Z"


@pytest.mark.parametrize("moved", [SLIP_S, -SLIP_S])
def test_a_minute_is_let_pass(world: World, clock: MachineClock, moved: int) -> None:
    world.wrong = moved
    assert (clock.slipped(), clock.has_slipped()) == (0, False)


@pytest.mark.parametrize("moved", [SLIP_S + 1, -SLIP_S - 1, -86400, 3600])
def test_more_than_a_minute_is_told_once_and_not_forgotten(
    world: World, clock: MachineClock, moved: int
) -> None:
    world.passed, world.wrong = 10.0, moved
    assert (clock.slipped(), clock.slipped()) == (moved, 0)
    assert clock.has_slipped()
    world.wrong = 0
    assert clock.slipped() == -moved


def test_the_machine_has_both_clocks() -> None:
    clock = MachineClock()
    assert isinstance(clock, SteadyClock)
    assert (clock.slipped(), clock.has_slipped()) == (0, False)


def test_a_known_error_is_taken_off(clock: MachineClock) -> None:
    assert CorrectedClock(clock, 440).now() == Instant("2027-03-08T07:52:40Z")
    assert CorrectedClock(clock, -86400).now() == Instant("2027-03-09T08:00:00Z")
