"""Numbers at a reading step: one grammar, the unit of the meter, fresh looks, blind entries."""

from __future__ import annotations

from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builders import step
from hardstand.domain import measuring
from hardstand.domain.bodies import Answer
from hardstand.domain.checklist import Bounds, Step
from hardstand.domain.defects import Refused
from hardstand.domain.measuring import LOOK_AGAIN, next_prompt, settle, verdict_again
from hardstand.domain.settled import Settled, pairs


def _bounds(low: str, high: str) -> Bounds:
    return Bounds(low=Decimal(low), high=Decimal(high))


VOLTS = step(
    "volts", "test", "reading", unit="V", accept=_bounds("22.5", "29"), possible=_bounds("0", "40")
)
GRAINED = step(
    "grained", "test", "reading", unit="V", accept=_bounds("22.5", "29"),
    possible=_bounds("0", "40"), graduation=Decimal("0.5"),
)  # fmt: skip
CRITICAL = step(
    "critical", "test", "reading", unit="V", accept=_bounds("22.5", "29"),
    possible=_bounds("0", "40"), critical=True,
)  # fmt: skip


def dial(true: str, pct: str, grain: str, **more: str) -> Step:
    """A dial step at a station of known frequency."""
    return step(
        "dial", "test", "reading", unit="kHz", graduation=Decimal(grain),
        possible=_bounds("195", "505") if Decimal(true) < 600 else _bounds("2750", "5650"),
        judge={"name": "dial_grain", "true_khz": true, "limit_pct": pct, **more},
    )  # fmt: skip


LF = dial("329", "1", "0.5")
HF = dial("3084", "0.5", "5")
IMAGED = dial("4000", "0.5", "5", if_khz="470", position="RX")


def settled(asked: Step, *typed: str, doubt: str = "") -> Settled:
    found = settle(asked, typed, doubt=doubt)
    assert isinstance(found, Settled), found
    return found


def refused(asked: Step, *typed: str) -> Refused:
    found = settle(asked, typed)
    assert isinstance(found, Refused), found
    return found


# -- grammar and unit ------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["28", "28 V", "28V"])
def test_ans_04_the_unit_of_the_step_may_be_typed_and_no_other(typed: str) -> None:
    found = settled(VOLTS, typed)
    assert (found.answer, found.value, found.unit) == ("OK", "28", "V")
    assert found.typed == ("" if typed == "28" else typed)


@pytest.mark.parametrize("typed", ["28 mV", "28 A", "28 v", "28  V", "28 V ", "V", "28 V V"])
def test_ans_04_another_unit_is_refused_in_a_neutral_line(typed: str) -> None:
    assert refused(VOLTS, typed) == Refused(
        what=f"{typed!r} is no number this step can take",
        hint="Digits with at most one point, in V, such as 12 or 12 V. Nothing is converted.",
    )


WRECKS = (
    "1.2.3", "12,5", "1O", "2 8", "--3", ".", "1e3", "", " ", "-", "+", "+5", "5.", ".5", "NaN",
    "nan", "inf", "-inf", "0x1F", "1_000", "1'000", "½", "٢٤", "２４", "²", "1/2", "two", "OK",
    "9" * 21, "1." + "0" * 20, "28\n", "28\r", "28\x00", "full", "n/a", "2.4.", "2..4", "2 4 V",
)  # fmt: skip
BEHIND = (
    ",", ",0", "..", ".-1", "-", "-1", "e1", "E2", "l", "I", "o", "O", "%", " V.", "\t", " .5",
    "+", "=", "?", ":", ";", "kV", " kHz ", "\u00a0V", "\u2212", "V5",
)  # fmt: skip
BEFORE = (" ", "-.", "+-", "−", "~", "ca ", "V ", ">", "<", "=", "'", "\u200b", "(", "0x")


def _malformed() -> set[str]:
    """Two hundred strings that a hurried hand may leave and that are no number."""
    behind = {f"{n}{tail}" for n in (3, 24, 329, 4000, "28.5") for tail in BEHIND}
    before = {f"{lead}{n}" for n in (7, 28, 4000) for lead in BEFORE}
    return {*WRECKS, *behind, *before}


def test_ans_05_two_hundred_malformed_numbers_are_refused_and_none_is_kept() -> None:
    wrecks = sorted(_malformed())
    assert len(wrecks) >= 200
    for text in wrecks:
        assert isinstance(settle(VOLTS, (text,)), Refused), text
        assert measuring.digits(text, "V") == "", text


@given(st.text(max_size=12), st.sampled_from([VOLTS, GRAINED, CRITICAL, LF, HF, IMAGED]))
@example("9" * 20, HF)
@example("-0", VOLTS)
def test_whatever_is_typed_is_settled_or_refused_and_stops_nothing(text: str, asked: Step) -> None:
    for typed in ((text,), ("239", text), (text, text), (text, text, text)):
        found = settle(asked, typed)
        assert isinstance(found, Refused) or found.answer in get_args(Answer)


