"""Every law of status holds of the fold and the verdict, for any history of three devices."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings

from domain.status_histories import Case, cases
from domain.status_laws import DRAWN, TRUE, Rules
from domain.status_laws_more import ALL_FIXED


@pytest.mark.parametrize("law", [*ALL_FIXED, *DRAWN], ids=lambda law: law.__name__)
def test_the_law_holds(law: Callable[[Rules, Case], None]) -> None:
    @given(cases())
    @settings(max_examples=40)
    def holds(case: Case) -> None:
        law(TRUE, case)

    holds()
