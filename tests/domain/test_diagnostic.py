"""Diagnostics: their text, their order, their codes."""

from __future__ import annotations

import re
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.diagnostic import CODES, Diagnostic, Level, in_order


def _finding(
    *, code: str = "HS104", line: int = 3, column: int = 7, file: str = "a.yaml",
    level: Level = "error", answered: bool = False, hint: str = "nearest: title",
) -> Diagnostic:  # fmt: skip
    return Diagnostic(
        code=code, level=level, message="unknown key 'titel'", hint=hint, line=line, column=column,
        answered=answered, file=file,
    )  # fmt: skip


def test_a_diagnostic_is_told_with_its_place_and_its_hint() -> None:
    assert _finding().text() == "a.yaml:3:7: HS104 unknown key 'titel'\n  hint: nearest: title"


def test_a_diagnostic_without_a_hint_is_one_line() -> None:
    assert _finding(hint="").text() == "a.yaml:3:7: HS104 unknown key 'titel'"


def test_only_an_error_nobody_answered_stops() -> None:
    assert _finding().stops
    assert not _finding(answered=True).stops
    assert not _finding(level="advice").stops


@given(
    st.lists(
        st.builds(
            _finding,
            code=st.sampled_from(["HS104", "HS116", "HS222"]),
            line=st.integers(1, 12),
            column=st.integers(1, 12),
            file=st.sampled_from(["a.yaml", "b.yaml"]),
        )
    )
)
def test_a_report_is_in_order_and_says_each_thing_once(found: list[Diagnostic]) -> None:
    """Law: sorted by file, line as a number, column, code; the same set; nothing twice."""
    report = in_order(found)
    keys = [(d.file, d.line, d.column, d.code) for d in report]
    assert keys == sorted(keys)
    assert set(report) == set(found)
    assert len(set(report)) == len(report)


def test_each_code_is_one_sentence() -> None:
    for code, sentence in CODES.items():
        assert re.fullmatch(r"HS[12][0-9][0-9]", code)
        assert re.fullmatch(r"[A-Z].*[^.]\.", sentence), sentence
    assert list(CODES) == sorted(CODES)


def test_each_code_is_triggered_by_a_test_that_asserts_its_message() -> None:
    tests = Path(__file__).parents[1]
    texts = [p.read_text() for d in ("formats", "flows") for p in (tests / d).glob("test_*.py")]
    told = {code for text in texts for code in re.findall(r"\d:\d+: (HS\d{3}) \S", text)}
    assert set(CODES) - told == set()
