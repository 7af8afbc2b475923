"""docs/reference/human-factors.md names the tests that carry each requirement on a walk."""

from __future__ import annotations

from docs.requirements import carried, excepted, listed

MOST_EXCEPTIONS = 5


def test_each_grave_requirement_has_a_test_or_an_exception() -> None:
    tests, reasons = carried(), excepted()
    bare = [r.id for r in listed() if r.id not in tests and r.id not in reasons]
    assert bare == []


def test_the_gravest_have_no_exception_and_exceptions_are_few() -> None:
    grave = {r.id for r in listed() if r.severity == "S5"}
    reasons = excepted()
    assert not grave & reasons.keys()
    assert len(reasons) <= MOST_EXCEPTIONS
    assert all(len(reason) > 40 for reason in reasons.values())


def test_a_test_is_found_by_its_name_and_by_its_marker() -> None:
    tests = carried()
    file, words = "views/test_themes.py", "nothing blinks is dim or slants"
    assert (file, words) in tests["UI-04"] & tests["WCN-11"]
    assert any(file == "human_factors/test_hf_answers.py" for file, _ in tests["ANS-01"])
