"""A quick run of the state machine of two devices; `tests/faults/run.py states` is the long one."""

from __future__ import annotations

from hypothesis import settings
from hypothesis.stateful import run_state_machine_as_test

from faults.states import TwoDevices


def test_two_devices_lose_nothing_whatever_happens_to_the_record() -> None:
    quick = settings(max_examples=12, stateful_step_count=16, deadline=None)
    run_state_machine_as_test(TwoDevices, settings=quick)
