"""What the shipped fits can fly, against the printed table and what one failure more would cost."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo import quennock_rules as rules
from domain.readings.blocks import block
from hardstand.domain.checklist import Fit
from hardstand.domain.facts import AirframeFacts, Finished, OpenEntry, Proof
from hardstand.domain.mission_advice import one_failure_more, to_clear
from hardstand.domain.mission_book import book_of
from hardstand.domain.mission_fit import Known, fitness, known, to_prove
from hardstand.domain.quantity import Instant
from hardstand.formats import fit_yaml

_LISTS = Path(__file__).parents[2] / "checklists"
_NOON = Instant("2027-03-08T15:00:00Z")


def _fit(name: str) -> Fit:
    found = fit_yaml.parse("fit.yaml", (_LISTS / name / "fit.yaml").read_bytes())
    assert isinstance(found, Fit)
    return found


H, V = _fit("hand_tuned"), _fit("vhf")


def _entry(
    number: str, symbol: str = "/", takes: tuple[str, ...] = (), weakens: tuple[str, ...] = ()
) -> OpenEntry:
    return OpenEntry(
        number=number, symbol=symbol, text=f"words of {number}", found_at=_NOON, found_by="IO",
        state="open", takes=takes, weakens=weakens,
    )  # fmt: skip


def _known(
    fit: Fit,
    *entries: OpenEntry,
    unproved: tuple[str, ...] = (),
    expired: str = "",
    by_day: bool | None = True,
) -> Known:
    facts = AirframeFacts(
        tail="QM-107", type="Pask 4", fits=(), short="107", open=entries,
        finished=Finished(walk="A1", checklist="L", revision="1", at=_NOON, by="IO", ref="A-9"),
        proved={f: Proof(at=_NOON, ref="A-9") for f in fit.functions if f not in unproved},
    )  # fmt: skip
    return known(
        book_of(fit), facts, expired=expired, by_day=by_day,
        grounded=tuple(e.number for e in entries if e.symbol == "X"),
        circled=tuple(e.number for e in entries if e.symbol == "(X)"),
    )  # fmt: skip


def _case(words: str) -> Known:
    """A case of the table, such as `tx1 gone and tx2 unknown`."""
    if words == "everything good but symbol X":
        return _known(H, _entry("107-A01", "X"))
    names: list[str] = []
    state: dict[str, list[str]] = {"gone": [], "unknown": [], "weak": [], "good": []}
    for word in words.replace(" and ", " ").split():
        if word in state:
            state[word] += names
            names = []
        else:
            names += list(H.functions) if word in {"everything", "all"} else [word]
    entries = [_entry("107-A01", takes=tuple(state["gone"]), weakens=tuple(state["weak"]))]
    return _known(H, *entries, unproved=tuple(state["unknown"]))


@pytest.mark.parametrize("row", block("mission_kleene")[1], ids=lambda r: r["case"])
def test_the_hand_tuned_fit_can_fly_what_is_printed(row: dict[str, str]) -> None:
    said = {f.mission: f.word for f in fitness(_case(row["case"]))}
    printed = {name: word for name, word in row.items() if name != "case"}
    ferry = said.pop("FERRY-D")
    assert said == printed
    assert ferry == ("BARRED" if "X" in row["case"] else "CAN WITH LIMITS")


_STATES = st.sampled_from(["good", "gone", "unknown", "weak"])
_VALUES = {"good": 1.0, "gone": 0.0, "unknown": 0.5, "weak": 1.0}


def _against_formulas(fit: Fit, tail: str, states: dict[str, str], *, by_day: bool) -> None:
    of = {state: tuple(f for f in fit.functions if states[f] == state) for state in _VALUES}
    entries = [_entry("107-A01", takes=of["gone"], weakens=of["weak"])]
    said = {
        f.mission: f.word
        for f in fitness(_known(fit, *entries, unproved=of["unknown"], by_day=by_day))
    }
    values = {f: _VALUES[states[f]] for f in fit.functions}
    at = datetime(2027, 3, 8, 12 if by_day else 23)  # noqa: DTZ001  the paper's local time
    assert said == rules.missions(tail, "/", values, set(of["weak"]), at)


@given(st.fixed_dictionaries(dict.fromkeys(H.functions, _STATES)), st.booleans())
def test_any_state_of_the_hand_tuned_fit_is_judged_as_the_paper_s_formulas_do(
    states: dict[str, str], by_day: bool
) -> None:
    """Reference: the formulas of whole-job C-10 as min and max over 0, 0.5 and 1."""
    _against_formulas(H, "QM-107", states, by_day=by_day)


@given(st.fixed_dictionaries(dict.fromkeys(V.functions, _STATES)), st.booleans())
def test_any_state_of_the_vhf_fit_is_judged_as_the_paper_s_formulas_do(
    states: dict[str, str], by_day: bool
) -> None:
    _against_formulas(V, "QM-161", states, by_day=by_day)


@pytest.mark.parametrize("row", block("mission_kleene")[1], ids=lambda r: r["case"])
def test_every_no_and_every_unknown_names_its_cause(row: dict[str, str]) -> None:
    """Source: whole-job M-20."""
    for said in fitness(_case(row["case"])):
        assert bool(said.why) == (said.word != "CAN")


def test_the_vhf_fit_never_flies_what_needs_a_low_frequency_receiver() -> None:
    said = {f.mission: (f.word, f.why) for f in fitness(_known(V))}
    assert said == {
        "FERRY-D": ("CAN WITH LIMITS", "tower told by telephone; light signals"),
        "MAIL-D": ("CAN", ""),
        "SURVEY-N": ("CAN", ""),
        "MAIL-N": ("CANNOT", "no low-frequency receiver"),
        "SURVEY-F": ("CANNOT", "no low-frequency receiver"),
    }


def test_missions_stand_in_the_order_of_what_they_ask() -> None:
    assert list(book_of(H).tasks) == ["FERRY-D", "MAIL-D", "MAIL-N", "SURVEY-N", "SURVEY-F"]


@pytest.mark.parametrize(
    ("by_day", "word", "why"),
    [
        (True, "CAN WITH LIMITS", "tower told by telephone; light signals"),
        (False, "CANNOT", "by night"),
        (None, "UNKNOWN", "to be proved: that it is day (the fleet file has no table of daylight)"),
    ],
)
def test_the_ferry_needs_daylight_and_no_radio(by_day: bool | None, word: str, why: str) -> None:
    ferry = fitness(_known(H, by_day=by_day))[0]
    assert (ferry.mission, ferry.word, ferry.why) == ("FERRY-D", word, why)


def test_without_a_preflight_in_date_only_the_ferry_and_what_is_gone_are_known() -> None:
    said = fitness(_known(H, _entry("104-S01", takes=("sidetone",)), expired="ran out Tue 05:26"))
    assert [(f.mission, f.word, f.why) for f in said] == [
        ("FERRY-D", "CAN WITH LIMITS", "tower told by telephone; light signals"),
        ("MAIL-D", "UNKNOWN", "ran out Tue 05:26"),
        ("MAIL-N", "UNKNOWN", "ran out Tue 05:26"),
        ("SURVEY-N", "UNKNOWN", "ran out Tue 05:26"),
        ("SURVEY-F", "CANNOT", "104-S01 takes sidetone"),
    ]


def test_limits_are_told_in_the_words_of_the_entry() -> None:
    hum = _entry("107-S02", weakens=("lf.rx",))
    switch = _entry("107-A01", weakens=("filt.voice",))
    said = {f.mission: f for f in fitness(_known(H, switch, hum))}
    assert said["MAIL-N"].word == "CAN WITH LIMITS"
    assert said["MAIL-N"].why == "107-A01 words of 107-A01; 107-S02 words of 107-S02"
    assert said["MAIL-N"].entries == ("107-A01", "107-S02")
    assert said["SURVEY-F"].why == "107-S02 words of 107-S02"
    assert said["MAIL-D"].word == "CAN"


def test_a_circled_x_limits_every_mission_it_does_not_take() -> None:
    said = {f.mission: f.word for f in fitness(_known(H, _entry("107-A01", "(X)", takes=("tx2",))))}
    assert said == {
        "FERRY-D": "CAN WITH LIMITS", "MAIL-D": "CAN WITH LIMITS", "MAIL-N": "CAN WITH LIMITS",
        "SURVEY-N": "CANNOT", "SURVEY-F": "CANNOT",
    }  # fmt: skip


def test_an_unknown_says_the_least_that_must_be_proved() -> None:
    about = _known(H, unproved=("tx1", "tx2", "hfb.rx", "filt.range"))
    said = {f.mission: f for f in fitness(about)}
    assert said["MAIL-D"].why == (
        "to be proved: tx1 (not proved in walk A1), or tx2 (not proved in walk A1)"
    )
    assert to_prove(about, "SURVEY-N").sets == (("hfb.rx", "tx2"),)
    assert to_prove(about, "SURVEY-F").sets == (("hfb.rx", "tx1", "tx2"),)


def test_what_stands_at_x_is_in_every_repair() -> None:
    about = _known(
        H, _entry("113-D01", "X", takes=("mod",)), _entry("113-D02", takes=("tx1",)),
        _entry("113-D03", takes=("tx2",)), _entry("113-D04", "X"),
    )  # fmt: skip
    assert to_clear(about, "MAIL-D").sets == (
        ("113-D01", "113-D04", "113-D02"), ("113-D01", "113-D04", "113-D03"),
    )  # fmt: skip
    assert to_clear(_known(V), "MAIL-N").possible is False


def test_seven_units_of_the_hand_tuned_fit_carry_every_mission_but_the_ferry() -> None:
    """Source: whole-job C-10, "one failure more"."""
    costs = dict(one_failure_more(_known(H)))
    flown = ("MAIL-D", "MAIL-N", "SURVEY-N", "SURVEY-F")
    dearest = {unit for unit, lost in costs.items() if lost == flown}
    assert dearest == {"DYN-R", "DYN-T", "CTL-R", "CTL-T", "MOD", "RLY", "ANT-W"}
    assert costs["FIL"] == ("MAIL-N",)
    assert costs["RX-LF"] == ("MAIL-N", "SURVEY-F")
    assert costs["TX-2"] == ("SURVEY-N", "SURVEY-F")
    assert list(costs.values()) == sorted(costs.values(), key=len, reverse=True)


def test_one_failure_more_counts_only_what_is_not_lost_already() -> None:
    costs = dict(one_failure_more(_known(H, _entry("107-A01", takes=("tx2",)))))
    assert costs["TX-1"] == ("MAIL-D", "MAIL-N")
    assert "RX-HFB" not in costs
