"""Bench sums as text, CSV and JSON, word for word."""

from __future__ import annotations

import json

from hardstand.flows import reckoning
from hardstand.views import reckoning as view


def test_one_sum_shows_numbers_answers_verdict_limit_formula_and_source() -> None:
    sum_ = reckoning.one("bond_millivolt", ["millivolts=25.1 mV", "amps=10", "limit_milliohm=2.5"])
    assert view.worked(sum_, reckoning.purpose("bond_millivolt")) == (
        "bond_millivolt: a bond by its millivolt drop\n"
        "  millivolts      25.1 mV\n"
        "  amps            10 A\n"
        "  limit_milliohm  2.5 milliohm\n"
        "  milliohm        2.51\n"
        "  verdict         fail\n"
        "Verdict: fail\n"
        "Limit: 2.5 milliohm, inclusive\n"
        "Look at: paint or corrosion under the bond, then the strap\n"
        "Sum: milliohm = millivolt / ampere\n"
        "Source: AC 43.13-1B 11-188 (equipment, less than 2.5 milliohm, here taken as inclusive) "
        "and 11-189 (jumper, 3)."
    )


def test_a_sum_is_explained_by_what_it_asks() -> None:
    family = reckoning.family("vor_check")
    assert view.explained(family, reckoning.purpose("vor_check")).splitlines()[:6] == [
        "vor_check: a VOR bearing against its limit",
        "Asks for:",
        "  method     method (vot, ground, airborne, dual)",
        "  indicated  bearing shown (a number in ° from 0 to 360)",
        "  reference  true bearing, or the other receiver (a number in ° from 0 to 360)",
        "Answers: limit_deg, error_deg, verdict",
    ]


def test_the_list_speaks_the_technicians_words() -> None:
    lines = view.listed(reckoning.contents()).splitlines()
    assert lines[:2] == [
        "The dial",
        "  dial_error               how far the dial is off on a known station",
    ]
    assert lines[-1] == "hardstand reckon NAME  says what a sum asks for"


def test_a_table_is_the_block_with_cells_quoted_only_where_needed() -> None:
    sums = reckoning.table("vhf_entry_parse", 'typed\n"118,005"\n118\n')
    assert view.as_csv(reckoning.family("vhf_entry_parse"), sums) == (
        'typed,expanded_name,spacing_khz\n"118,005",118.005,8.33\n118,reject,'
    )


def test_json_keeps_numbers_as_texts_and_says_what_was_refused() -> None:
    found = reckoning.family("watts_dbm")
    table = json.loads(view.table_json(found, reckoning.table("watts_dbm", "W\n5\n-5\n")))
    assert table["schema"] == "reckon-table/1"
    good, bad = table["rows"]
    assert good["inputs"] == {"W": "5"}
    assert good["answers"] == {"dBm": "36.99"}
    assert good["value"].startswith("36.98970004336018804786261105275506973231810118")
    assert bad["refused"] == "W: -5 is not a number in W above 0"
    assert bad["source"] == good["source"]


def test_one_sum_and_the_list_and_an_explanation_are_json_too() -> None:
    sum_ = reckoning.one("test_transmission", ["seconds=10.1"])
    one = json.loads(view.as_json(sum_))
    assert (one["schema"], one["verdict"], one["limit"]) == ("reckon/1", "fail", "10 s, inclusive")
    listed = json.loads(view.listed_json(reckoning.contents()))
    assert listed["schema"] == "reckon-contents/1"
    assert listed["sums"][0]["name"] == "dial_error"
    explained = json.loads(view.explained_json(reckoning.family("watts_dbm"), "watts in dBm"))
    assert explained["schema"] == "reckon-sum/1"
    assert explained["inputs"] == [
        {"name": "W", "words": "power", "accepted": "a number in W above 0"}
    ]
