"""From files to papers: each with its own text, checked with what the record holds already."""

from __future__ import annotations

import pytest

from builders import Watch
from hardstand.domain.settings import Settings
from hardstand.errors import BadFile
from hardstand.flows.adopting import adopt, adopted, begin_record, lists, the_fleet
from hardstand.flows.papers import papers, settings_paper
from hardstand.flows.pen import Pen
from hardstand.system.places import shipped
from memory import MemoryJournal

_VHF = shipped("checklists") / "vhf"
FIT = (_VHF / "fit.yaml").read_text(encoding="utf-8")
LIST = (_VHF / "preflight.yaml").read_text(encoding="utf-8")
FLEET = (shipped("quennock") / "fleet.yaml").read_text(encoding="utf-8")
FIT_FILE = ("V/fit.yaml", FIT.encode())
LIST_FILE = ("V/preflight.yaml", LIST.encode())
FLEET_FILE = ("fleet.yaml", FLEET.encode())


def _pen(*, demo: bool = True) -> Pen:
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=demo, program="test")
    return pen


def _taken(pen: Pen, *files: tuple[str, bytes]) -> list[tuple[str, str]]:
    found = papers(pen.journal, files)
    adopt(pen, found)
    return [(paper.kind, paper.id) for paper in found]


def test_the_fleet_comes_first_then_fits_then_lists() -> None:
    pen = _pen()
    assert _taken(pen, LIST_FILE, FIT_FILE, FLEET_FILE) == [
        ("fleet.loaded", "Quennock Mail & Survey Flight"),
        ("fit.adopted", "V"),
        ("checklist.adopted", "V-PREFLIGHT"),
    ]
    assert len(the_fleet(pen.journal).airframes) == 10
    assert [c.id for c in lists(pen.journal).current.values()] == ["V-PREFLIGHT"]


def test_each_paper_holds_its_text_to_the_letter_without_the_byte_order_mark() -> None:
    pen = _pen()
    _taken(pen, ("V/fit.yaml", b"\xef\xbb\xbf" + FIT.encode()), LIST_FILE, FLEET_FILE)
    kinds = ("fleet.loaded", "fit.adopted", "checklist.adopted")
    texts = [adopted(pen.journal, kind)[0].text for kind in kinds]
    assert texts == [FLEET, FIT, LIST]


@pytest.mark.parametrize("written", ['id: "V"', "id: 'V'", "id:   V", "id: V  # the small set"])
def test_however_its_id_is_written_a_fit_is_taken(written: str) -> None:
    pen = _pen()
    fit = FIT.replace("id: V\n", f"{written}\n")
    assert ("fit.adopted", "V") in _taken(pen, FLEET_FILE, ("V/fit.yaml", fit.encode()), LIST_FILE)
    _taken(pen, ("V/fit.yaml", fit.encode()))
    assert len(adopted(pen.journal, "fit.adopted")) == 2


def test_however_its_id_is_written_a_list_is_taken() -> None:
    pen = _pen()
    one = LIST.replace("id: V-PREFLIGHT\n", 'id: "V-PREFLIGHT"  # before the first flight\n')
    assert ("checklist.adopted", "V-PREFLIGHT") in _taken(
        pen, FLEET_FILE, FIT_FILE, ("V/preflight.yaml", one.encode())
    )


def test_lists_of_one_id_for_two_fits_keep_each_its_own_text() -> None:
    pen = _pen()
    other_fit = FIT.replace("id: V\n", "id: W\n")
    other_list = LIST.replace("fit: V\n", "fit: W\n").replace("VHF set, preflight", "W preflight")
    files = [
        FLEET_FILE, FIT_FILE, LIST_FILE, ("W/fit.yaml", other_fit.encode()),
        ("W/preflight.yaml", other_list.encode()),
    ]  # fmt: skip
    _taken(pen, *files)
    assert [a.text for a in adopted(pen.journal, "checklist.adopted")] == [LIST, other_list]
    current = lists(pen.journal).current.values()
    assert [(c.fit, c.title) for c in current] == [
        ("V", "VHF set, preflight"),
        ("W", "W preflight"),
    ]


def test_a_list_alone_is_checked_against_the_fit_in_the_record() -> None:
    pen = _pen()
    _taken(pen, FLEET_FILE, FIT_FILE)
    newer = LIST.replace("revision: V3\n", "revision: V4\n", 1)
    assert _taken(pen, ("V/preflight.yaml", newer.encode())) == [
        ("checklist.adopted", "V-PREFLIGHT")
    ]
    odd = newer.replace("proves: [talk]", "proves: [tallk]")
    with pytest.raises(BadFile) as raised:
        papers(pen.journal, [("V/preflight.yaml", odd.encode())])
    assert "V/preflight.yaml:" in raised.value.what
    assert "tallk" in raised.value.what
    assert raised.value.lines()[1:] == ("Nothing was written.", "Mend the file and try again.")


def test_a_list_without_its_fit_is_refused() -> None:
    with pytest.raises(BadFile, match="no file holds the fit"):
        papers(_pen().journal, [LIST_FILE])


def test_a_live_record_names_each_example_line() -> None:
    with pytest.raises(BadFile) as raised:
        papers(_pen(demo=False).journal, [FLEET_FILE, FIT_FILE, LIST_FILE])
    told = raised.value.what
    assert "fleet.yaml:" in told
    assert "V/fit.yaml:" in told
    assert told.count("example") >= 3


def test_settings_are_read_by_their_names_and_odd_ones_are_refused() -> None:
    paper = settings_paper("settings.yaml", b"format: 1\npreflight_hours: 12\n")
    assert (paper.kind, paper.id) == ("settings.adopted", "settings")
    assert isinstance(paper.value, Settings)
    assert paper.value.preflight_hours == 12
    with pytest.raises(BadFile, match="preflight_hour"):
        settings_paper("settings.yaml", b"format: 1\npreflight_hour: 12\n")
