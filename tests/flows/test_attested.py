"""What verify finds: every edit, drop, swap and insert, forged and moved signatures, cut tails.

The record is a list of lines in memory that somebody has changed behind the program's back, with
chains made to fit again where a forger would make them fit. Source: floors, audit log designs
(what a chain, signatures, and marks kept elsewhere can and cannot show).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.attesting import attests, message, wrong
from hardstand.domain.bodies import By
from hardstand.domain.chain import Head, seal, verify
from hardstand.domain.codec import decode
from hardstand.domain.daybook import ALPHABET, LENGTH, mark_in, mark_of, spelled
from hardstand.domain.defects import Done
from hardstand.domain.entry import ATTESTING, Entry
from hardstand.domain.facts import RecordFacts
from hardstand.errors import Damaged, Refusal, Usage
from hardstand.flows.attested import against, attestations, clock_notes, mark, notes
from hardstand.flows.logging_defects import act, acted
from hardstand.flows.pen import Pen
from hardstand.flows.records import verified
from hardstand.system.keys import DemoKeys, Ed25519, Unlocked
from memory import MemoryJournal
from quennock_record import founded, hand, raised


def _week() -> Pen:
    """Two entries raised, worked on and cleared, a mark taken between them."""
    pen = founded()
    for n, (doer, symbol) in enumerate((("BT", "X"), ("YB", "/")), 8):
        number = raised(pen, "IO", f"2027-03-{n:02d}T08:00-03:00", symbol)
        acted(hand(pen, doer, f"2027-03-{n:02d}T09:00-03:00"), number, Done(text="strap remade"),
              by=By(doer=doer))  # fmt: skip
        if n == 8:
            mark(hand(pen, "MS", "2027-03-08T09:30-03:00"))
        act(hand(pen, "DQ", f"2027-03-{n:02d}T10:00-03:00"), number, "clear", ("seen",),
            by=By(doer="DQ"))  # fmt: skip
    return pen


WEEK = tuple(_week().journal.chains())
SIGNED = [n for n, line in enumerate(WEEK) if line.signature is not None]


def _found(lines: Sequence[Entry]) -> list[str]:
    """Everything verify finds in these lines: chains first, then attestations and marks."""
    journal = MemoryJournal("S", lines)
    chain = [str(x) for x in verify(journal.lines(), _heads())]
    return chain or attestations(journal, Ed25519())


def _attested(lines: Sequence[Entry]) -> list[str]:
    """What is found where the forger made the kept ends of the chains fit as well."""
    return attestations(MemoryJournal("S", lines), Ed25519())


def _heads() -> dict[str, Head]:
    return MemoryJournal("S", WEEK).heads()


def _linked(lines: Sequence[Entry], start: int) -> list[Entry]:
    """The lines made to fit again from one on, as a forger who can count would."""
    made = list(lines[:start])
    for n, line in enumerate(lines[start:], start + 1):
        prev = made[-1].digest if made else bytes(32)
        tick = max(line.tick, made[-1].tick + 1 if made else 1)
        made.append(seal(line._replace(seq=n, tick=tick, prev=prev, digest=b"")))
    return made


def test_the_record_of_the_week_holds_and_every_attestation_is_signed() -> None:
    assert _found(WEEK) == []
    for line in WEEK:
        expected = attests(line.kind, decode(line)) and line.kind != "record.made"
        assert (line.signature is not None) == expected, line.kind
    pen = _week()
    assert verified(pen.journal, verifier=Ed25519()).startswith(f"{len(WEEK)} lines hold")


@given(st.integers(0, len(WEEK) - 1), st.integers(0, 10_000))
def test_an_edit_of_any_byte_of_any_line_is_found(n: int, where: int) -> None:
    body = bytearray(WEEK[n].body)
    body[where % len(body)] ^= 1
    assert _found([*WEEK[:n], WEEK[n]._replace(body=bytes(body)), *WEEK[n + 1 :]])


@given(st.integers(0, len(WEEK) - 2))
def test_a_dropped_a_doubled_and_a_swapped_line_are_found(n: int) -> None:
    assert _found([*WEEK[:n], *WEEK[n + 1 :]])
    one, two = WEEK[n], WEEK[n + 1]
    assert _found([*WEEK[:n], two._replace(seq=one.seq), one._replace(seq=two.seq), *WEEK[n + 2 :]])
    assert _found([*WEEK[: n + 1], one._replace(seq=two.seq), *WEEK[n + 2 :]])


@pytest.mark.parametrize("n", SIGNED[:-1], ids=lambda n: WEEK[n].kind)
def test_a_line_rewritten_with_its_chain_made_to_fit_shows_by_the_signatures(n: int) -> None:
    """The forger can count but holds nobody's key: each later signature no longer fits."""
    changed = WEEK[n]._replace(author="DQ" if WEEK[n].author != "DQ" else "YB")
    found = [str(x) for x in wrong(_linked([*WEEK[:n], changed, *WEEK[n + 1 :]], n), _record(),
                                   Ed25519().fits)]  # fmt: skip
    assert found
    assert f"seq {WEEK[n].seq}" in found[0]


