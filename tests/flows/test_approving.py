"""Fits and lists go into force by their author and a second person, who is another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from builders import Watch, begun, checklist, papers, step, steps
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import Refusal, Usage
from hardstand.flows.adopting import Paper, begin_record, lists
from hardstand.flows.approving import approve
from hardstand.flows.attested import attestations
from hardstand.flows.pen import Pen
from hardstand.flows.withdrawing import Asked, withdraw
from hardstand.system.keys import DemoKeys, Ed25519, Unlocked
from memory import MemoryJournal
from quennock_record import founded, hand


def _pen(author: str = "ÅL", *, demo: bool = False) -> Pen:
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author=author)
    begin_record(pen, demo=demo, program="test")
    return pen


def test_each_paper_is_followed_by_the_second_persons_own_line() -> None:
    pen = _pen()
    written = approve(pen, papers()[1:], "dq")
    assert [(e.kind, e.author) for e in written] == [
        ("fit.adopted", "ÅL"),
        ("paper.seconded", "DQ"),
        ("checklist.adopted", "ÅL"),
        ("paper.seconded", "DQ"),
    ]
    adopted, seconded = (decode(e) for e in written[2:])
    assert isinstance(adopted, b.Adopted)
    assert seconded == b.Seconded(
        id="T-PRE", revision="1", digest=adopted.digest, by=b.By(doer="DQ")
    )
    assert [c.id for c in lists(pen.journal).current.values()] == ["T-PRE"]


@pytest.mark.parametrize("second", ["ÅL", "ål", " ål "])
@pytest.mark.parametrize("demo", [False, True])
def test_the_author_is_not_the_second_person_too_in_a_demo_record_either(
    second: str, demo: bool
) -> None:
    pen = _pen(demo=demo)
    with pytest.raises(Refusal) as raised:
        approve(pen, papers()[1:], second)
    assert raised.value.lines() == (
        "ÅL is the author and cannot be the second person too.",
        "Rule: what is put in force was read by two people",
        "Who could: anybody but ÅL",
        "Nothing was written.",
    )
    assert [e.kind for e in pen.journal.chains()] == ["record.made"]


@pytest.mark.parametrize(
    ("typed", "said"),
    [("", "A second person is needed."), ("7", "--second '7' names nobody.")],
)
def test_without_a_second_person_nothing_goes_into_force(typed: str, said: str) -> None:
    pen = _pen()
    with pytest.raises(Usage) as raised:
        approve(pen, papers()[1:], typed)
    assert raised.value.lines() == (
        said, "Whoever read the text against the approved manual: --second DQ",
    )  # fmt: skip
    assert [e.kind for e in pen.journal.chains()] == ["record.made"]


def test_a_revision_that_asks_over_a_tenth_more_says_why() -> None:
    """15 steps of a minute; two more are 13 percent."""
    pen = begun(MemoryJournal())
    more = (*steps(), step("more", "log"), step("yet-more", "log"))
    longer = checklist(listed=more, revision="2")
    with pytest.raises(Refusal) as raised:
        approve(pen, papers(listed=longer)[2:], "DQ")
    assert raised.value.lines() == (
        "T-PRE 2 asks over a tenth more than 1: steps 15 to 17, minutes 15 to 17.",
        "Rule: burden that nobody can give a reason for is walked past",
        "Nothing was written.",
        "Say why under `revision_reason`, or take something out.",
    )
    said = replace(longer, revision_reason="the finding of 3 March")
    approve(pen, papers(listed=said)[2:], "DQ")
    assert [c.revision for c in lists(pen.journal).current.values()] == ["2"]


def test_what_was_withdrawn_does_not_come_back_under_its_name() -> None:
    pen = begun(MemoryJournal())
    withdraw(pen, Asked(id="T-PRE", revision="1", reason="wrong limit", not_touched={}), by=b.By(
        doer="IO"
    ))  # fmt: skip
    with pytest.raises(Refusal) as raised:
        approve(pen, papers()[2:], "DQ")
    assert raised.value.lines() == (
        "T-PRE revision 1 was withdrawn: wrong limit",
        "Rule: what was withdrawn comes back mended, under a new revision",
        "Nothing was written.",
        "Mend it and raise `revision` in the file.",
    )
    approve(pen, papers(listed=checklist(revision="2"))[2:], "DQ")
    assert [c.revision for c in lists(pen.journal).current.values()] == ["2"]


# -- where people are enrolled ---------------------------------------------------------------------


def _revised() -> tuple[Paper, ...]:
    return papers(listed=checklist(revision="2"))[2:]


def test_author_and_second_person_each_sign_their_own_line() -> None:
    pen = hand(founded(), "ÅL", "2027-03-02T09:00-03:00")
    adopted, seconded = approve(pen, _revised(), "DQ")
    assert (adopted.author, seconded.author) == ("ÅL", "DQ")
    assert adopted.signature is not None
    assert seconded.signature is not None
    assert attestations(pen.journal, Ed25519()) == []


class _Overheard(DemoKeys):
    """Keys of the demo that keep what each person was shown before their passphrase."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: dict[str, list[str]] = {}

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Unlocked:
        self.shown[person] = list(says)
        return super().unlock(person, public, says)


