"""A fold taken up where it stopped says the same as one fold of everything, or says it cannot."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import IO, MORNING, entry
from hardstand.domain import bodies as b
from hardstand.domain.airframe import Ground, fold_on, folded
from hardstand.domain.bodies import KINDS
from hardstand.domain.codec import encode
from hardstand.domain.entry import Entry, bears_on_status
from hardstand.domain.quantity import later

GROUND = Ground(
    tail="QM-161", type="low", fits=(), short="161", serials={}, entries_before={"A": 0}
)
NUMBERS = st.sampled_from(["161-A01", "161-A02", "161-B01"])
ITEMS = st.sampled_from(["battery", "panel"])
PLACES = st.sampled_from(["SHUT", "OPEN"])
DIGESTS = st.lists(st.integers(0, 11), max_size=6, unique=True)
SYMBOLS = st.sampled_from(["X", "-", "/"])

BEARING = sorted(
    {cls for (kind, _), cls in KINDS.items() if bears_on_status(kind, "QM-161")} - {b.Adopted},
    key=lambda cls: cls.__name__,
)


def _named(cls: type[Any]) -> st.SearchStrategy[Any]:
    """Any body of a class, whose names meet other bodies' names often."""
    known: dict[str, st.SearchStrategy[Any]] = {
        "by": st.just(IO), "seen": st.just(()), "number": NUMBERS, "other": NUMBERS,
        "item": ITEMS, "to": PLACES, "home": st.just("SHUT"), "from_": PLACES,
        "symbol": SYMBOLS, "found_at": st.just(""), "made_at": st.just(""),
        "functions": st.just(("rx",)), "untested": st.sampled_from([(), ("rx",)]),
        "proved": st.sampled_from([(), ("rx",)]), "text": st.just("words"),
        "purpose": st.just("preflight"), "outcome": st.sampled_from(["finished", "taken_away"]),
    }  # fmt: skip
    fields = cls.__dataclass_fields__
    made = st.builds(cls, **{name: how for name, how in known.items() if name in fields})
    return made.filter(_is_storable)


def _is_storable(body: Any) -> bool:
    """Whether the record takes the body at all: integers beyond 2**53 it does not."""
    try:
        encode(body)
    except ValueError:
        return False
    return True


@st.composite
def _histories(draw: st.DrawFn) -> list[Entry]:
    """Entries of one airframe in order; each may have seen some of the lines before it."""
    made = list[Entry]()
    for n in range(draw(st.integers(1, 12))):
        body = draw(st.sampled_from(BEARING).flatmap(_named))
        if hasattr(body, "seen"):
            seen = tuple(made[i].digest.hex() for i in draw(DIGESTS) if i < n)
            body = type(body)(
                **{f: getattr(body, f) for f in body.__dataclass_fields__ if f != "seen"}, seen=seen
            )
        device = draw(st.sampled_from("AB"))
        walk = draw(st.sampled_from([None, "A1", "B1"]))
        at = later(MORNING, seconds=60 * n)
        line = entry(body, device=device, seq=n + 1, tick=n + 1, at=at, walk=walk)
        newer = draw(st.integers(0, 9)) == 0
        made.append(line._replace(version=99) if newer else line)
    return made


@settings(max_examples=400)
@given(entries=_histories(), cut=st.integers(0, 12))
def test_a_fold_gone_on_with_is_the_fold_of_everything_or_none(
    entries: list[Entry], cut: int
) -> None:
    before = folded(GROUND, entries[:cut])
    after = fold_on(before, entries[cut:])
    if after is not None:
        assert after == folded(GROUND, entries)


def test_an_act_on_an_entry_closed_before_needs_the_past() -> None:
    raised = entry(b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO), seq=1)
    seen = (raised.digest.hex(),)
    cleared = entry(b.DefectCleared(number="161-A01", text="ok", by=IO, seen=seen), seq=2)
    graver = entry(b.SymbolRaised(number="161-A01", symbol="X", reason="smoke", by=IO, seen=seen),
                   device="B", seq=3)  # fmt: skip
    assert fold_on(folded(GROUND, [raised, cleared]), [graver]) is None
    assert [e.symbol for e in folded(GROUND, [raised, cleared, graver]).facts.open] == ["X"]


def test_the_past_is_not_needed_for_what_opened_and_closed_since() -> None:
    raised = entry(b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO), seq=1)
    seen = (raised.digest.hex(),)
    cleared = entry(b.DefectCleared(number="161-A01", text="ok", by=IO, seen=seen), seq=2)
    graver = entry(b.SymbolRaised(number="161-A01", symbol="X", reason="smoke", by=IO, seen=seen),
                   device="B", seq=3)  # fmt: skip
    gone_on = fold_on(folded(GROUND, []), [raised, cleared, graver])
    assert gone_on == folded(GROUND, [raised, cleared, graver])


def _raised(seq: int) -> Entry:
    return entry(b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO), seq=seq)


def _taken(seq: int) -> Entry:
    return entry(b.EntryTaken(number="161-A01", by=IO, seen=()), seq=seq)


def _closed(seq: int, raised: Entry) -> Entry:
    seen = (raised.digest.hex(),)
    body = b.DefectVoided(number="161-A01", reason="wrong aircraft", by=IO, seen=seen)
    return entry(body, seq=seq)


def test_a_number_that_nothing_was_raised_under_is_taken_by_nobody() -> None:
    """Such a line is another program's; kept or not, it must come to the same."""
    lines = [_taken(1), _raised(2)]
    assert folded(GROUND, lines).facts.owners is None
    assert fold_on(folded(GROUND, []), lines[:1]) is None
    assert fold_on(folded(GROUND, lines[:1]), lines[1:]) == folded(GROUND, lines)


def test_whoever_took_an_entry_has_not_taken_the_next_of_its_number() -> None:
    first = _raised(1)
    lines = [first, _taken(2), _closed(3, first), _raised(4)]
    assert folded(GROUND, lines[:2]).facts.owners == {"161-A01": "IO"}
    assert folded(GROUND, lines).facts.owners is None
    assert fold_on(folded(GROUND, lines[:3]), lines[3:]) == folded(GROUND, lines)


def test_an_entry_taken_after_it_was_closed_needs_the_past() -> None:
    """It may read open yet, by an act that the closing had not seen; then its owner counts."""
    first = _raised(1)
    lines = [first, _closed(2, first), _taken(3)]
    graver = entry(b.SymbolRaised(number="161-A01", symbol="X", reason="smoke", by=IO,
                                  seen=(first.digest.hex(),)), device="B", seq=4)  # fmt: skip
    assert fold_on(folded(GROUND, lines[:2]), lines[2:]) is None
    assert folded(GROUND, [*lines, graver]).facts.owners == {"161-A01": "IO"}