def _record() -> RecordFacts:
    return MemoryJournal("S", WEEK).record()


@pytest.mark.parametrize("n", SIGNED, ids=lambda n: WEEK[n].kind)
def test_a_signature_taken_away_forged_or_moved_to_another_line_is_found(n: int) -> None:
    line, other = WEEK[n], WEEK[next(m for m in SIGNED if m != n)]
    for signature, what in (
        (None, f"{line.author} attests here without a signature"),
        (bytes(64), f"the signature is not one of {line.author} over this line"),
        (other.signature, f"the signature is not one of {line.author} over this line"),
        (DemoKeys().make("CA", 1, ()).sign(message(line.digest)),
         f"the signature is not one of {line.author} over this line"),
    ):  # fmt: skip
        changed = [*WEEK[:n], line._replace(signature=signature), *WEEK[n + 1 :]]
        if line.kind.startswith("person.enrolled") and line.author == "LH" and n == SIGNED[0]:
            assert _found(changed)
            continue
        assert f"device S, seq {line.seq}: {what}" in _found(changed)


def test_an_inserted_clearance_without_a_key_is_found() -> None:
    """Scenario 72: an entry forged by editing the file."""
    cut = next(n for n, line in enumerate(WEEK) if line.kind == "defect.action") + 1
    forged = WEEK[[line.kind for line in WEEK].index("defect.cleared")]._replace(
        seq=cut + 1, signature=None
    )
    found = _attested(_linked([*WEEK[:cut], forged], cut))
    assert f"device S, seq {cut + 1}: DQ attests here without a signature" in found


@pytest.mark.parametrize("n", range(1, 8))
def test_a_cut_tail_shows_by_the_end_the_record_remembers(n: int) -> None:
    assert _found(WEEK[:-n])


def test_a_tail_cut_below_a_mark_shows_by_the_mark_on_paper_though_the_file_was_made_to_fit() -> (
    None
):
    place = [line.kind for line in WEEK].index("daybook.marked")
    taken = decode(WEEK[place]).mark  # type: ignore[union-attr]  # a mark
    whole = MemoryJournal("S", WEEK)
    assert against(whole, f"{taken[:5]} {taken[5:].lower()}") == (
        f"Mark {taken} of {WEEK[place].at} holds: {place} lines, 1 devices."
    )
    for n in range(place + 1):
        with pytest.raises(Damaged) as told:
            against(MemoryJournal("S", WEEK[:n]), taken)
        assert told.value.what == f"No line of this record bears the mark {taken}."
        assert told.value.hint == (
            "Either it was taken from another record, or lines were cut off at the end."
        )


@pytest.mark.parametrize("typed", ["backup.db", "", "TG5B1S0WJ", "TG5B1S0WJ6X", "TG5B1S0WJÅ"])
def test_what_is_no_mark_is_not_said_to_be_missing(typed: str) -> None:
    with pytest.raises(Usage) as told:
        against(MemoryJournal("S", WEEK), typed)
    assert told.value.exit_status == 2
    assert told.value.what == f"{typed!r} is no daybook mark, and no file of that name is there."


def test_a_mark_in_handwriting_is_read_as_it_was_meant() -> None:
    """O, I, L and U stand for 0, 1, 1 and V, which the alphabet has in their place."""
    assert mark_in("tg5b i s o w j 6") == "TG5B1S0WJ6"
    assert mark_in("TG5BL-SOWJU") == "TG5B1S0WJV"


def test_a_line_changed_before_a_mark_shows_by_it_whatever_was_made_to_fit() -> None:
    place = [line.kind for line in WEEK].index("daybook.marked")
    taken = decode(WEEK[place]).mark  # type: ignore[union-attr]  # a mark
    raised_at = [line.kind for line in WEEK].index("defect.raised")
    body = WEEK[raised_at].body.replace(b"hum", b"bum")
    forged = _linked([*WEEK[:raised_at], WEEK[raised_at]._replace(body=body),
                      *WEEK[raised_at + 1 :]], raised_at)  # fmt: skip
    with pytest.raises(Damaged) as told:
        against(MemoryJournal("S", forged), taken)
    assert told.value.what == (
        f"The record is not what mark {taken} was taken over:\n"
        f"  device S, seq {place} is another line now"
    )
    assert any(f"which mark {taken} names, is another line now" in x for x in _attested(forged))


def test_a_chain_of_another_device_cut_below_a_mark_shows_without_any_paper() -> None:
    pen = _week()
    other = MemoryJournal("B", list(pen.journal.chains()))
    raised(replace(pen, journal=other), "IO", "2027-03-10T08:00-03:00")
    both = MemoryJournal("S", list(other.chains()))
    mark(hand(replace(pen, journal=both), "MS", "2027-03-10T09:00-03:00"))
    kept = [line for line in both.chains() if line.device != "B"]
    assert attestations(MemoryJournal("S", kept), Ed25519()) == [
        f"device B, seq 1, which mark {_last_mark(both)} names, is missing: the tail was cut"
    ]