def test_each_is_shown_what_they_sign_by_revision_and_digest_and_the_second_what_differs() -> None:
    keys = _Overheard()
    pen = hand(replace(founded(), signer=keys), "ÅL", "2027-03-02T09:00-03:00")
    approve(pen, _revised(), "DQ")
    old = steps()
    mended = (*(replace(s, good="Cleaner.") if s is old[3] else s for s in old), step("x", "log"))
    third = papers(listed=checklist(revision="3", listed=mended, revision_reason="asked for"))[2:]
    approve(pen, third, "DQ")
    digest = _digest(pen, "3")
    assert keys.shown["DQ"][-3:] == [
        "T-PRE 3 against 2: 1 added, 1 changed. `hardstand checklist compare` shows each.",
        f"To be signed: paper seconded T-PRE 3 digest {digest}",
        (
            "Your signature means: I read this text against the approved manual, and it is as "
            "written there. It is one step of the record and does not release the aircraft."
        ),
    ]
    assert keys.shown["ÅL"][-2] == f"To be signed: checklist adopted T-PRE 3 digest {digest}"


def _digest(pen: Pen, revision: str) -> str:
    known = lists(pen.journal)
    return next(d for d, c in known.by_digest.items() if c.revision == revision)[:12]


@pytest.mark.parametrize(
    ("second", "rule"),
    [
        ("AF", "it needs author or chief or inspector or crew lead; AF is pilot"),
        ("JW", "an administrator signs no maintenance"),
        ("ZZ", "ZZ is not enrolled in this record"),
    ],
)
def test_only_somebody_who_reads_manuals_seconds_and_the_attempt_is_kept(
    second: str, rule: str
) -> None:
    pen = hand(founded(), "ÅL", "2027-03-02T09:00-03:00")
    with pytest.raises(Refusal) as raised:
        approve(pen, _revised(), second)
    assert raised.value.what == f"{second} does not second these."
    assert raised.value.rule == rule
    assert raised.value.safe == "Nothing was changed; the attempt is in the record."
    assert [c.revision for c in lists(pen.journal).current.values()] == ["1"]
    (attempt,) = pen.journal.entries(kind="attempt.refused")
    assert decode(attempt) == b.AttemptRefused(
        deed="second", number="", rule=rule, by=b.By(doer="ÅL")
    )


def test_a_withdrawal_is_signed_and_only_an_authors_or_chiefs() -> None:
    pen = hand(founded(), "ÅL", "2027-03-02T09:00-03:00")
    asked = Asked(id="T-PRE", revision="1", reason="wrong", not_touched={})
    with pytest.raises(Refusal) as raised:
        withdraw(replace(pen, author="BT"), asked, by=b.By(doer="BT"))
    assert raised.value.lines() == (
        "T-PRE 1 was not withdrawn.",
        "Rule: it needs author or chief; BT is technician, crew lead",
        f"Who could: {raised.value.who_could}",
        "Nothing was changed; the attempt is in the record.",
    )
    assert "ÅL" in raised.value.who_could
    withdraw(pen, asked, by=b.By(doer="ÅL"))
    (line,) = pen.journal.entries(kind="checklist.withdrawn")
    assert line.signature is not None
    assert attestations(pen.journal, Ed25519()) == []
