"""Each part of an entry that two tablets changed unseen: the careful reading of that part.

Which of two lines comes first by its digest is chance, so each pair is played at six minutes.
Source: whole-job C-13 and design, section 3 (causality); no outside source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from hardstand.domain import bodies as b
from hardstand.domain import defects
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done
from hardstand.domain.facts import OpenEntry
from hardstand.domain.putting_off import PutOff, defer
from hardstand.domain.ruling import rule
from line_office import FIT, Office, done, refused

Act = Callable[[Office, str, str], object]


def _base(symbol: Symbol = "X", *untested: str, worked: bool = False) -> Office:
    office = Office()
    office.raises("Wed 15:20", "IO", symbol, untested=untested)
    if worked:
        done(office.acts("Wed 16:00", "BT"))
    return office


def _forked(base: Callable[[], Office], one: Act, other: Act) -> Iterator[Office]:
    for minute in range(6):
        for first, second in (("A", "C"), ("C", "A")):
            office = base()
            office.exchange("S", "A", "C")
            when = f"Fri 10:0{minute}"
            one(office, when, first)
            other(office, when, second)
            office.exchange("S", "A", "C")
            yield office


def _open(office: Office) -> OpenEntry:
    (item,) = office.facts().open
    return item


def test_hands_and_teachers_of_both_tablets_are_barred() -> None:
    taught = Done(text="x", taught_by=("DQ",))
    for office in _forked(
        _base, lambda o, w, d: done(o.acts(w, "BT", taught, d)),
        lambda o, w, d: done(o.acts(w, "YB", "more", d)),
    ):  # fmt: skip
        item = _open(office)
        assert (set(item.doers), item.taught) == ({"BT", "YB"}, ("DQ",))
        assert refused(office.clears("Fri 11:00", "YB")).rule.startswith("nobody clears their own")
        assert refused(office.clears("Fri 11:00", "DQ")).rule.startswith("DQ taught this task")


def test_a_dash_waits_for_what_either_tablet_still_waits_for() -> None:
    def proves(function: str) -> Act:
        return lambda o, w, d: done(o.does(
            w, "BT",
            lambda f, c: defects.prove(f, "107-S01", (function,), "heard", By(doer="BT"), c), d,
        ))  # fmt: skip

    for office in _forked(lambda: _base("-", "rx", "tx"), proves("rx"), proves("tx")):
        item = _open(office)
        assert set(item.untested) == {"rx", "tx"}
        assert item.disputes == ()


def test_both_mornings_of_a_dash_are_kept() -> None:
    def again(office: Office, when: str, device: str) -> None:
        item = office.entry(device=device)
        assert item is not None
        body = b.DefectExtended(number="107-S01", text="x", step="", by=By(doer="BT"),
                                seen=item.seen)  # fmt: skip
        office.write("Thu 10:00" if device == "A" else when, "BT", body, device)

    for office in _forked(lambda: _base("-", "rx"), again, again):
        assert len(_open(office).again) == 2


@pytest.mark.parametrize("other", [
    lambda o, w, d: done(o.acts(w, "BTR", "more", d)),
    lambda o, w, d: done(o.limits(w, "LH", "Sat 10:00", device=d)),
])  # fmt: skip
def test_the_finders_word_that_it_was_an_error_is_not_lost(other: Act) -> None:
    for office in _forked(_base, lambda o, w, d: done(o.voids(w, "IO", d)), other):
        assert _open(office).voiders == ("IO",)
        done(office.voids("Fri 11:00", "DQ"))
        assert office.facts().open == ()


def test_both_tests_done_again_are_kept_and_each_undoes_the_work_it_had_seen() -> None:
    def fails(office: Office, when: str, device: str) -> None:
        item = office.entry(device=device)
        assert item is not None
        body = b.DefectRetested(number="107-S01", step=device, title="hear", answer="FAULT",
                                by=By(doer="BT"), seen=item.seen)  # fmt: skip
        office.write(when, "BT", body, device)

    for office in _forked(lambda: _base(worked=True), fails, fails):
        item = _open(office)
        assert {r.step for r in item.retested} == {"A", "C"}
        assert (item.work, item.state) == (None, "open")


def test_of_two_sets_of_limits_the_earlier_end_counts_and_it_is_listed() -> None:
    for office in _forked(
        _base, lambda o, w, d: done(o.limits(w, "LH", "Sat 10:00", "to base", device=d)),
        lambda o, w, d: done(o.limits(w, "LH", "Sun 10:00", "by day", device=d)),
    ):  # fmt: skip
        item = _open(office)
        assert item.limits is not None
        assert item.limits.ends == "2027-03-13T13:00:00Z"
        (listed,) = item.disputes
        assert listed.text.endswith(": the earlier end counts")
        assert office.verdict("Sat 10:00").symbol == "X"


def test_the_same_limits_given_twice_are_no_disagreement() -> None:
    def same(office: Office, when: str, device: str) -> None:
        done(office.limits(when, "LH", "Sat 10:00", device=device))

    for office in _forked(_base, same, same):
        assert _open(office).disputes == ()


def test_limits_that_one_tablet_had_seen_are_not_listed_against_it() -> None:
    """Both had seen the first; one goes on with words, the other with work."""

    def base() -> Office:
        office = _base()
        done(office.limits("Wed 16:00", "LH", "Sat 10:00"))
        return office

    for office in _forked(
        base, lambda o, w, d: done(o.acts(w, "BT", "x", d)),
        lambda o, w, d: done(o.acts(w, "BTR", "y", d)),
    ):  # fmt: skip
        item = _open(office)
        assert (item.symbol, item.disputes) == ("(X)", ())
        assert item.limits is not None


def test_of_two_deferrals_the_one_that_ends_earlier_counts_with_its_extension() -> None:
    def base() -> Office:
        office = _base("/")
        done(office.defers("Wed 16:00", "MS", "23-H-05", met=("jack", "told")))
        return office

    for office in _forked(
        base, lambda o, w, d: done(o.extends(w, "LH", 1, device=d)),
        lambda o, w, d: done(o.extends(w, "LH", 3, device=d)),
    ):  # fmt: skip
        item = _open(office)
        assert item.deferral is not None
        assert item.deferral.last_day == "2027-03-14"
        assert len(item.disputes) == 1


@pytest.mark.parametrize("grave", [
    lambda o, w, d: done(o.worse(w, "YB", "X", d)),
    lambda o, w, d: (done(o.worse(w, "YB", "X", d)),
                     done(o.limits(w, "LH", "Sun 10:00", device=d))),
])  # fmt: skip
def test_a_deferral_unseen_by_whoever_made_it_an_x_is_listed(grave: Act) -> None:
    asked = PutOff(item="23-H-05", met=("jack", "told"), reason="x")
    for office in _forked(
        lambda: _base("/"), grave,
        lambda o, w, d: done(o.does(
            w, "MS", lambda f, c: defer(f, "107-S01", asked, FIT, By(doer="MS"), c), d)),
    ):  # fmt: skip
        item = _open(office)
        assert item.symbol in {"X", "(X)"}
        (listed,) = item.disputes
        assert listed.text.endswith("an X is not deferred")
        assert set(listed.parties) <= {"MS", "YB", "LH"}
        assert len(set(listed.acts)) == 2


def test_an_x_made_over_a_deferral_it_had_seen_is_no_disagreement() -> None:
    def base() -> Office:
        office = _base("/")
        done(office.defers("Wed 16:00", "MS", "23-H-05", met=("jack", "told")))
        done(office.acts("Wed 17:00", "BT"))
        return office

    for office in _forked(
        base, lambda o, w, d: done(o.worse(w, "YB", "X", d)),
        lambda o, w, d: done(o.acts(w, "BTR", "x", d)),
    ):  # fmt: skip
        item = _open(office)
        assert (item.symbol, item.disputes) == ("X", ())


def test_a_leads_word_stays_beside_work_on_the_other_tablet_but_not_beside_a_graver_symbol() -> (
    None
):
    def ruled(office: Office, when: str, device: str) -> None:
        done(office.does(
            when, "MS", lambda f, c: rule(f, "107-S01", "fly it", By(doer="MS"), c), device,
        ))  # fmt: skip

    for office in _forked(lambda: _base("/"), ruled, lambda o, w, d: done(o.acts(w, "BT", "x", d))):
        assert _open(office).ruled == "MS: fly it"
    for office in _forked(
        lambda: _base("/"), ruled, lambda o, w, d: done(o.worse(w, "YB", "X", d))
    ):
        assert _open(office).ruled == ""


def test_a_lowering_seen_by_whoever_raised_it_again_is_no_disagreement() -> None:
    def base() -> Office:
        office = _base("-")
        done(office.worse("Wed 16:00", "MS", "/"))
        return office

    for office in _forked(
        base, lambda o, w, d: done(o.worse(w, "YB", "X", d)),
        lambda o, w, d: done(o.acts(w, "BT", "x", d)),
    ):  # fmt: skip
        assert _open(office).disputes == ()


def test_what_was_settled_is_not_listed_again_when_a_third_tablet_comes_in() -> None:
    """C-13: shuffle, repeat, split; the settled stays settled, the new is listed."""
    for office in _forked(
        lambda: _base("/", worked=True), lambda o, w, d: done(o.clears(w, "DQ", d)),
        lambda o, w, d: done(o.worse(w, "YB", "X", d)),
    ):  # fmt: skip
        office.exchange("S", "B")
        done(office.settles("Fri 11:00", "LH"))
        done(office.acts("Fri 11:00", "BT", "y", "B"))
        office.exchange("S", "B")
        item = _open(office)
        assert (item.symbol, item.disputes) != ("/", ())
        assert [d for d in item.disputes if "without having seen" in d.text] == []


def test_a_listing_names_both_lines_and_whoever_wrote_them() -> None:
    for office in _forked(
        lambda: _base("/", worked=True), lambda o, w, d: done(o.clears(w, "DQ", d)),
        lambda o, w, d: done(o.worse(w, "YB", "X", d)),
    ):  # fmt: skip
        (listed,) = _open(office).disputes
        heads = {e.digest.hex() for e in office.lines["S"] if e.device in {"A", "C"}}
        assert (set(listed.acts), set(listed.parties)) == (heads, {"DQ", "YB"})
        assert list(listed.acts) == sorted(listed.acts)


def _defers(item: str, *met: str) -> Act:
    asked = PutOff(item=item, met=met, reason="x")
    return lambda o, w, d: done(o.does(
        w, "MS", lambda f, c: defer(f, "107-S01", asked, FIT, By(doer="MS"), c), d))  # fmt: skip


def test_the_same_extension_given_twice_is_no_disagreement() -> None:
    def base() -> Office:
        office = _base("/")
        _defers("23-H-05", "jack", "told")(office, "Wed 16:00", "S")
        return office

    def extends(office: Office, when: str, device: str) -> None:
        done(office.extends(when, "LH", 3, device=device))

    for office in _forked(base, extends, extends):
        assert _open(office).disputes == ()


def test_a_shorter_deferral_by_who_had_seen_the_longer_is_no_disagreement() -> None:
    def base() -> Office:
        office = _base("/")
        _defers("23-H-04", "on the switch")(office, "Wed 16:00", "S")
        return office

    for office in _forked(
        base, _defers("23-H-05", "jack", "told"), lambda o, w, d: done(o.acts(w, "BT", "x", d))
    ):
        item = _open(office)
        assert item.deferral is not None
        assert (item.deferral.last_day, item.disputes) == ("2027-03-13", ())


def test_sooner_limits_by_who_had_seen_the_later_ones_are_no_disagreement() -> None:
    def base() -> Office:
        office = _base()
        done(office.limits("Wed 16:00", "LH", "Sun 10:00"))
        return office

    def sooner(office: Office, when: str, device: str) -> None:
        done(office.worse(when, "YB", "X", device))
        done(office.limits(when, "LH", "Sat 10:00", device=device))

    for office in _forked(base, sooner, lambda o, w, d: done(o.acts(w, "BT", "x", d))):
        item = _open(office)
        assert item.limits is not None
        assert (item.limits.ends, item.disputes) == ("2027-03-13T13:00:00Z", ())


def test_two_who_each_made_it_an_x_do_not_disagree_over_what_one_had_put_off_before() -> None:
    def put_off_and_worse(office: Office, when: str, device: str) -> None:
        _defers("23-H-05", "jack", "told")(office, when, device)
        done(office.worse(when, "BT", "X", device))

    for office in _forked(
        lambda: _base("/"), put_off_and_worse, lambda o, w, d: done(o.worse(w, "YB", "X", d))
    ):
        assert _open(office).disputes == ()


def test_what_does_not_hold_stays_listed_through_a_fork() -> None:
    def base() -> Office:
        office = _base(worked=True)
        for who in ("MS", "RA"):
            seen = _open(office).seen
            body = b.DefectCleared(number="107-S01", text="x", by=By(doer=who), seen=seen)
            office.write("Wed 17:00", who, body)
        return office

    for office in _forked(
        base, lambda o, w, d: done(o.acts(w, "BT", "x", d)),
        lambda o, w, d: done(o.acts(w, "BTR", "y", d)),
    ):  # fmt: skip
        assert [d.parties for d in _open(office).disputes] == [("MS",), ("RA",)]


def test_two_clearings_disagree_with_the_x_and_not_with_each_other() -> None:
    """Nor over how long the one and the other had put it off before."""
    seen = Looked(text="seen", placard_off=True)

    def clears(who: str, item: str, *met: str) -> Act:
        def act(office: Office, when: str, device: str) -> None:
            _defers(item, *met)(office, when, device)
            done(office.clears(when, who, device, how=seen))

        return act

    for office in _forked(
        lambda: _base("/", worked=True), clears("DQ", "23-H-04", "on it"),
        clears("YB", "23-H-05", "jack", "told"),
    ):  # fmt: skip
        office.lines["B"] = office.lines["S"][:2]
        done(office.worse("Fri 10:30", "IO", "X", "B"))
        office.exchange("S", "B")
        assert {frozenset(d.parties) for d in _open(office).disputes} == {
            frozenset({"DQ", "IO"}), frozenset({"YB", "IO"}),
        }  # fmt: skip


def test_whoever_goes_on_from_both_has_seen_all_that_either_had_seen() -> None:
    def put_off_and_act(office: Office, when: str, device: str) -> None:
        _defers("23-H-05", "jack", "told")(office, when, device)
        done(office.acts(when, "BT", "x", device))

    for office in _forked(
        lambda: _base("/"), put_off_and_act, lambda o, w, d: done(o.acts(w, "BTR", "y", d))
    ):
        done(office.worse("Fri 11:00", "YB", "X", "S"))
        done(office.acts("Fri 11:00", "BT", "z", "A"))
        office.exchange("S", "A")
        item = _open(office)
        assert (item.symbol, item.disputes) == ("X", ())


def test_what_was_settled_stays_so_for_whoever_goes_on_from_two_that_had_seen_it() -> None:
    for office in _forked(
        lambda: _base("/", worked=True), lambda o, w, d: done(o.clears(w, "DQ", d)),
        lambda o, w, d: done(o.worse(w, "YB", "X", d)),
    ):  # fmt: skip
        office.exchange("S", "B")
        done(office.settles("Fri 11:00", "LH"))
        office.exchange("S", "A")
        done(office.acts("Fri 11:10", "BT", "x", "A"))
        done(office.acts("Fri 11:10", "BTR", "y", "S"))
        office.exchange("S", "A")
        done(office.acts("Fri 11:20", "BTR", "z", "S"))
        done(office.acts("Fri 11:20", "BT", "w", "B"))
        office.exchange("S", "B")
        assert _open(office).disputes == ()


def test_a_lowering_stays_one_for_whoever_goes_on_from_two_that_lowered_it() -> None:
    def lowers(office: Office, when: str, device: str) -> None:
        done(office.worse(when, "MS" if device == "A" else "OH", "/", device))

    for office in _forked(lambda: _base("-"), lowers, lowers):
        office.lines["B"] = office.lines["S"][:1]
        done(office.acts("Fri 11:00", "BT", "x", "S"))
        done(office.worse("Fri 11:00", "YB", "X", "B"))
        office.exchange("S", "B")
        item = _open(office)
        assert item.symbol == "X"
        assert [d.text.rpartition("; ")[2] for d in item.disputes] == ["X counts"]