def _last_mark(journal: MemoryJournal) -> str:
    line = list(journal.entries(kind="daybook.marked"))[-1]
    return str(decode(line).mark)  # type: ignore[union-attr]  # a mark


def test_a_mark_is_ten_characters_that_are_told_apart_by_ear_and_hand() -> None:
    assert len(ALPHABET) == 32
    assert not set("ILOU") & set(ALPHABET)
    taken = mark_of(())
    assert len(taken) == LENGTH
    assert set(taken) <= set(ALPHABET)
    assert spelled("A7Z") == "Alfa 7 Zulu"


def test_nothing_is_signed_before_anybody_is_enrolled_and_all_is_after() -> None:
    kinds = {line.kind for line in WEEK if line.signature is not None}
    assert kinds >= {"person.enrolled", "person.witnessed", "fleet.loaded", "defect.action",
                     "defect.cleared"}  # fmt: skip
    assert WEEK[0].kind == "record.made"
    assert WEEK[0].signature is None
    assert {line.kind for line in WEEK if line.kind in ATTESTING} == kinds


def test_tv_4_6_a_clock_put_back_is_named_and_the_order_does_not_follow_it() -> None:
    pen = _week()
    raised(pen, "IO", "2027-03-01T08:00-03:00", "/")
    (note,) = clock_notes(pen.journal)
    assert note == (
        f"device S, seq {len(WEEK) + 1}: stamped 2027-03-01T11:00:00Z, after a line stamped "
        "2027-03-09T13:00:00Z"
    )
    assert _found(list(pen.journal.chains())[: len(WEEK)]) == []
    ticks = [line.tick for line in pen.journal.chains()]
    assert ticks == sorted(ticks)


def _by_a_stranger(lines: list[Entry]) -> list[Entry]:
    key = DemoKeys().make("ZZ", 1, ())
    last = seal(lines[-1]._replace(author="ZZ", digest=b""))
    return [*lines[:-1], last._replace(signature=key.sign(message(last.digest)))]


def _before_its_key(lines: list[Entry]) -> list[Entry]:
    key = DemoKeys().make("LH", 1, ())
    early = seal(lines[0]._replace(device="B", author="LH", tick=1, digest=b"", kind="fit.adopted",
                         body=lines[-1].body))  # fmt: skip
    return [*lines, early._replace(signature=key.sign(message(early.digest)))]


@pytest.mark.parametrize(
    ("forge", "what"),
    [(_by_a_stranger, "bears a signature of ZZ, who is not enrolled"),
     (_before_its_key, "LH signed with a key that was given later")],
)  # fmt: skip
def test_a_signature_of_the_wrong_person_or_time_is_found(
    forge: Callable[[list[Entry]], list[Entry]], what: str
) -> None:
    lines = forge(list(WEEK))
    found = [str(x) for x in wrong(lines, _record(), Ed25519().fits)]
    assert any(x.endswith(what) for x in found)


def test_a_decision_that_changed_while_somebody_was_signing_is_not_written() -> None:
    """Nobody signs what they have not seen: TV 4.12."""
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T08:00-03:00")
    acted(hand(pen, "BT", "2027-03-08T09:00-03:00"), number, Done(text="x"), by=By(doer="BT"))

    class Slow(DemoKeys):
        def unlock(self, person: str, public: str, says: Sequence[str]) -> Unlocked:
            acted(hand(pen, "YB", "2027-03-08T09:59-03:00"), number, Done(text="more"),
                  by=By(doer="YB"))  # fmt: skip
            return super().unlock(person, public, says)

    slow = hand(pen, "DQ", "2027-03-08T10:00-03:00", signer=Slow())
    with pytest.raises(Refusal) as told:
        act(slow, number, "clear", ("seen",), by=By(doer="DQ"))
    assert told.value.lines() == (
        "Something was added to QM-161 while you were signing.",
        "Rule: nobody signs what they have not seen",
        "Nothing was written.",
        "Look again and sign again.",
    )


def test_scenario_67_doer_and_inspector_on_one_device_within_a_minute_are_named() -> None:
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T08:00-03:00")
    acted(hand(pen, "BT", "2027-03-08T09:00-03:00"), number, Done(text="x"), by=By(doer="BT"))
    act(hand(pen, "DQ", "2027-03-08T09:01-03:00"), number, "clear", ("seen",), by=By(doer="DQ"))
    last = len(list(pen.journal.chains()))
    assert notes(pen.journal) == [
        f"S-{last}: DQ cleared S-{last - 1} of BT on the same device within a minute"
    ]
    assert notes(_week().journal) == []
