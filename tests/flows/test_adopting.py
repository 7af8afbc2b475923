"""Papers enter whole or not at all, by digest; a later one is a later line."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

import pytest

from builders import IO, TAIL, Watch, begun, checklist, lines, papers, step
from hardstand.domain.chain import seal
from hardstand.domain.checklist import Fit
from hardstand.domain.codec import encode
from hardstand.domain.fleet import AirframeType, Fleet
from hardstand.domain.plain import canonical, to_plain
from hardstand.errors import NewerFormat, NotThere, Refusal
from hardstand.flows.adopting import (
    Paper,
    adopt,
    adopted,
    begin_record,
    body_of,
    lists,
    shown,
    the_fleet,
    type_and_gear,
)
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.ports import Journal
from memory import MemoryJournal
from quennock_record import founded
from scripted import Scripted


def _empty(*, demo: bool = False) -> Pen:
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=demo, program="test")
    return pen


def test_papers_enter_with_their_text_their_value_and_its_digest() -> None:
    pen = _empty()
    adopt(pen, papers())
    (paper,) = adopted(pen.journal, "checklist.adopted")
    value = to_plain(checklist())
    assert (paper.id, paper.revision, paper.fit, paper.text) == ("T-PRE", "1", "T", "(text)")
    assert paper.value == value
    assert paper.digest == hashlib.sha256(canonical(value)).hexdigest()


def test_example_values_do_not_enter_a_live_record_and_each_line_is_named() -> None:
    pen = _empty()
    examples = ("list.yaml:12:5: accept 22.5 to 29 V", "fleet.yaml:40:3: station TARRICK")
    odd = tuple(replace(p, examples=examples) for p in papers()[:1])
    with pytest.raises(Refusal) as raised:
        adopt(pen, (*papers()[1:], *odd))
    assert raised.value.lines() == (
        "Not taken: example values cannot enter a live record:\n  " + "\n  ".join(examples),
        "Rule: " + "limits and stations are copied from the approved manual and checked by a "
        "second person",
        "Nothing was written.",
        "Put the approved values in, take `example: true` off, and try again.",
    )
    assert [e.kind for e in pen.journal.chains()] == ["record.made"]


def test_a_demo_record_takes_example_values() -> None:
    pen = _empty(demo=True)
    adopt(pen, tuple(replace(p, examples=("line",)) for p in papers()))
    assert len(list(pen.journal.chains())) == 4


def test_a_text_that_changed_under_the_same_revision_is_refused() -> None:
    pen = begun(MemoryJournal())
    changed = checklist(title="tiny preflight, shorter")
    with pytest.raises(Refusal) as raised:
        adopt(pen, papers(listed=changed))
    assert raised.value.lines() == (
        "T-PRE revision 1 is in the record already, with another text.",
        "Rule: a changed list gets a new revision",
        "Nothing was written.",
        "Raise `revision` in the file.",
    )


def test_the_same_list_may_be_adopted_again() -> None:
    pen = begun(MemoryJournal())
    adopt(pen, papers())
    assert len(lists(pen.journal).current) == 1


def test_the_newest_revision_is_current_and_every_one_is_kept_by_digest() -> None:
    pen = begun(MemoryJournal())
    adopt(pen, papers(listed=checklist(revision="2")))
    known = lists(pen.journal)
    assert [c.revision for c in known.current.values()] == ["2"]
    assert [c.revision for c in known.by_digest.values()] == ["1", "2"]


def test_a_walk_stays_on_the_revision_it_began_with() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, lines(until="plugs"))
    shorter = checklist(listed=(step("other", "cockpit"),), revision="2")
    adopt(pen, papers(listed=shorter))
    plugs, shut, *rest = lines()[9:]
    again = ("o", "BT at the wing tip")  # the gate, passed before the break
    done = walk(pen, Scripted([TAIL, "c", plugs, shut, *again, *rest]), by=IO)
    assert done.plan.checklist.revision == "1"
    assert done.outcome == "finished"


def test_without_a_fleet_there_is_none() -> None:
    with pytest.raises(NotThere) as raised:
        the_fleet(_empty().journal)
    assert raised.value.lines() == (
        "This record knows no fleet yet.", "Load one: hardstand fleet load FLEET.yaml",
    )  # fmt: skip


def test_the_newest_text_of_a_list_is_shown_by_its_id_in_any_case() -> None:
    pen = begun(MemoryJournal())
    adopt(pen, papers(listed=checklist(revision="2")))
    assert [a.revision for a in shown(pen.journal, "t-pre")] == ["2"]
    assert [a.id for a in shown(pen.journal, "")] == ["T", "T-PRE"]
    with pytest.raises(NotThere) as raised:
        shown(pen.journal, "NONE")
    assert raised.value.lines() == (
        "No list NONE was adopted into this record.",
        "`hardstand checklist show` names those that were.",
    )


# -- what somebody put in who might not ------------------------------------------------------------


def _slipped_in(paper: Paper) -> Journal:
    """A record with people, and a line at its end as another program could write it."""
    pen = founded()
    last = [*pen.journal.chains()][-1]
    line = seal(last._replace(
        seq=last.seq + 1, tick=last.tick + 1, author="RA", airframe=None, walk=None,
        kind=paper.kind, version=1, body=encode(body_of(paper)), prev=last.digest, signature=None,
    ))  # fmt: skip
    with pen.journal.write() as writing:
        writing.append([line])
    return pen.journal


def test_a_list_adopted_by_somebody_who_might_not_is_not_in_force() -> None:
    other = replace(checklist(), revision="99")
    journal = _slipped_in(papers(listed=other)[-1])
    known = lists(journal)
    assert [c.revision for c in known.current.values()] == ["1"]
    assert sorted(c.revision for c in known.by_digest.values()) == ["1", "99"], "kept all the same"


def test_a_fit_adopted_by_somebody_who_might_not_is_not_in_force() -> None:
    paper = next(p for p in papers() if p.kind == "fit.adopted")
    assert isinstance(paper.value, Fit)
    journal = _slipped_in(replace(paper, value=replace(paper.value, title="other")))
    assert lists(journal).fits["T"].title == "tiny set"


def test_a_fleet_loaded_by_somebody_who_might_not_only_adds() -> None:
    paper = next(p for p in papers() if p.kind == "fleet.loaded")
    assert isinstance(paper.value, Fleet)
    own = paper.value.airframes["QM-161"]
    more = {"QM-161": replace(own, type="high"), "QM-199": replace(own, type="odd")}
    types = {"low": AirframeType(places={}), "odd": AirframeType(places={}, facts=("odd",))}
    journal = _slipped_in(replace(paper, value=replace(paper.value, airframes=more, types=types)))
    known = the_fleet(journal)
    assert (known.airframes["QM-161"].type, known.airframes["QM-199"].type) == ("low", "odd")
    assert type_and_gear(journal, "low")[0] == known.types["low"] != types["low"]
    assert type_and_gear(journal, "odd")[0].facts == ("odd",)


def test_a_list_of_a_newer_hardstand_stops_a_walk_in_words_and_starts_nothing() -> None:
    """Design, unknown kind or newer version: kept, passed on, and never a guess."""
    pen = begun(MemoryJournal())
    (line,) = pen.journal.entries(kind="checklist.adopted")
    tree = json.loads(line.body)
    tree["value"]["steps"][0]["heard_by"] = "two"
    head = pen.journal.heads()[line.device]
    newer = line._replace(
        seq=head.seq + 1, tick=head.tick + 1, body=canonical(tree), prev=head.digest
    )
    with pen.journal.write() as writing:
        writing.append([seal(newer)])
    with pytest.raises(NewerFormat, match="Step does not read: heard_by") as raised:
        walk(pen, Scripted([TAIL, "c", "c"]), by=IO)
    assert raised.value.hint == "Use the newer hardstand by which it was adopted."
    assert list(pen.journal.entries(kind="walk.started")) == []
