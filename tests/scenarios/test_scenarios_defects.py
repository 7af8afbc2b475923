"""Nasty scenarios 33 to 38: two reports of one thing, mistakes, symbols, more than one fault."""

from __future__ import annotations

import sys
from pathlib import Path

import pexpect
import pytest

from builders import TAIL, on_disk
from scenarios.stage import bodies, hardstand, lines_of, sit


@pytest.fixture
def record(tmp_path: Path) -> Path:
    """A record of the tiny set in which nobody is enrolled yet."""
    on_disk(tmp_path, demo=True)
    return tmp_path / "record.db"


def _raised(record: Path, words: str, by: str, *more: str) -> str:
    told = hardstand(record, "defect", "raise", TAIL, words, "--by", by, *more)
    assert told.status == 0, told.err
    return told.err


def test_scenario_33_pilot_and_technician_report_the_same_thing(record: Path) -> None:
    found = ("--weakens", "rx", "--found-at", "2027-03-08T04:00-03:00")
    _raised(record, "hum in the receiver, generator on", "AF", *found)
    offered = _raised(record, "slight hum, volume full", "IO", "--weakens", "rx")
    assert offered.splitlines() == [
        "161-A02 raised on QM-161: / red diagonal.",
        "Likely the same as 161-A01: `hardstand defect same-as 161-A02 161-A01`",
    ]
    assert hardstand(record, "open", "--json").tree["items"][1]["entry"] == "161-A02", "two entries"
    joined = hardstand(record, "defect", "same-as", "161-A02", "161-A01", "--by", "MS")
    assert joined.status == 0, joined.err
    why = hardstand(record, "why", "161-A01").out
    assert "found: 2027-03-08 04:00 -03:00 by AF" in why, "the earlier discovery rules"
    assert "161-A02 joined to it: slight hum, volume full" in why
    for number, words in (("161-A01", "hum in the receiver"), ("161-A02", "slight hum")):
        assert words in hardstand(record, "defect", "show", number).out, "each finder finds theirs"


def test_scenario_34_a_defect_seen_while_walking_past(record: Path) -> None:
    assert _raised(record, "mast seal lifted", "BT", "--symbol", "-") == (
        "161-A01 raised on QM-161: - red dash.\n"
    )
    item = hardstand(record, "open", "--json").tree["items"][0]
    assert (item["entry"], item["symbol"], item["text"], item["found_by"]) == (
        "161-A01", "-", "mast seal lifted", "BT",
    )  # fmt: skip


def test_scenario_34_in_a_walk_one_key_writes_what_is_not_this_steps(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="plugs", then=["d", "tyre cut", "3"])
    entry = pen.journal.facts(TAIL).open[0]
    assert (entry.text, entry.symbol, entry.step) == ("tyre cut", "/", "")


def test_scenario_35_raised_by_mistake_stays_readable(record: Path) -> None:
    _raised(record, "TX dead", "BTR", "--takes", "tx")
    void = hardstand(record, "defect", "void", "161-A01", "selector stood at 1", "--by", "BTR")
    assert void.status == 0, void.err
    assert hardstand(record, "open", "--json").tree["items"] == []
    assert ": clear." in hardstand(record, "status", TAIL).out
    raised, voided = hardstand(record, "defect", "show", "161-A01").out.splitlines()
    assert "raised: number 161-A01" in raised
    assert "text TX dead" in raised
    assert "entered in error: number 161-A01, reason selector stood at 1" in voided


def test_scenario_35_an_x_raised_by_mistake_needs_a_second_person(record: Path) -> None:
    _raised(record, "antenna gone", "BTR", "--symbol", "X")
    alone = hardstand(record, "defect", "void", "161-A01", "wrong aircraft", "--by", "BTR")
    assert alone.status == 10
    assert "an X entered in error needs a second person" in alone.err
    assert "X red X" in hardstand(record, "status", TAIL).out
    second = hardstand(record, "defect", "void", "161-A01", "it stands on 116", "--by", "BT")
    assert second.status == 0, second.err
    assert ": clear." in hardstand(record, "status", TAIL).out