def test_a_number_longer_than_any_meter_shows_is_told_by_the_sum_itself() -> None:
    number = "3" * 16
    asked = dial("329", "1", "0.5")
    assert refused(asked, number, number).hint.startswith("Write digits with at most one point")


# -- limits ----------------------------------------------------------------------------------------


def _believed(asked: Step, number: Decimal) -> str:
    """The answer to a number, given again as often as it is asked again."""
    found = settle(asked, (f"{number}",))
    return settled(asked, *2 * [f"{number}"]).answer if isinstance(found, Refused) else found.answer


@given(st.decimals("0", "40", places=2), st.decimals("0", "40", places=2))
def test_a_reading_nearer_to_the_middle_is_never_judged_worse(a: Decimal, b: Decimal) -> None:
    near, far = sorted((a, b), key=lambda v: abs(v - Decimal("25.75")))
    assert (_believed(VOLTS, near), _believed(VOLTS, far)) != ("FAULT", "OK")


def test_value_unit_limit_basis_and_verdict_are_kept_and_reckoned_again() -> None:
    found = settled(VOLTS, "24.50")
    assert (found.value, found.unit, found.verdict) == ("24.50", "V", "in")
    assert found.limit == "22.5 to 29 V, inclusive"
    assert found.basis == "chapter 1"
    assert found.judged == ("limits", "low=22.5", "high=29", "g=0", "reading=24.50")
    found = settled(LF, "330.5")
    assert found.limit == "1 % of 329 kHz, dial read to 0.5 kHz"
    assert found.basis.startswith("chapter 1. Guard band after ILAC-G8:09/2019 4.2.3")
    assert found.judged[0] == "dial_grain"
    assert pairs(found.judged) == {
        "g_khz": "0.5", "true_khz": "329", "limit_pct": "1", "dial_khz": "330.5",
    }  # fmt: skip


numbers = st.one_of(
    st.decimals("0", "40", places=2).map(str),
    st.decimals("195", "505", places=1).map(str),
    st.decimals("2750", "5650", places=0).map(str),
)


@given(st.lists(numbers, min_size=1, max_size=5), st.booleans())
def test_every_verdict_recomputes_from_what_is_stored(typed: list[str], doubted: bool) -> None:
    doubt = "M-3 was due" if doubted else ""
    for asked in (VOLTS, GRAINED, CRITICAL, LF, HF, IMAGED):
        found = settle(asked, tuple(typed), doubt=doubt)
        if isinstance(found, Settled):
            assert verdict_again(found.judged) == found.verdict
            assert Decimal(found.value) == Decimal(
                pairs(found.judged).get("reading") or pairs(found.judged)["dial_khz"]
            )


# -- looked at again -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "typed", "meant"),
    [(LF, "239", "329"), (LF, "392", "329"), (VOLTS, "2.45", "24.5"), (VOLTS, "2.6", "26"),
     (HF, "3804", "3084"), (VOLTS, "0.275", "27.5")],
)  # fmt: skip
def test_ans_07_a_slip_is_looked_at_again_without_naming_what_is_suspected(
    asked: Step, typed: str, meant: str
) -> None:
    told = refused(asked, typed)
    assert told == Refused(what=f"{typed} {asked.unit} is noted", hint=LOOK_AGAIN)
    assert meant not in told.what + told.hint
    again = settled(asked, typed, meant)
    assert (again.answer, again.value, again.earlier) == ("OK", meant, (typed,))
    same = settled(asked, typed, typed)
    assert (same.answer, same.value, same.earlier) == ("FAULT", typed, (typed,))


def test_ans_06_outside_what_the_meter_can_show_takes_the_same_number_twice() -> None:
    told = refused(VOLTS, "41")
    assert told == Refused(what="41 V is outside what this meter can show", hint=LOOK_AGAIN)
    assert settled(VOLTS, "41", "41").answer == "FAULT"
    assert settled(VOLTS, "41", "24").earlier == ("41",)
    assert settled(VOLTS, "41", "41.0").answer == "FAULT", "the same number in other digits"


def test_a_thousandfold_is_another_unit_and_refused_however_often() -> None:
    told = Refused(
        what="4.0 is refused: the unit of this step is kHz",
        hint="Example: 2750. Nothing is converted.",
    )
    assert refused(IMAGED, "4.0") == told
    assert refused(IMAGED, "4.0", "4.0") == told
    assert settled(IMAGED, "4.0", "4000").earlier == ("4.0",)


def test_nothing_more_is_taken_once_a_number_was_judged() -> None:
    assert refused(VOLTS, "24", "25").what == "24 V was judged; nothing more is asked"


