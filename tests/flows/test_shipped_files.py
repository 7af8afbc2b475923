"""The lists and the fleet that come with the program, checked as an author would check them."""

from __future__ import annotations

from pathlib import Path

from hardstand.flows.checking import Checked, check_files

_ROOT = Path(__file__).parents[2]


def _check(*, live: bool) -> Checked:
    paths = [*_ROOT.glob("checklists/*/*.yaml"), _ROOT / "demo" / "quennock" / "fleet.yaml"]
    texts = [(str(p.relative_to(_ROOT)), p.read_bytes()) for p in sorted(paths)]
    return check_files(texts, live=live, complete=True)


def test_the_shipped_files_have_no_errors() -> None:
    checked = _check(live=False)
    assert [d.text() for d in checked.findings if d.stops] == []
    assert sorted(checked.fits) == ["H", "V"]
    assert len(checked.checklists) >= 2
    assert checked.fleet is not None
    assert len(checked.fleet.airframes) == 10


def test_the_shipped_examples_may_not_enter_a_live_record() -> None:
    stops = [d for d in _check(live=True).findings if d.stops]
    assert {d.code for d in stops} == {"HS295"}
    assert {d.file for d in stops} >= {
        "checklists/hand_tuned/fit.yaml",
        "checklists/vhf/fit.yaml",
        "demo/quennock/fleet.yaml",
    }
