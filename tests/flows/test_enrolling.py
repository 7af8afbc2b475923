"""The register: founded by two, enlarged by two, and nobody in it twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from builders import Watch, papers
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.defects import Done
from hardstand.domain.people import Role, clash, find, proposal
from hardstand.domain.quantity import Instant
from hardstand.errors import NotThere, Refusal, Usage, WrongPassphrase
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.enrolling import Newcomer, disown, end, enrol, grant, rekey
from hardstand.flows.granting import read
from hardstand.flows.logging_defects import act, acted
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.ports import Signer
from hardstand.system.keys import DemoKeys
from memory import MemoryJournal
from quennock_record import founded, hand, raised
from quick_keys import Spoken, cheap_keys

NOW = Instant("2027-03-11T08:00:00Z")
MONDAY = "2027-03-08T05:00-03:00"


def _empty(signer: Signer | None = None, author: str = "LH") -> Pen:
    pen = Pen(journal=MemoryJournal("A"), clock=Watch(at=NOW, step=0), author=author,
              signer=signer or DemoKeys())  # fmt: skip
    begin_record(pen, demo=True, program="test")
    return pen


def _new(initials: str, *roles: Role, name: str = "Some Body", until: str = "") -> Newcomer:
    granted = tuple(b.Granted(role=role, since=NOW, until=until) for role in roles)
    return Newcomer(initials=initials, name=name, granted=granted)


def _names(pen: Pen) -> list[str]:
    return [p.initials for p in pen.journal.record().people]


def _refused(call: Callable[[], object]) -> Refusal:
    with pytest.raises(Refusal) as told:
        call()
    return told.value


def test_the_first_two_people_found_the_register_and_the_third_takes_both() -> None:
    pen = _empty()
    assert enrol(pen, _new("LH", "chief", name="Lena Haugvik")) == (
        "LH, Lena Haugvik, is enrolled: chief."
    )
    enrol(pen, _new("JW", "administrator"))
    alone = _refused(lambda: enrol(pen, _new("DQ", "inspector")))
    assert alone.lines() == (
        "The register stays as it is.",
        "Rule: it needs a witness with line authority, who signs as well",
        "Who could: nobody enrolled now",
        "Nothing was changed; the attempt is in the record.",
    )
    enrol(replace(pen, author="JW"), _new("DQ", "inspector"), witness="LH")
    assert _names(pen) == ["LH", "JW", "DQ"]
    kinds = [line.kind for line in pen.journal.entries()]
    assert kinds == [
        "record.made", "person.enrolled", "person.enrolled", "attempt.refused", "person.enrolled",
        "person.witnessed",
    ]  # fmt: skip


def test_the_first_person_can_enrol_others_or_is_not_the_first() -> None:
    told = _refused(lambda: enrol(_empty(), _new("DQ", "inspector")))
    assert (told.what, told.rule) == (
        "The first person of a record is administrator or chief.",
        "whoever founds the register enrols the next",
    )


def test_the_second_person_is_enrolled_by_the_first_and_can_go_on_with_them() -> None:
    pen = _empty()
    enrol(pen, _new("JW", "administrator"))
    told = _refused(lambda: enrol(hand(pen, "JW", MONDAY), _new("DQ", "inspector")))
    assert told.what == "JW and DQ could not enrol a third person."
    told = _refused(lambda: enrol(pen, _new("LH", "chief")))
    assert told.rule == "the second person is enrolled by the first"


def test_scenario_70_initials_that_are_taken_or_look_so_are_refused_and_a_longer_one_offered() -> (
    None
):
    pen = founded()
    admin = hand(pen, "JW", MONDAY)
    new = _new("BT", "technician", name="Bettina Traskova")
    told = _refused(lambda: enrol(admin, new, witness="LH"))
    assert told.what == "BT are the initials of Bram Tolliver."
    assert told.hint == "Free: BTRA"
    cyrillic = _refused(lambda: enrol(admin, _new("ВТ", "technician"), witness="LH"))
    assert cyrillic.what == "ВТ are the initials of Bram Tolliver."


def test_tv_4_8_and_scenario_68_a_leavers_initials_are_never_given_again() -> None:
    pen = founded()
    jw = hand(pen, "JW", "2027-03-10T16:00-03:00")
    assert end(jw, "NH", Instant("2027-03-10T20:00:00Z"), "leaves") == (
        "The authority of NH ends 2027-03-10 17:00 -03:00. Their initials are never given again."
    )
    later = hand(pen, "JW", "2029-01-01T09:00-03:00")
    told = _refused(lambda: enrol(later, _new("NH", "technician"), witness="LH"))
    assert told.rule == ("initials are one person's for ever, so that every line says who wrote it")


def test_scenario_68_authority_ends_at_its_time_and_what_was_signed_before_holds() -> None:
    pen = founded()
    number = raised(pen, "IO", MONDAY)
    act(hand(pen, "NH", "2027-03-10T16:50-03:00"), number, "action", ("done",), by=By(doer="NH"))
    end(hand(pen, "JW", "2027-03-10T18:00-03:00"), "NH", Instant("2027-03-10T20:00:00Z"), "leaves")
    person = find(pen.journal.record().people, "NH")
    assert person is not None
    assert person.holds("technician", Instant("2027-03-10T19:59:59Z"))
    assert not person.holds("technician", Instant("2027-03-10T20:00:00Z"))
    item = pen.journal.facts("QM-161").entry(number)
    assert item is not None
    assert (item.state, item.disputes) == ("action_recorded", ())


def test_nobody_gives_themselves_authority_or_witnesses_for_themselves() -> None:
    pen = founded()
    chief = hand(pen, "LH", MONDAY)
    inspector = b.Granted(role="inspector", since=NOW)
    told = _refused(lambda: grant(chief, "LH", inspector, "short of hands", witness="MS"))
    assert told.rule == "nobody gives themselves authority or a key"
    told = _refused(lambda: grant(chief, "MS", inspector, "short of hands", witness="MS"))
    assert told.rule == "MS has a part in it and cannot witness it"
    told = _refused(lambda: grant(chief, "YB", inspector, "short of hands", witness="LH"))
    assert told.rule == "LH has a part in it and cannot witness it"
    told = _refused(lambda: grant(chief, "YB", inspector, "short of hands", witness="BT"))
    assert told.rule == "it needs chief or shift lead; BT is technician, crew lead"
    told = _refused(lambda: grant(hand(pen, "MS", MONDAY), "BT", inspector, "x", witness="OH"))
    assert told.rule == "it needs administrator or chief; MS is shift lead"


def test_an_administrator_holds_no_role_on_the_line() -> None:
    pen = founded()
    told = _refused(
        lambda: grant(hand(pen, "LH", MONDAY), "JW", b.Granted(role="inspector", since=NOW), "x",
                      witness="MS")
    )  # fmt: skip
    assert (told.what, told.rule) == (
        "JW cannot be administrator and inspector.", "an administrator signs no maintenance",
    )  # fmt: skip


def test_a_role_is_given_from_a_day_to_a_day_and_ended_without_a_witness() -> None:
    pen = founded()
    admin = hand(pen, "JW", "2027-03-08T09:00-03:00")
    (given,) = read(admin, ["inspector:T"], since="2027-03-09", until="2027-03-12")
    assert grant(admin, "BTR", given, "passed", witness="LH") == "BTR: inspector."
    person = find(pen.journal.record().people, "BTR")
    assert person is not None
    ends = Instant("2027-03-13T03:00:00Z")
    assert not person.holds("inspector", Instant("2027-03-09T02:59:59Z"), "T")
    assert person.holds("inspector", Instant("2027-03-13T02:59:59Z"), "T")
    assert not person.holds("inspector", ends, "T")
    assert not person.holds("inspector", Instant("2027-03-10T12:00:00Z"), "V")
    (over,) = read(admin, ["inspector"], end="2027-03-10T12:00-03:00")
    assert grant(admin, "BTR", over, "failed") == "BTR: no longer inspector."
    after = find(pen.journal.record().people, "BTR")
    assert after is not None
    assert not after.holds("inspector", Instant("2027-03-10T15:00:00Z"), "T")
    assert after.holds("inspector", Instant("2027-03-10T14:59:59Z"), "T")


def test_authority_is_never_given_for_a_time_before_it_was_written() -> None:
    """Scenario 74: back-dating is not possible."""
    pen = founded()
    given = b.Granted(role="inspector", since="2020-01-01T00:00:00Z")
    grant(hand(pen, "JW", MONDAY), "BTR", given, "passed", witness="LH")
    person = find(pen.journal.record().people, "BTR")
    assert person is not None
    assert not person.holds("inspector", Instant("2027-03-08T07:59:59Z"))
    assert person.holds("inspector", Instant("2027-03-08T08:00:00Z"))


def test_nobody_leaves_who_is_needed_to_enrol_another() -> None:
    pen = _empty()
    enrol(pen, _new("LH", "chief"))
    enrol(pen, _new("JW", "administrator"))
    told = _refused(lambda: end(pen, "JW", NOW, "leaves"))
    assert told.what == "JW cannot go: nobody would be left who could enrol another."


def test_row_28_a_new_key_takes_an_administrator_and_a_witness_with_line_authority() -> None:
    pen = founded()
    admin = hand(pen, "JW", "2027-03-11T05:00-03:00")
    alone = _refused(lambda: rekey(admin, "YB", "forgotten"))
    assert alone.rule == "it needs a witness with line authority, who signs as well"
    assert alone.who_could == ("LH (chief), MS (shift lead), OH (shift lead)")
    own = _refused(lambda: rekey(admin, "YB", "forgotten", witness="YB"))
    assert own.rule == "it needs chief or shift lead; YB is technician, inspector"
    rekey(hand(pen, "JW", "2027-03-11T05:03-03:00"), "YB", "forgotten", witness="MS")
    person = find(pen.journal.record().people, "YB")
    assert person is not None
    assert len(person.keys) == 2
    assert person.keys[0].replaced is not None


def test_scenario_66_a_new_key_signs_and_the_old_one_does_no_longer(tmp_path: Path) -> None:
    pen = _live(tmp_path)
    number = raised(pen, "YB", MONDAY)
    signer = cheap_keys(tmp_path, "the old one", "the new one", "the new one", "admin word",
                        "chief word", "the old one", "the new one")  # fmt: skip
    yusuf = hand(pen, "YB", "2027-03-11T04:00-03:00", signer=signer)
    act(yusuf, number, "action", ("one",), by=By(doer="YB"))
    rekey(hand(pen, "JW", "2027-03-11T05:03-03:00", signer=signer), "YB", "forgot", witness="LH")
    later = hand(pen, "YB", "2027-03-11T06:00-03:00", signer=signer)
    with pytest.raises(WrongPassphrase):
        act(later, number, "action", ("two",), by=By(doer="YB"))
    act(later, number, "action", ("two",), by=By(doer="YB"))
    assert [x.kind for x in pen.journal.entries()][-3:] == [
        "person.witnessed", "attempt.refused", "defect.action",
    ]  # fmt: skip


def _live(folder: Path) -> Pen:
    """A live record with key files of five people; their passphrases end in `word`."""
    said = ["chief word", "chief word", "admin word", "admin word", "chief word", "the old one",
            "the old one", "admin word", "chief word"]  # fmt: skip
    pen = Pen(journal=MemoryJournal("A"), clock=Watch(at=Instant("2027-01-01T00:00:00Z"), step=0),
              author="LH", signer=cheap_keys(folder, *said))  # fmt: skip
    begin_record(pen, demo=False, program="test")
    adopt(pen, papers())
    enrol(pen, _early("LH", "chief"))
    enrol(pen, _early("JW", "administrator"))
    enrol(hand(pen, "JW", "2027-01-02T00:00-03:00"), _early("YB", "technician"), witness="LH")
    return pen


def _early(initials: str, role: Role) -> Newcomer:
    granted = (b.Granted(role=role, since="2027-01-01T00:00:00Z"),)
    return Newcomer(initials=initials, name="Some Body", granted=granted)


def test_a_live_record_takes_no_demo_key(tmp_path: Path) -> None:
    pen = Pen(journal=MemoryJournal("A"), clock=Watch(at=NOW, step=0), author="LH",
              signer=DemoKeys())  # fmt: skip
    begin_record(pen, demo=False, program="test")
    told = _refused(lambda: enrol(pen, _new("LH", "chief")))
    assert told.lines() == (
        "A DEMO key enters no live record.",
        "Rule: the secret of a DEMO key is known to everybody",
        "Nothing was written.",
    )
    assert not list(tmp_path.iterdir())


def test_scenario_73_a_line_that_is_not_mine_stays_and_no_longer_counts() -> None:
    pen = founded()
    number = raised(pen, "IO", MONDAY)
    act(hand(pen, "BT", "2027-03-08T06:00-03:00"), number, "action", ("done",), by=By(doer="BT"))
    act(hand(pen, "DQ", "2027-03-08T07:00-03:00"), number, "clear", ("seen",), by=By(doer="DQ"))
    assert pen.journal.facts("QM-161").open == ()
    ref = [line.ref for line in pen.journal.entries(kind="defect.cleared")][-1]
    with pytest.raises(NotThere):
        disown(hand(pen, "YB", "2027-03-09T07:00-03:00"), ref, "never did")
    said = disown(hand(pen, "DQ", "2027-03-09T07:00-03:00"), ref, "I was not here")
    assert said == f"{ref} stands in doubt: DQ says it is not theirs. Tell the lead."
    (item,) = pen.journal.facts("QM-161").open
    assert item.symbol == "X"
    assert item.disputes[0].text.endswith("does not hold: DQ says this line is not theirs")


def test_scenario_73_whoever_signs_is_told_what_was_signed_in_their_name(tmp_path: Path) -> None:
    pen = _live(tmp_path)
    number = raised(pen, "YB", MONDAY)
    signer = cheap_keys(tmp_path, *["the old one"] * 3)
    spoken = signer._passphrases
    assert isinstance(spoken, Spoken)
    for day in ("08", "09", "16"):
        yusuf = hand(pen, "YB", f"2027-03-{day}T06:00-03:00", signer=signer)
        acted(yusuf, number, Done(text="strap remade"), by=By(doer="YB"))
    told = [line for line in spoken.shown if line.startswith(("Yours", "Not yours"))]
    ref = [e.ref for e in pen.journal.entries(kind="defect.action")]
    done = f"{number}: action recorded: strap remade"
    assert told == [
        f"Yours since Mon 06:00: 1 signed, the last {ref[0]}, Mon 06:00: {done}.",
        "Not yours? hardstand people not-mine LINE WORDS; hardstand record history YB",
    ]


def test_a_line_of_the_register_without_its_witness_counts_for_nothing() -> None:
    pen = founded()
    body = b.PersonRole(
        initials="BTR", granted=b.Granted(role="inspector", since=NOW), reason="x",
        by=By(doer="JW"),
    )  # fmt: skip
    signing = hand(pen, "JW", MONDAY, key=DemoKeys().make("JW", 1, ()))
    with pen.journal.write() as writing:
        write(signing, writing, (body,))
    person = find(pen.journal.record().people, "BTR")
    assert person is not None
    assert not person.holds("inspector", NOW)


def test_a_person_who_witnesses_their_own_enrolment_is_none() -> None:
    pen = founded()
    with pen.journal.write() as writing:
        made = write(
            hand(pen, "JW", MONDAY, key=DemoKeys().make("JW", 1, ())), writing,
            (b.PersonRole(initials="MS", granted=b.Granted(role="inspector", since=NOW),
                          reason="x", by=By(doer="JW")),),
        )  # fmt: skip
        write(
            hand(pen, "MS", MONDAY, key=DemoKeys().make("MS", 1, ())), writing,
            (b.Witnessed(of=made[0].digest.hex(), by=By(doer="MS")),),
        )  # fmt: skip
    person = find(pen.journal.record().people, "MS")
    assert person is not None
    assert not person.holds("inspector", NOW)


@pytest.mark.parametrize(
    ("new", "what"),
    [(_new("B", "pilot"), "'B' is no initials."), (_new("BB"), "A person is enrolled with a role."),
     (_new("BB", "pilot", name=" "), "A person has a name.")],
)  # fmt: skip
def test_what_does_not_read_enrols_nobody(new: Newcomer, what: str) -> None:
    with pytest.raises(Usage) as told:
        enrol(_empty(), new)
    assert told.value.what == what


@pytest.mark.parametrize(
    ("typed", "more", "what"),
    [("boss", {}, "'boss' is no role."),
     ("pilot", {"categories": "BQ"}, "'Q' is no category that is deferred in."),
     ("pilot", {"since": "soon"}, "'soon' is no day and no time with an offset."),
     ("pilot", {"since": "2027-03-09", "until": "2027-03-08"},
      "--to '2027-03-08' is not after the beginning.")],
)  # fmt: skip
def test_roles_that_do_not_read_are_told(typed: str, more: dict[str, str], what: str) -> None:
    with pytest.raises(Usage) as told:
        read(founded(), [typed], **more)
    assert told.value.what == what


def test_roles_are_read_as_people_write_them() -> None:
    (lead,) = read(founded(), ["Shift lead: h, v"], categories="bcd")
    assert (lead.role, lead.fits, lead.categories) == ("shift_lead", ("H", "V"), ("B", "C", "D"))


def test_longer_initials_come_from_the_name() -> None:
    people = founded().journal.record().people
    assert proposal(people, "Bettina Trask") == "BTRA"
    assert proposal(people, "Cher") == ""
    assert clash(people, "bt") is not None
    assert clash(people, "ZZ") is None


def test_the_witness_is_asked_for_their_own_passphrase(tmp_path: Path) -> None:
    pen = _live(tmp_path)
    spoken = Spoken("dellas one", "dellas one", "admin word", "chief word")
    signer = cheap_keys(tmp_path)
    signer._passphrases = spoken
    enrol(hand(pen, "JW", MONDAY, signer=signer), _new("DQ", "inspector"), witness="LH")
    assert spoken.asked == [
        "New passphrase of DQ, 6 characters at least:", "Again, the new passphrase of DQ:",
        "Passphrase of JW:", "Passphrase of LH:",
    ]  # fmt: skip
    assert spoken.shown[-1] == (
        "Your signature means: I stood by, and it was done as written, by and for the people "
        "named. It is one step of the record and does not release the aircraft."
    )
