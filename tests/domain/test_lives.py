"""The life of an entry line by line: what a line that nobody was entitled to write makes of it.

Outside sources: 14 CFR 121.369(b)(8) (an inspector is not overruled), 121.371(d) (who inspects is
listed); M.A.403(b) (who decides what may wait); the rest is whole-job C-11, C-13, M-14 to M-16.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from builders import entry
from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold_on, folded
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.codec import decode
from hardstand.domain.defects import Done
from hardstand.domain.facts import OpenEntry
from hardstand.domain.life import NeedsThePast
from hardstand.domain.logbook import Logbook
from line_office import Office, at, done

N = "107-S01"


def _by(who: str) -> dict[str, Any]:
    return {"number": N, "by": By(doer=who), "seen": ()}


def _office(symbol: Symbol = "/", *, worked: bool = False, put_off: bool = False) -> Office:
    office = Office()
    office.raises("Mon 08:00", "RA", symbol, untested=("rx",) if symbol == "-" else ())
    if put_off:
        done(office.defers("Mon 08:30", "MS"))
    if worked:
        done(office.acts("Mon 09:00", "BT"))
    return office


def _item(office: Office) -> OpenEntry:
    item = office.entry()
    assert item is not None
    return item


def _written(office: Office, who: str, body: Any) -> OpenEntry | None:
    office.write("Mon 10:00", who, replace(body, seen=_item(office).seen))
    return office.entry()


DEFERRED: dict[str, Any] = {"item": "i", "what": "x", "conditions": (), "reason": "x"}

WITHOUT_RIGHT: tuple[tuple[Office, str, Any, str], ...] = (
    (_office("-"), "BT", b.SymbolLowered(symbol="/", reason="x", **_by("BT")), "it needs shift"),
    (_office(), "BT", b.DefectDeferred(category="C", **DEFERRED, **_by("BT")), "it needs shift"),
    (_office(), "MS", b.DefectDeferred(category="A", days=90, **DEFERRED, **_by("MS")),
     "MS defers B, C, D, not A"),
    (_office("X"), "MS", b.SymbolLimited(limits="x", ends="2027-03-09T00:00:00Z", reason="x",
                                         **_by("MS")), "it needs chief"),
    (_office(put_off=True), "MS", b.DefectProlonged(days=1, reason="x", **_by("MS")),
     "it needs chief"),
    (_office(), "LH", b.DefectProlonged(days=1, reason="x", **_by("LH")),
     "107-S01 is not deferred"),
    (_office(), "BT", b.DefectRuled(text="x", **_by("BT")), "it needs shift lead or chief"),
    (_office(), "MS", b.DefectRuled(text="x", again_by_doer=True, **_by("MS")), "it needs chief"),
    (_office(), "RA", b.ActionRecorded(text="x", **_by("RA")), "it needs technician"),
    (_office("X", worked=True), "MS", b.DefectRejected(reason="x", **_by("MS")), "it needs insp"),
    (_office("-"), "RA", b.DefectProved(functions=("rx",), **_by("RA")), "it needs technician"),
    (_office(), "BT", b.DefectSameAs(other="107-S02", **_by("BT")), "it needs shift lead"),
    (_office(), "BT", b.DefectVoided(reason="x", confirmed=True, **_by("BT")),
     "it needs inspector"),
    (_office(), "BT", b.DefectVoided(reason="x", asked=True, **_by("BT")), "it needs inspector"),
    (_office("X"), "RA", b.DefectVoided(reason="x", confirmed=True, **_by("RA")),
     "an X entered in error needs a second person"),
    (_office(worked=True), "BT", b.DefectCleared(text="x", again_by_doer="x", **_by("BT")),
     "this operator does not let a doer"),
    (_office(worked=True), "MS", b.DefectCleared(text="x", **_by("MS")), "it needs inspector"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("office", "who", "body", "rule"), WITHOUT_RIGHT,
    ids=[f"{type(body).__name__} by {who}" for _, who, body, _ in WITHOUT_RIGHT],
)  # fmt: skip
def test_what_somebody_was_not_entitled_to_changes_nothing_and_is_listed(
    office: Office, who: str, body: Any, rule: str
) -> None:
    before = _item(office)
    after = _written(office, who, body)
    assert after is not None
    (listed,) = after.disputes
    assert f"does not hold: {rule}" in listed.text
    assert _bare(after) == _bare(before)


def _bare(item: OpenEntry) -> OpenEntry:
    return item._replace(acts=(), heads=(), disputes=())


def test_who_was_no_doer_clears_plainly_whatever_they_call_it() -> None:
    body = b.DefectCleared(text="x", again_by_doer="by mistake", **_by("DQ"))
    assert _written(_office("X", worked=True), "DQ", body) is None


def test_a_settling_by_whoever_may_not_settles_nothing() -> None:
    office = _office(worked=True)
    office.exchange("S", "A", "C")
    done(office.worse("Mon 09:30", "YB", "X", "C"))
    done(office.clears("Mon 09:30", "DQ", "A"))
    office.exchange("S", "A", "C")
    after = _written(office, "BT", b.DefectSettled(words="x", **_by("BT")))
    assert after is not None
    assert len(after.disputes) == 2


def test_a_second_line_that_does_not_hold_is_listed_beside_the_first() -> None:
    office = _office("X", worked=True)
    for who in ("MS", "BTR"):
        _written(office, who, b.DefectCleared(text="x", **_by(who)))
    assert [d.parties for d in _item(office).disputes] == [("MS",), ("BTR",)]


def test_nothing_is_made_of_an_entry_that_its_author_had_seen_closed() -> None:
    office = _office(worked=True)
    (cleared,) = done(office.clears("Mon 09:30", "DQ"))
    late = b.SymbolRaised(symbol="X", reason="x", **_by("YB"))
    office.write("Mon 10:00", "YB", replace(late, seen=(cleared.digest.hex(),)))
    assert office.entry() is None


def test_the_words_of_others_stand_beside_an_entry_and_count_as_seen() -> None:
    office = _office(worked=True)
    lines = [
        office.write("Mon 09:30", "AF", b.DefectNoted(text="hums again", by=By(doer="AF"),
                                                      number=N, seen=()))
        for _ in range(2)
    ]  # fmt: skip
    item = _item(office)
    assert item.notes == tuple(line.digest.hex() for line in lines)
    assert item.seen == (*item.heads, *item.notes)
    assert [a.what for a in item.acts[-2:]] == ["words: hums again"] * 2
    assert (item.text, item.state) == ("hum", "action_recorded")


@pytest.mark.parametrize(("text", "symptom", "reads", "told"), [
    ("no sidetone at all", "", "no sidetone at all", ""),
    ("", "No Sidetone", "stub: No Sidetone", "No Sidetone"),
    ("no sidetone on 2", "no sidetone", "no sidetone on 2", "no sidetone"),
])  # fmt: skip
def test_the_first_words_of_a_stub_become_its_text(
    text: str, symptom: str, reads: str, told: str
) -> None:
    office = Office()
    body = b.DefectRaised(number=N, symbol="/", text="stub", stub=True, by=By(doer="RA"))
    office.write("Mon 08:00", "RA", body)
    office.write("Mon 08:01", "RA", b.DefectNoted(text=text, symptom=symptom, **_by("RA")))
    office.write("Mon 08:02", "RA", b.DefectNoted(text="more", symptom="hum", **_by("RA")))
    item = _item(office)
    assert (item.text, item.symptom, item.stub) == (reads, told, False)


def test_good_tests_done_again_are_kept_on_every_reading_and_leave_the_work_as_it_was() -> None:
    office = _office("X", worked=True)
    office.exchange("S", "A", "C")
    for step in ("ear", "eye"):
        office.write("Mon 09:30", "BT", b.DefectRetested(step=step, title=step, answer="OK",
                                                         **_by("BT")), "A")  # fmt: skip
    done(office.acts("Mon 09:40", "BTR", "more", "C"))
    office.exchange("S", "A", "C")
    item = _item(office)
    assert [r.step for r in item.retested] == ["ear", "eye"]
    assert [a.what for a in item.acts if "tested again" in a.what] == [
        "tested again, step ear: OK", "tested again, step eye: OK",
    ]  # fmt: skip
    assert len(item.notes) == 2
    assert item.work is not None


def test_joined_entries_keep_both_texts_the_earlier_days_and_every_function() -> None:
    office = Office()
    office.raises("Mon 08:00", "RA", "/", "hum", takes=("tx",), weakens=("lf",), untested=("a",),
                  found_at=at("Mon 06:00"))  # fmt: skip
    office.raises("Mon 09:00", "AF", "/", "howl", takes=("rx",), weakens=("hf",), untested=("b",),
                  found_at=at("Mon 07:00"))  # fmt: skip
    one, other = office.facts().open
    line = b.DefectSameAs(number=one.number, other=other.number, by=By(doer="MS"), seen=one.seen)
    written = office.write("Mon 10:00", "MS", line)
    (item,) = office.facts().open
    assert (item.found_at, item.logged_at) == (at("Mon 06:00"), at("Mon 08:00"))
    assert (item.takes, item.weakens, item.untested) == (("rx", "tx"), ("hf", "lf"), ("b", "a"))
    assert (item.joined, item.notes) == (("107-S01",), (written.digest.hex(),))
    assert item.acts[-1].what == "107-S01 joined to it: hum"


def test_an_act_that_is_let_stand_keeps_what_the_other_tablet_did_with_its_hands() -> None:
    office = _office("-")
    office.exchange("S", "A", "C")
    (stands,) = done(office.defers("Tue 09:00", "MS", "23-H-09", "A", ("torch",)))
    done(office.acts("Tue 08:00", "BT", Done(text="x", taught_by=("DQ",)), "C"))
    item = office.entry(device="C")
    assert item is not None
    office.write(
        "Tue 08:30",
        "BT",
        b.DefectRetested(
            number=N, step="ear", title="ear", answer="FAULT", by=By(doer="BT"), seen=item.seen
        ),
        "C",
    )
    seen = _item(Office(office.ground, {"S": office.lines["C"]})).seen
    office.write(
        "Tue 08:40",
        "BT",
        b.DefectExtended(number=N, text="again", step="", by=By(doer="BT"), seen=seen),
        "C",
    )
    done(office.defers("Tue 09:00", "OH", "23-H-01", "C", ("copied",)))
    office.exchange("S", "A", "C")
    assert len(_item(office).disputes) == 1
    done(office.settles("Wed 09:00", "LH", stands.digest.hex()))
    kept = _item(office)
    assert kept.deferral is not None
    assert (kept.deferral.category, kept.disputes, kept.work) == ("D", (), None)
    assert (kept.doers, kept.taught) == (("BT",), ("DQ",))
    assert [r.step for r in kept.retested] == ["ear"]
    assert kept.again == (at("Tue 08:40"),)


def test_an_entry_is_told_as_it_read_at_an_instant_or_that_the_past_is_needed() -> None:
    """`--at T` is what was true at T; design, section 3."""
    office = _office()
    done(office.worse("Mon 10:00", "YB", "X"))
    whole = Logbook(office.ground)
    raising, worse = office.lines["S"]
    whole.raise_(raising, decode(raising))  # type: ignore[arg-type]  # it raises
    whole.act(worse, decode(worse))
    assert whole.open_at(at("Mon 07:59")) == ()
    for when, symbol in (("Mon 08:00", "/"), ("Mon 09:59", "/"), ("Mon 10:00", "X")):
        assert [e.symbol for e in whole.open_at(at(when))] == [symbol]
    kept = Logbook(office.ground)
    kept.take_up(office.facts().open)
    assert [e.symbol for e in kept.open_at(at("Mon 10:00"))] == ["X"]
    with pytest.raises(NeedsThePast):
        kept.open_at(at("Mon 09:59"))


@pytest.mark.parametrize(("others", "reads"), [(False, ()), (True, None)])
def test_a_fold_gone_on_with_says_whether_it_can_tell_that_nobody_else_has_acted(
    *, others: bool, reads: tuple[OpenEntry, ...] | None
) -> None:
    office = _office()
    if others:
        done(office.worse("Mon 09:00", "IO", "-"))
    known = folded(office.ground, office.lines["S"])
    line = b.DefectVoided(reason="x", **_by("RA"))
    void = office.write("Mon 10:00", "RA", replace(line, seen=_item(office).seen))
    gone_on = fold_on(known, [void], office.ground)
    assert (gone_on and gone_on.facts.open) == reads


def test_a_line_by_which_the_finder_takes_back_what_others_only_spoke_of_holds() -> None:
    office = _office()
    office.write("Mon 09:00", "AF", b.DefectNoted(text="hums again", **_by("AF")))
    done(office.worse("Mon 09:10", "RA", "-"))
    assert _written(office, "RA", b.DefectVoided(reason="x", **_by("RA"))) is None


def test_whoever_names_an_older_line_too_has_still_seen_the_last() -> None:
    office = _office("-")
    (raising,) = office.lines["S"]
    (lowered,) = done(office.worse("Mon 09:00", "MS", "/"))
    seen = (raising.digest.hex(), lowered.digest.hex(), "00" * 32)
    acted = b.ActionRecorded(text="x", **_by("BT"))
    office.write("Mon 09:10", "BT", replace(acted, seen=seen))
    assert (_item(office).symbol, _item(office).disputes) == ("/", ())


def test_a_test_does_not_open_what_its_author_had_seen_closed() -> None:
    office = _office("-", worked=True)
    (cleared,) = done(office.clears("Mon 09:30", "DQ"))
    late = b.DefectProved(functions=("tx",), **_by("BT"))
    office.write("Mon 10:00", "BT", replace(late, seen=(cleared.digest.hex(),)))
    assert office.facts().open == ()


def test_an_entry_found_in_a_walk_names_it() -> None:
    body = b.DefectRaised(number=N, symbol="/", text="hum", by=By(doer="BT"))
    line = entry(body, device="A", at=at("Mon 08:00"), tail="QM-107", author="BT", walk="A7")
    (item,) = folded(_office().ground, [line]).facts.open
    assert item.walk == "A7"


def test_what_was_made_graver_again_is_no_easing_any_more() -> None:
    office = _office("-")
    office.exchange("S", "A", "C")
    done(office.worse("Mon 09:00", "MS", "/", "A"))
    done(office.worse("Mon 09:10", "BT", "-", "A"))
    done(office.worse("Mon 09:20", "YB", "X", "C"))
    office.exchange("S", "A", "C")
    assert (_item(office).symbol, _item(office).disputes) == ("X", ())


def test_words_stay_among_what_was_seen_when_a_fold_is_gone_on_with() -> None:
    office = _office()
    note = office.write("Mon 09:00", "AF", b.DefectNoted(text="hums again", **_by("AF")))
    known = folded(office.ground, office.lines["S"])
    more = office.write("Mon 09:10", "AF", b.DefectNoted(text="howls now", **_by("AF")))
    gone_on = fold_on(known, [more], office.ground)
    assert gone_on is not None
    assert gone_on.facts.open == office.facts().open
    assert _item(office).notes == (note.digest.hex(), more.digest.hex())


def test_a_stub_is_worded_in_a_fold_gone_on_with_as_in_one_of_everything() -> None:
    office = Office()
    body = b.DefectRaised(number=N, symbol="/", text="stub", symptom="hum", stub=True,
                          by=By(doer="RA"))  # fmt: skip
    office.write("Mon 08:00", "RA", body)
    known = folded(office.ground, office.lines["S"])
    words = office.write("Mon 08:01", "RA", b.DefectNoted(text="hums on LF", **_by("RA")))
    gone_on = fold_on(known, [words], office.ground)
    assert gone_on is not None
    assert gone_on.facts.open == office.facts().open
    item = _item(office)
    assert (item.text, item.symptom, item.stub) == ("hums on LF", "hum", False)


def test_words_stay_among_what_was_seen_when_an_entry_is_joined_to_theirs() -> None:
    office = _office()
    note = office.write("Mon 09:00", "AF", b.DefectNoted(text="hums again", **_by("AF")))
    number = office.raises("Mon 09:10", "AF")
    (joined,) = done(office.joins("Mon 10:00", "MS", number, N))
    assert _item(office).notes == (note.digest.hex(), joined.digest.hex())


def test_a_joining_that_does_not_hold_is_listed_beside_what_was_listed_before() -> None:
    office = _office(worked=True)
    office.raises("Mon 09:10", "AF")
    unasked = b.DefectCleared(number="107-S02", text="x", by=By(doer="MS"), seen=())
    office.write("Mon 09:20", "MS", unasked)
    done(office.clears("Mon 09:30", "DQ"))
    item = office.entry("107-S02")
    assert item is not None
    late = b.DefectSameAs(number="107-S02", other=N, by=By(doer="OH"), seen=item.seen)
    office.write("Mon 10:00", "OH", late)
    (still,) = office.facts().open
    assert [d.parties for d in still.disputes] == [("MS",), ("OH",)]


def test_a_settling_ends_all_that_was_listed_and_one_act_of_one_disagreement_may_stand() -> None:
    """C-13: a third person says which act stands, be it one of several that disagree."""
    office = _office("-")
    _written(office, "BT", b.SymbolLowered(symbol="/", reason="x", **_by("BT")))
    office.exchange("S", "A", "C")
    (stands,) = done(office.defers("Tue 09:00", "MS", "23-H-09", "A", ("torch",)))
    done(office.defers("Tue 09:00", "OH", "23-H-01", "C", ("copied",)))
    office.exchange("S", "A", "C")
    assert len(_item(office).disputes) == 2
    done(office.settles("Wed 09:00", "LH", stands.digest.hex()))
    kept = _item(office)
    assert kept.deferral is not None
    assert (kept.deferral.category, kept.disputes) == ("D", ())


def test_a_settling_for_a_line_that_raised_another_entry_leaves_the_careful_reading() -> None:
    """C-13, M-13 (c): the number was given twice, and what stood under it is no other's act."""
    office = _office("X")
    forged = b.DefectRaised(number=N, symbol="/", text="lamp", by=By(doer="RA"))
    twice = office.write("Mon 11:00", "RA", forged)
    settled = b.DefectSettled(stands=twice.digest.hex(), words="x", **_by("LH"))
    after = _written(office, "LH", settled)
    assert after is not None
    assert (after.symbol, after.text, after.disputes) == ("X", "hum", ())
