"""The chain: byte-exact digests, and every way a stored chain can be wrong named by its place."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import IO, MORNING, chain, entry
from hardstand.domain import bodies as b
from hardstand.domain.chain import ZERO, Break, Head, digest_of, preimage, seal, verify
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant


def _raised(n: int) -> b.DefectRaised:
    return b.DefectRaised(number=f"161-A{n:02d}", symbol="/", text=f"fault {n}", by=IO)


def _chain(length: int = 5, device: str = "A") -> list[Entry]:
    return chain([_raised(n) for n in range(1, length + 1)], device=device)


def _with(line: Entry, field: str, value: Any) -> Entry:
    return line._replace(**{field: value})


def _heads(entries: Sequence[Entry]) -> dict[str, Head]:
    return {e.device: Head(e.seq, e.digest, e.tick) for e in entries}


def _said(entries: Sequence[Entry], heads: dict[str, Head]) -> list[str]:
    return [str(found) for found in verify(entries, heads)]


def test_the_digest_is_sha_256_over_the_bytes_the_record_format_lists() -> None:
    body = b'{"by":{"doer":"IO"},"step":"safe"}'
    by_hand = (
        b"hardstand/entry/1\n"
        b"A\n7\n12\n2027-03-08T08:00:00Z\n\xc3\x85L\nQM-161\n\nwalk.broken\n1\n" + ZERO + body
    )
    line = Entry("A", 7, 12, MORNING, "ÅL", "QM-161", None, "walk.broken", 1, body, ZERO, b"")
    assert preimage(line) == by_hand
    assert seal(line).digest == hashlib.sha256(by_hand).digest()
    assert digest_of(seal(line)) == seal(line).digest


@pytest.mark.parametrize("field", ["device", "at", "author", "airframe", "walk", "kind"])
@pytest.mark.parametrize("text", ["", "a\nb"])
def test_a_header_field_that_could_make_two_lines_look_alike_is_not_sealed(
    field: str, text: str
) -> None:
    line = _with(entry(_raised(1), walk="A1"), field, text)
    with pytest.raises(ValueError, match=r"^a header field of an entry cannot hold a line end"):
        seal(line)


@given(st.data())
def test_two_lines_that_differ_in_any_hashed_field_have_two_digests(data: st.DataObject) -> None:
    words = st.text(st.characters(exclude_characters="\n"), min_size=1, max_size=4)
    field = data.draw(st.sampled_from(["device", "at", "author", "airframe", "walk", "kind"]))
    line = entry(_raised(1), walk="A1")
    changed = data.draw(words.filter(lambda w: w != getattr(line, field)))
    assert digest_of(_with(line, field, changed)) != line.digest


def test_a_sound_chain_has_no_break_and_an_empty_record_neither() -> None:
    entries = [*_chain(5, "A"), *_chain(3, "B")]
    assert _said(entries, _heads(entries)) == []
    assert _said([], {}) == []


def test_each_kind_of_damage_is_named_by_device_and_seq() -> None:
    good = _chain(5)
    heads = _heads(good)
    changed = [*good[:2], good[2]._replace(author="XX"), *good[3:]]
    assert _said(changed, heads) == ["device A, seq 3: was changed after it was written"]
    dropped = [*good[:2], *good[3:]]
    assert _said(dropped, heads) == [
        "device A, seq 4: expected seq 3 here; a line is missing or out of place"
    ]
    first = good[1:]
    assert _said(first, heads) == [
        "device A, seq 2: expected seq 1 here; a line is missing or out of place"
    ]
    swapped = [good[0], good[2]._replace(seq=2), good[1]._replace(seq=3), *good[3:]]
    assert _said(swapped, heads)[0] == "device A, seq 2: does not follow the line before it"


def test_the_loss_of_the_last_lines_is_told_from_what_the_record_remembers() -> None:
    good = _chain(5)
    assert _said(good[:4], _heads(good)) == [
        "device A, seq 5: the chain ends at seq 4, the record remembers seq 5"
    ]
    assert _said([], _heads(good)) == [
        "device A, seq 5: the chain ends at seq 0, the record remembers seq 5"
    ]
    assert _said(good, {}) == ["device A, seq 5: the record remembers another end of this chain"]


def test_a_last_line_made_anew_does_not_match_what_the_record_remembers() -> None:
    good = _chain(5)
    forged = seal(good[4]._replace(author="XX"))
    assert _said([*good[:4], forged], _heads(good)) == [
        "device A, seq 5: the record remembers another end of this chain"
    ]


def test_a_tick_that_does_not_grow_is_named() -> None:
    good = _chain(2)
    late = seal(good[1]._replace(tick=1))
    assert _said([good[0], late], _heads([late])) == [
        "device A, seq 2: its tick does not come after the line before it"
    ]


def test_empty_text_in_place_of_nothing_is_named_though_the_digest_is_the_same() -> None:
    line = entry(_raised(1))
    forged = line._replace(walk="")
    assert digest_of(forged) == line.digest
    assert _said([forged], _heads([line])) == [
        "device A, seq 1: a field holds what no line of a record can hold"
    ]


def test_bytes_moved_from_the_body_into_the_link_are_named() -> None:
    line = entry(_raised(1))
    forged = line._replace(prev=line.prev + line.body[:1], body=line.body[1:])
    assert digest_of(forged) == line.digest
    assert next(verify([forged], _heads([line]))) == Break(
        "A", 1, "does not follow the line before it"
    )


def test_damage_on_one_device_leaves_the_others_good() -> None:
    one, other = _chain(3, "A"), _chain(3, "B")
    broken = [*one, other[0], other[1]._replace(at=Instant("2027-03-08T09:00:00Z")), other[2]]
    assert _said(broken, _heads([*one, *other])) == [
        "device B, seq 2: was changed after it was written"
    ]