def test_scenario_36_the_symbol_goes_up_at_once_and_both_are_kept(record: Path) -> None:
    _raised(record, "low modulation", "NH")
    up = hardstand(record, "defect", "symbol", "161-A01", "X", "nobody hears it", "--by", "BT")
    assert up.err == "161-A01 on QM-161: symbol set; it reads X red X.\n"
    history = hardstand(record, "record", "history", "161-A01").out
    assert "symbol /" in history
    assert "symbol X, reason nobody hears it" in history


def test_scenario_36_the_symbol_comes_down_by_authority_only(record: Path) -> None:
    _raised(record, "low modulation", "NH", "--symbol", "X")
    down = hardstand(record, "defect", "symbol", "161-A01", "/", "not so bad", "--by", "NH")
    assert down.status == 10
    assert down.err.splitlines()[1].startswith("Rule: ")
    assert "X red X" in hardstand(record, "status", TAIL).out
    assert hardstand(record, "defect", "symbol", "161-A01", "/", "", "--by", "NH").status == 2


WHOLE = "TX dead; VOLUME scratches; lamp out"


def test_scenario_37_three_faults_in_one_line_keep_the_words_as_told(record: Path) -> None:
    assert _raised(record, WHOLE, "RA", "--split") == (
        "161-A01, 161-A02, 161-A03 raised on QM-161: / red diagonal.\n"
    )
    items = hardstand(record, "open", "--json").tree["items"]
    assert [item["text"] for item in items] == ["TX dead", "VOLUME scratches", "lamp out"]
    for number in ("161-A01", "161-A02", "161-A03"):
        assert f"as told: {WHOLE}" in hardstand(record, "defect", "show", number).out


def test_scenario_37_it_is_an_offer_and_never_forced(record: Path) -> None:
    offer = "More than one fault? `--split` writes one entry for each part between ;\n"
    assert _raised(record, WHOLE, "RA").endswith(offer)
    assert not _raised(record, WHOLE, "RA", "--whole").endswith(offer)
    items = hardstand(record, "open", "--json").tree["items"]
    assert [item["text"] for item in items] == [WHOLE, WHOLE]


@pytest.mark.parametrize(("key", "count"), [("1", 1), ("2", 3)])
def test_scenario_37_at_a_terminal_it_is_asked_before_anything_is_written(
    record: Path, key: str, count: int
) -> None:
    words = ["-m", "hardstand", "--record", str(record), "defect", "raise", TAIL, WHOLE]
    with pexpect.spawn(
        sys.executable, [*words, "--by", "RA"], dimensions=(24, 80), encoding="utf-8", timeout=20
    ) as terminal:
        terminal.expect("Which\\?")
        assert "3 entries, each with the words as told" in str(terminal.before)
        terminal.send(key)
        terminal.expect("raised on QM-161")
        terminal.expect(pexpect.EOF)
    assert len(hardstand(record, "open", "--json").tree["items"]) == count


def test_scenario_37_in_a_walk_each_part_gets_its_own_symbol(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    shown = sit(pen, TAIL, until="plugs", then=["d", "TX dead; lamp out", "2", "1", "3"])
    assert "2 entries, each with the words as told" in shown.words
    entries = pen.journal.facts(TAIL).open
    assert [(e.text, e.symbol) for e in entries] == [("TX dead", "X"), ("lamp out", "/")]
    raised = bodies(pen.journal, "defect.raised")
    assert {r.conditions for r in raised} == {"as told: TX dead; lamp out"}


ASKED = (
    "Units: TR. Functions: rx, tx. If the aircraft carries it after all, raise a dash: "
    "fit not as recorded."
)


def test_scenario_38_a_fault_on_something_not_in_this_fit_stops_and_asks(record: Path) -> None:
    for option, name in (("--unit", "RX-LF"), ("--takes", "lf.rx"), ("--weakens", "lf.rx")):
        told = hardstand(record, "defect", "raise", TAIL, "hum", option, name, "--by", "IO")
        assert told.status == 10
        assert told.err.splitlines() == [
            f"QM-161 carries fit T, which has no {name}.",
            "Rule: a fault on something not in this fit stops: the fit or the words are wrong",
            "Nothing was written.",
            ASKED,
        ]
    assert hardstand(record, "open", "--json").tree["items"] == []
    assert list(lines_of(hardstand(record, "record", "history", TAIL).err, "no line")) != []
