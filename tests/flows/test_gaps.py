"""What was left out is offered while it can be done: as a zone or the walk ends, and in a wait."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

from builders import Watch, checklist, fit, lines, papers, step, steps
from dry_walk import DryWalk
from hardstand.domain.answering import Reply
from hardstand.domain.checklist import Action, Checklist, Fit
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.gaps import meanwhile
from hardstand.flows.pen import Pen
from hardstand.flows.questions import step_ask
from memory import MemoryJournal
from scripted import Scripted

SKIP = ("s", "6")


def _pen(*, listed: Checklist | None = None, fitted: Fit | None = None) -> Pen:
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=False, program="test")
    adopt(pen, papers(listed=listed, fitted=fitted))
    return pen


def _said(typed: list[str], *, fitted: Fit | None = None) -> str:
    return " ".join(Scripted.until_left(_pen(fitted=fitted), typed).said.split())


def test_a_skipped_step_that_can_be_done_is_offered_before_its_zone_is_left() -> None:
    typed = [*lines(until="off", tune=SKIP), "1"]
    said = _said(typed)
    assert "1 SKIPPED. Can one be done now? 1 Do tune" in said
    assert "Keys: 1, C none now, go on, B break, R rescue card." in said
    assert said.count("3.04 Do tune.") == 2


def test_a_skipped_step_that_can_not_be_done_now_is_named_with_the_reason() -> None:
    bound = tuple(
        replace(s, must_be={**(s.must_be or {}), "battery": "ON"}) if s.id == "plugs" else s
        for s in steps()
    )
    pen = _pen(listed=checklist(listed=bound))
    said = " ".join(Scripted.until_left(pen, lines(until="power", plugs=SKIP)).said.split())
    assert (
        "1 SKIPPED. None can be done now. "
        "Not now: 2.02, BATTERY switch is recorded OFF, it must be ON. "
        "Keys: C none now, go on, B break, R rescue card."
    ) in said


def test_what_can_and_what_cannot_are_told_apart() -> None:
    said = _said([*lines(until="off", hear=SKIP, call=SKIP, power=("s", "6"))])
    assert "3 SKIPPED. Can one be done now? Not now: 3.03" in said
    assert "BATTERY switch is recorded OFF, it must be ON." in said
    assert "1 Do power" in said


def test_what_needs_the_panel_open_is_offered_before_the_panel_is_shut_and_once() -> None:
    typed = [*lines(until="shut", plugs=SKIP)]
    said = _said(typed)
    assert (
        "Next is put back: panel 7. After that they cannot be done. "
        "1 SKIPPED. Can one be done now? 1 Do plugs"
    ) in said
    again = _said([*typed, "1"])
    assert again.count("2.02 Do plugs.") == 2
    left = _said([*typed, "c", "1", *lines(until="off")[-12:]])
    assert left.count("After that they cannot be done") == 1
    assert left.count("1 SKIPPED. None can be done now.") == 0


def test_the_last_chance_says_where_the_walk_stands_and_not_that_it_closes() -> None:
    asked = Scripted.until_left(_pen(), [*lines(until="shut", plugs=SKIP), "c"]).asked
    strip = next(a.strip for a, _ in asked if a.blocks and "After that" in a.blocks[0].text)
    assert strip is not None
    assert (strip.zone, strip.at, strip.next) == ("2 of 5  zone bay", "3 of 3", "Do power")


def test_what_was_declined_as_the_zone_was_left_is_not_asked_again_in_the_same_breath() -> None:
    said = _said([*lines(until="off", hear=SKIP, tune=SKIP), "c"])
    assert said.count("2 SKIPPED. Can one be done now?") == 1
    assert "After that they cannot be done" not in said


def test_a_gap_that_needs_nothing_of_what_is_put_back_is_no_matter_of_it() -> None:
    bare = tuple(replace(s, must_be=None) if s.id == "plugs" else s for s in steps())
    pen = _pen(listed=checklist(listed=bare))
    said = Scripted.until_left(pen, lines(until="power", plugs=SKIP)).said
    assert "After that they cannot be done" not in " ".join(said.split())


def test_what_has_its_way_home_in_a_zone_is_asked_before_the_zone_is_left() -> None:
    home = fit().items["panel"]
    ways = (home.actions[0], Action(from_="OPEN", to="SHUT", zone="bay"))
    fitted = replace(fit(), items={**fit().items, "panel": replace(home, actions=ways)})
    typed = [*lines(until="power", shut=SKIP), "2", "1"]
    said = _said(typed, fitted=fitted)
    assert (
        "1 SKIPPED. 1 not put back here. Can one be done now? 1 Do shut 2 put back: panel 7"
    ) in said
    assert "panel 7: recorded OPEN" in said
    assert _said(lines(until="power", shut=SKIP)).count("not put back here") == 0


def test_what_is_taken_up_in_an_earlier_zone_is_asked_before_anything_else() -> None:
    *first, shut, power, volts, hear, tune, call, wing, off, count, sign = steps()
    late = (off, replace(shut, zone="close"), count, sign)
    listed = checklist(listed=(*first, replace(power, must_be=None), volts, hear, tune, call,
                               wing, *late))  # fmt: skip
    home = fit().items["panel"]
    ways = (home.actions[0], Action(from_="OPEN", to="SHUT", zone="close"))
    fitted = replace(fit(), items={**fit().items, "panel": replace(home, actions=ways)})
    middle = lines(until="count")[len(lines(until="power")) :]
    typed = [*lines(until="shut", plugs=SKIP), "c", *middle, "1"]
    said = " ".join(Scripted.until_left(_pen(listed=listed, fitted=fitted), typed).said.split())
    _, _, after = said.partition("Next is put back: panel 7.")
    assert "2.02 Do plugs." in after
    assert "1 not put back here" not in after


def test_gaps_are_offered_again_before_the_walk_is_finished() -> None:
    said = _said([*lines(tune=SKIP)[:-1], "c"])
    assert said.count("1 SKIPPED. Can one be done now?") == 1
    assert "1 SKIPPED. Can one be done now? 1 Do tune" in said


def test_a_wait_names_the_skipped_steps_in_reach() -> None:
    waiting = step("warm", "test", wait_s=60)
    listed = checklist(listed=(*steps()[:9], waiting, *steps()[9:]))
    bench = DryWalk(listed=listed).walk(until="warm", hear=Reply(key="S", reason="no time"))
    plain = step_ask(bench.state, bench.facts, waiting, UTC)
    asked = meanwhile(plain, bench.state, waiting)
    assert [x.text for x in asked.blocks if x not in plain.blocks] == [
        "SKIPPED, and can be done in the wait: 3.03 Do hear."
    ]
    done = DryWalk(listed=listed).walk(until="warm")
    plain = step_ask(done.state, done.facts, waiting, UTC)
    assert meanwhile(plain, done.state, waiting) == plain
