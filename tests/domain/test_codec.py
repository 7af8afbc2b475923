"""Every body there and back; what this version does not know is kept and named."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given

from builders import entry
from hardstand.domain import bodies as b
from hardstand.domain.bodies import KINDS, By
from hardstand.domain.codec import decode, encode, kind_of
from hardstand.domain.plain import from_plain
from hardstand.errors import Damaged
from strategies import bodies


@pytest.mark.parametrize("cls", sorted(set(KINDS.values()), key=str))
def test_every_body_reads_back_as_it_was_written(cls: type[Any]) -> None:
    @given(bodies(cls))
    def there_and_back(body: Any) -> None:
        kind, version = kind_of(body, "fleet.loaded")
        assert KINDS[kind, version] is cls
        plain = json.loads(encode(body))
        assert from_plain(cls, plain) == body
        assert encode(from_plain(cls, plain)) == encode(body)

    there_and_back()


def test_fields_at_their_default_are_not_written() -> None:
    answered = b.StepAnswered(step="safe", answer="OK", by=By(doer="IO"))
    assert encode(answered) == b'{"answer":"OK","by":{"doer":"IO"},"step":"safe"}'


def test_an_older_form_is_read_and_the_newest_is_written() -> None:
    voided = b.DefectVoided(number="161-A01", reason="mine", by=By(doer="IO"), seen=())
    written = entry(voided)
    assert (written.kind, written.version) == ("defect.voided", 2)
    assert decode(written._replace(version=1)) == voided


@pytest.mark.parametrize(("kind", "version"), [("walk.flown", 1), ("walk.broken", 2)])
def test_a_kind_or_version_from_the_future_is_unknown_and_not_an_error(
    kind: str, version: int
) -> None:
    known = entry(b.WalkBroken(step="", by=By(doer="IO")))
    future = known._replace(kind=kind, version=version, body=b"not even JSON")
    assert decode(future) == b.Unknown(kind=kind, version=version)


@pytest.mark.parametrize(
    ("stored", "why"),
    [
        (b'{"step":"","stepp":""}', "WalkBroken does not read: by, stepp"),
        (b"{", "Expecting property name enclosed in double quotes: line 1 column 2 (char 1)"),
        (b"[]", "'list' object has no attribute 'keys'"),
        (b'{"by":7,"step":""}', "'int' object has no attribute 'keys'"),
    ],
)
def test_stored_bytes_that_are_no_such_body_are_damage_at_a_named_line(
    stored: bytes, why: str
) -> None:
    known = entry(b.WalkBroken(step="", by=By(doer="IO")), device="C", seq=12)
    with pytest.raises(Damaged) as raised:
        decode(known._replace(body=stored))
    assert raised.value.lines() == (
        f"Line C-12 of the record does not read: {why}.",
        "Nothing was written.",
        "Run `hardstand record verify`; keep this file.",
    )


@dataclass(frozen=True)
class _Amount:
    ah: Decimal


def test_two_that_are_equal_and_not_the_same_are_each_written_as_given() -> None:
    assert _Amount(Decimal("1.0")) == _Amount(Decimal("1.00"))
    written = [encode(_Amount(Decimal(text))) for text in ("1.0", "1.00", "1.0")]
    assert written == [b'{"ah":"1.0"}', b'{"ah":"1.00"}', b'{"ah":"1.0"}']
