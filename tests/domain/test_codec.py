"""Every body there and back; what this version does not know is kept and named."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given

from builders import entry
from hardstand.domain import bodies as b
from hardstand.domain.bodies import KINDS, By
from hardstand.domain.codec import decode, encode, kind_of
from hardstand.domain.plain import from_plain
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


@pytest.mark.parametrize(("kind", "version"), [("walk.flown", 1), ("walk.broken", 2)])
def test_a_kind_or_version_from_the_future_is_unknown_and_not_an_error(
    kind: str, version: int
) -> None:
    known = entry(b.WalkBroken(step="", by=By(doer="IO")))
    future = replace(known, kind=kind, version=version, body=b"not even JSON")
    assert decode(future) == b.Unknown(kind=kind, version=version)


def test_stored_bytes_that_are_no_such_body_are_an_error_that_names_the_fields() -> None:
    known = entry(b.WalkBroken(step="", by=By(doer="IO")))
    with pytest.raises(ValueError, match=r"^WalkBroken does not read: by, stepp$"):
        decode(replace(known, body=b'{"step":"","stepp":""}'))
