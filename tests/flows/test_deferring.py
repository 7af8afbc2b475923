"""What is asked before an entry is put off, and what is refused before anything is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from builders import IO, Watch, fit, papers
from hardstand.domain.checklist import Permitted
from hardstand.domain.putting_off import PutOff
from hardstand.domain.quantity import Instant
from hardstand.errors import Refusal
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.deferring import defer
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from scripted import Scripted

PERMITTED = {
    "SHORT": Permitted(what="lamp out", category="B", condition="placard; tower told"),
    "LONG": Permitted(what="lamp dim", category="C", condition="placard; tower told"),
}
NUMBER = "161-A01"


def _pen() -> Pen:
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=False, program="test")
    adopt(pen, papers(fitted=replace(fit(), permitted=PERMITTED)))
    raise_defect(pen, "QM-161", Told(words="lamp out", symbol="/"), by=IO)
    return pen


def _deferred(
    pen: Pen, item: str, typed: Sequence[str] = (), *, met: Sequence[str] = ()
) -> tuple[str, list[str]]:
    """What was said, or refused, and what was asked before."""
    prompter = Scripted(typed)
    asked = PutOff(item=item, met=tuple(met), reason="no spare")
    try:
        said = defer(pen, NUMBER, asked, by=IO, prompter=lambda: prompter)
    except Refusal as refusal:
        said = refusal.what
    return said, [question.prompt for question, _ in prompter.asked]


def test_each_condition_not_answered_yet_is_asked_in_order() -> None:
    said, asked = _deferred(_pen(), "short", ["on the jack", "by telephone"])
    assert said.startswith(f"{NUMBER} on QM-161: deferred; ")
    assert asked == [
        "SHORT: placard. How is it met? (Enter = it is not)",
        "SHORT: tower told. How is it met? (Enter = it is not)",
    ]
    _, asked = _deferred(_pen(), "short", ["by telephone"], met=["on the jack"])
    assert asked == ["SHORT: tower told. How is it met? (Enter = it is not)"]


def test_a_condition_that_is_not_met_puts_nothing_off() -> None:
    pen = _pen()
    said, _ = _deferred(pen, "short", ["on the jack", ""])
    assert said == "not deferred: not answered how this was met: tower told"
    assert pen.journal.facts("QM-161").open[0].deferral is None


def test_what_gains_no_day_is_refused_before_anything_is_asked() -> None:
    pen = _pen()
    _deferred(pen, "short", met=["on the jack", "by telephone"])
    said, asked = _deferred(pen, "long", ["on the jack", "by telephone"])
    assert (said, asked) == (f"{NUMBER} is deferred to 2027-03-11 already", [])


@pytest.mark.parametrize("item", ["none", ""])
def test_an_item_that_is_none_is_refused_before_anything_is_asked(item: str) -> None:
    said, asked = _deferred(_pen(), item, ["on the jack"])
    assert said.endswith("is no item of the permitted-defects list of fit T")
    assert asked == []


def test_an_interval_that_is_over_is_refused_before_anything_is_asked() -> None:
    pen = _pen()
    late = replace(pen, clock=Watch(at=Instant("2027-03-12T08:00:00Z")))
    said, asked = _deferred(late, "short", ["on the jack"])
    assert said == (
        f"{NUMBER} was logged 2027-03-08; the item gives 3 days, which ended 2027-03-11"
    )
    assert asked == []
