"""The board for another program says what the text says, and holds to its schema all week."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from scenarios.stage import hardstand

_SCHEMA = Path(__file__).parents[2] / "docs/reference/schemas/board-1.schema.json"


@pytest.mark.parametrize(
    "at", ["08T05:00", "09T05:50", "11T16:00", "12T08:45", "12T10:25", "13T09:00", "14T18:00"]
)
def test_every_line_of_the_text_is_in_the_json_in_its_order(week: Path, at: str) -> None:
    when = ("--at", f"2027-03-{at}-03:00")
    tree = hardstand(week, "board", "--json", *when).tree
    found = Draft202012Validator(json.loads(_SCHEMA.read_text("utf-8"))).iter_errors(tree)
    assert not list(found)
    text = hardstand(week, "board", *when).out.splitlines()
    listed = [x for x in text if x[10:13] == "QM-"]
    assert [x[:9].strip() for x in listed] == [x["class"] for x in tree["lines"]]
    for said, line in zip(listed, tree["lines"], strict=True):
        assert line["what"] in said
        assert said.endswith(f"; {line['owner']}")
    assert len([x for x in text if x.startswith("IRREG")]) == len(tree["irregularities"])
    assert len([x for x in text if x.startswith("REPEAT QM")]) == len(tree["repeats"])
    assert len([x for x in text if x.startswith("ROGUE")]) == len(tree["rogues"])
    assert len([x for x in text if " battery: about " in x]) == len(tree["batteries"])


def test_json_tells_the_whole_board_and_nothing_less(week: Path) -> None:
    told = hardstand(week, "board", "107", "--json")
    assert told.status == 2
    assert told.err.splitlines()[0] == "--json tells the whole board."


def test_one_aircraft_has_its_sentence_to_say(week: Path) -> None:
    """Source: whole-job D-07."""
    told = hardstand(week, "board", "107", "--say")
    assert told.out == (
        "One-oh-seven: can fly MAIL-D and SURVEY-N; FERRY-D, MAIL-N and SURVEY-F with limits. Two "
        'open: range filter switch does not stay in VOICE, placard "use ALL": on the filter '
        "switch; hum in LF receiver, third report, voice and code copied on TK: both copied on "
        "TK, report 3 of the same.\n"
    )