def test_an_image_or_another_station_is_asked_about_before_a_bad_dial() -> None:
    told = refused(IMAGED, "3060")
    assert told.what == "3060 kHz is far off: image or wrong station"
    assert told.hint == (
        "Images of 4000 kHz lie at 3060 kHz and 4940 kHz. Hear the ident, then read again."
    )
    assert settled(IMAGED, "3060", "3060").answer == "FAULT"
    assert settled(IMAGED, "3060", "3995").answer == "OK"
    assert settled(IMAGED, "4055").answer == "FAULT", "out, and not far: a dial that is out"


# -- too close, and the second reading -------------------------------------------------------------


def test_c_2_too_close_is_taken_again_from_both_sides_and_the_middle_is_judged() -> None:
    assert refused(HF, "3100") == Refused(
        what="3100 kHz is too close to call",
        hint="Read again, from both sides of zero beat: first from below.",
    )
    assert next_prompt(HF, ("3100",)) == "Dial from below, kHz:"
    assert refused(HF, "3100", "3090").hint == "Now the dial from above."
    assert next_prompt(HF, ("3100", "3090")) == "Dial from above, kHz:"
    found = settled(HF, "3100", "3090", "3100")
    assert (found.answer, found.value, found.verdict) == ("OK", "3095", "in")
    assert found.earlier == ("3100", "3090", "3100")
    assert pairs(found.judged)["from_below"] == "3090"
    assert settled(HF, "3100", "3100", "3105").verdict == "out"


def test_too_close_once_more_is_no_fault_and_says_so() -> None:
    found = settled(HF, "3100", "3100", "3100")
    assert (found.answer, found.verdict) == ("OK", "too_close")
    assert found.limit == "0.5 % of 3084 kHz, dial read to 5 kHz"


def test_a_side_the_dial_cannot_show_is_asked_again() -> None:
    assert refused(HF, "3100", "309").what == "309 kHz is outside what this meter can show"
    assert next_prompt(HF, ("3100", "309")) == "Dial from below, kHz:"
    assert settled(HF, "3100", "309", "3090", "3095").value == "3092.5"


def test_a_needle_on_its_limit_is_read_once_more() -> None:
    assert refused(GRAINED, "22.4").hint == "Read again, eye square to it."
    assert next_prompt(GRAINED, ("22.4",)) == "Reading once more, V:"
    assert settled(GRAINED, "22.4", "22.4").answer == "OK"
    assert settled(GRAINED, "22.4", "22.8").verdict == "in"
    assert settled(GRAINED, "22.4", "22.0").answer == "FAULT"
    assert settled(VOLTS, "22.5").answer == "OK", "without a graduation the limit is inclusive"


# -- two blind entries -----------------------------------------------------------------------------


def test_ans_08_a_critical_number_is_entered_twice_and_the_first_is_not_shown() -> None:
    told = refused(CRITICAL, "24.5")
    assert told == Refused(what="The first entry is taken and kept out of sight", hint=LOOK_AGAIN)
    assert "24.5" not in told.what + told.hint + next_prompt(CRITICAL, ("24.5",))
    found = settled(CRITICAL, "24.5", "24.50")
    assert (found.answer, found.value, found.earlier) == ("OK", "24.50", ("24.5",))


def test_ans_08_unlike_entries_send_back_to_the_meter_and_all_three_are_kept() -> None:
    told = refused(CRITICAL, "24.5", "25.4")
    assert told == Refused(what="The two entries differ", hint=LOOK_AGAIN)
    found = settled(CRITICAL, "24.5", "25.4", "24.5")
    assert (found.answer, found.earlier) == ("OK", ("24.5", "25.4"))
    assert refused(CRITICAL, "24", "25", "26").what == "No two entries agree"
    assert settled(CRITICAL, "24", "25", "26", "25").value == "25"


def test_a_critical_number_that_is_bad_twice_is_bad() -> None:
    assert settled(CRITICAL, "31.5", "31.5").answer == "FAULT"


# -- doubt -----------------------------------------------------------------------------------------


def test_on_a_meter_past_its_day_the_number_is_kept_and_its_verdict_unknown() -> None:
    found = settled(VOLTS, "31.5", doubt="M-3 was due for its check on 2027-03-01")
    assert (found.answer, found.value, found.verdict) == ("UNSURE", "31.5", "unknown")
    assert found.words == "M-3 was due for its check on 2027-03-01"
    assert pairs(found.judged)["doubt"] == found.words


def test_a_step_that_nothing_judges_only_writes_the_number_down() -> None:
    bare = step("bare", "test", "reading", unit="V")
    found = settled(bare, "24 V")
    assert (found.answer, found.value, found.typed, found.verdict) == ("OK", "24", "24 V", "")


def test_a_sum_that_this_version_does_not_know_is_not_judged() -> None:
    newer = step("newer", "test", "reading", unit="V", judge={"name": "sum_of_2031"})
    assert refused(newer, "24").what == "this hardstand cannot judge step newer"
