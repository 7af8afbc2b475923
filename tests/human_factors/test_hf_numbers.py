"""Human-factors ANS-05 at a terminal: a number is whole when Enter says so, and not before."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import TAIL, on_disk
from human_factors.at_terminal import ALONE, Held
from scenarios.stage import bodies


@pytest.mark.hf("ANS-01", "ANS-05")
@pytest.mark.parametrize("burst", ["12", "1234567"])
def test_a_number_typed_at_once_waits_for_enter_and_is_kept_whole(
    tmp_path: Path, burst: str
) -> None:
    pen = on_disk(tmp_path, demo=True)
    with Held(tmp_path / "record.db", ALONE, columns=80, rows=24) as walk:
        walk.shows("Type the whole tail").type(TAIL).shows("tiny manual").press("c")
        walk.shows("nothing").press("c").shows("Do tools.")
        walk.press(burst).shows(f"How many, things: {burst}")
        assert bodies(pen.journal, "step.answered") == [], "Enter was not pressed"
        walk.press("\r").shows("Do safe.")
        assert "Nothing was answered" not in walk.words
    assert [a.value for a in bodies(pen.journal, "step.answered")] == [burst]
