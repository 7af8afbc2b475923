"""Flights: what a pilot is shown, acceptance and refusal, off-block, back, the report."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain import flight_acts as acts
from hardstand.domain.asking import Ask, Block
from hardstand.domain.authority import may
from hardstand.domain.bodies import By, Late
from hardstand.domain.checklist import Fit
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused, Report
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.flight_acts import Back, Leaving, Taking
from hardstand.domain.flight_facts import Flight, Flown, Outcome, flown_of
from hardstand.domain.mission_advice import one_failure_more
from hardstand.domain.mission_book import FitBook, book_in
from hardstand.domain.quantity import Instant
from hardstand.domain.verdict import Verdict, fit_of, verdict
from hardstand.errors import Usage
from hardstand.flows.adopting import lists
from hardstand.flows.logging_defects import names, the_tail
from hardstand.flows.pen import Pen
from hardstand.flows.queries import Reading, the_airframe
from hardstand.flows.questions import words_ask
from hardstand.flows.recording import record, refusal, write
from hardstand.flows.signing import case_of
from hardstand.ports import Prompter


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What a pilot is shown before taking an aircraft, all of it from the record.

    `read` is read out line by line. `outcomes` say what came of the pilot's own reports. `costs`
    are the units whose loss would end the mission.
    """

    mission: str
    pilot: str
    verdict: Verdict
    flown: Flown
    fit: Fit | None
    record: RecordFacts
    read: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    costs: tuple[str, ...]


def offered(pen: Pen, typed: str, mission: str, pilot: str) -> Offered:
    """The aircraft as a pilot is shown it now.

    Raises:
        NotThere: no such tail.
        Usage: the fit has no such mission.
    """
    tail, known = the_tail(pen, typed), pen.journal.record()
    facts = pen.journal.facts(tail)
    mission = the_mission(pen, facts, known, mission)
    found = _verdict(pen, facts, known)
    costs = one_failure_more(found.known) if found.known else ()
    return Offered(
        mission=mission, pilot=pilot, verdict=found, flown=flown_of(facts), record=known,
        fit=lists(pen.journal).fits.get(found.fit), read=acts.to_read(found, mission),
        outcomes=_outcomes(pen, known, pilot),
        costs=tuple(unit for unit, lost in costs if mission in lost),
    )  # fmt: skip


def _verdict(pen: Pen, facts: AirframeFacts, known: RecordFacts) -> Verdict:
    return verdict(facts, pen.clock.now(), known, {}, trusted=pen.trusted)


def _outcomes(pen: Pen, known: RecordFacts, pilot: str) -> tuple[Outcome, ...]:
    """What came of the pilot's reports on any aircraft, not shown yet, oldest first."""
    every = (o for tail in known.tails for o in flown_of(pen.journal.facts(tail)).outcomes)
    return tuple(sorted((o for o in every if o.pilot == pilot), key=lambda o: o.at))


def the_mission(pen: Pen, facts: AirframeFacts, known: RecordFacts, typed: str) -> str:
    """The mission meant, in the spelling of the fit; any words where the fit has none.

    Raises:
        Usage: the fit has missions, and this is none of them.
    """
    book = _book(pen, facts, known)
    name = typed.strip().upper()
    if book is None or name in book.tasks:
        return name
    raise Usage(
        f"{typed!r} is no mission of fit {fit_of(facts, pen.clock.now(), known)}.",
        hint=f"One of {', '.join(book.tasks)}.",
    )


def _book(pen: Pen, facts: AirframeFacts, known: RecordFacts) -> FitBook | None:
    book = book_in(known, fit_of(facts, pen.clock.now(), known))
    return book if book is not None and book.tasks else None


# -- acceptance ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A list that was printed and signed in ink: when it was printed, and when signed."""

    list_of: Instant
    made_at: Instant


def accept(
    pen: Pen, shown: Offered, read: Sequence[str], *, by: By, paper: Paper | None = None
) -> str:
    """The pilot takes the aircraft on the list shown; what was written, in words.

    Raises:
        Refusal: an X stands, limits were not read out, or an entry waits for a ruling; or
            something was added to the list meanwhile.
    """
    tail, known = shown.verdict.tail, pen.journal.record()
    asked = Taking(
        mission=shown.mission, read=tuple(read), paper=paper is not None,
        told=tuple(o.number for o in shown.outcomes),
        list_of=paper.list_of if paper else shown.verdict.as_of,
    )  # fmt: skip
    hands = by
    if paper is not None:
        hands = replace(by, late=Late(made_at=paper.made_at, typist=pen.author))

    def decide(facts: AirframeFacts) -> Sequence[b.Body] | Refused:
        now = _verdict(pen, facts, known)
        if paper is None and acts.listed(now) != acts.listed(shown.verdict):
            return Refused(
                what=f"the list of {tail} has changed since it was shown",
                rule="a pilot signs for the list shown",
                hint=f"hardstand accept {tail} {shown.mission}",
            )
        return acts.accept(now, facts, asked, hands, case_of(pen, known, facts))

    record(pen, tail, decide)
    _note_told(pen, shown, by)
    count = len(shown.verdict.open)
    entries = "1 open entry" if count == 1 else f"{count or 'no'} open entries"
    return f"{by.doer} has accepted {tail} for {shown.mission}, on a list of {entries}."


def _note_told(pen: Pen, shown: Offered, by: By) -> None:
    """Keep, on each aircraft, that its reporter was told what came of the report."""
    numbers = {o.number for o in shown.outcomes}
    for tail in shown.record.tails:
        here = [o for o in flown_of(pen.journal.facts(tail)).outcomes if o.number in numbers]
        if here:
            told = tuple(b.PilotTold(number=o.number, pilot=o.pilot, by=by) for o in here)
            with pen.journal.write() as writing:
                write(pen, writing, told, tail=tail)


def refuse(pen: Pen, shown: Offered, words: str, *, by: By) -> str:
    """The pilot does not take the aircraft; what was written, in words."""
    tail = shown.verdict.tail
    record(pen, tail, lambda facts: acts.refuse(facts, shown.mission, words, by))
    return f"{by.doer} does not take {tail} for {shown.mission}. {tail} stands as it did."


def paper(made_at: Instant | None, list_of: Instant | None) -> Paper:
    """A list signed in ink, as typed.

    Raises:
        Usage: one of the two times is missing.
    """
    if made_at is None or list_of is None:
        raise Usage(
            "A list signed on paper needs both its times.",
            hint="--paper when it was signed, --list-of when it was printed",
        )
    return Paper(list_of=list_of, made_at=made_at)


CHOICES = ("take it on this list", "do not take it")
"""What a pilot answers; one key each, so that a no is as quick as a yes."""


def ask(pen: Pen, shown: Offered, screen: Sequence[str], prompter: Prompter, *, by: By) -> str:
    """Show the four lines, read out what limits, take one key; what was written, in words.

    Raises:
        Refusal: an X stands, or an entry waits for a ruling.
        Interrupted: the person left.
    """
    stands = acts.stands_against(shown.verdict)
    if stands is not None:
        raise refusal(stands)
    blocks = tuple(Block(kind="line", text=line) for line in screen)
    for line in shown.read:
        card = Ask(
            blocks=(*blocks, Block(kind="say", text=line)), keys="C", whole=True,
            words=(("C", "read out"),), prompt="Read it aloud:",
        )  # fmt: skip
        prompter.ask(card)
        blocks = ()
    picked = prompter.ask(Ask(blocks=blocks, choices=CHOICES, prompt="Which?"))
    if picked == "1":
        return accept(pen, shown, shown.read, by=by)
    return refuse(pen, shown, prompter.ask(words_ask("Words, or none:")).strip(), by=by)


# -- off-block and back ----------------------------------------------------------------------------


def out(
    pen: Pen, typed: str, mission: str, pilot: str, *, off: Instant | None, by: By, words: str = ""
) -> str:
    """The aircraft left; what was written, and what was out of order, in words.

    Raises:
        Refusal: it is in the air already, by the record.
        NotThere: no such tail.
        Usage: the fit has no such mission.
    """
    tail, known = the_tail(pen, typed), pen.journal.record()
    facts = pen.journal.facts(tail)
    name = the_mission(pen, facts, known, mission)
    book = _book(pen, facts, known)
    asked = Leaving(
        mission=name, pilot=pilot, off=off or pen.clock.now(), words=words,
        uses_radio=book is None or book.tasks[name].asks > 0,
    )  # fmt: skip
    record(pen, tail, _entitled(pen, known, by, lambda now: acts.begin(now, asked, by)))
    flown = flown_of(pen.journal.facts(tail))
    odd = [i for i in flown.irregular if i.off == asked.off]
    said = "".join(f"\nIRREGULARITY: {'; '.join(i.texts)}. A chief is told." for i in odd)
    return f"{tail} left for {name} with {pilot}, flight {flown.begun} of it.{said}"


def back(pen: Pen, typed: str, asked: Back, *, on: Instant | None, by: By) -> str:
    """The aircraft is back, or its report comes afterwards; what was written, in words.

    Args:
        pen: who writes where.
        typed: the tail.
        asked: what the pilot says.
        on: on-block; the time now if the aircraft is in the air by the record.
        by: whose hands.

    Raises:
        Refusal: it is not in the air, by the record.
        NotThere: no such tail.
    """
    tail, known = the_tail(pen, typed), pen.journal.record()

    def decide(now: AirframeFacts) -> Sequence[b.Body] | Refused:
        landed = on or (pen.clock.now() if flown_of(now).aloft else None)
        return acts.end(now, replace(asked, on=landed), device=pen.device, by=by)

    written = record(pen, tail, _entitled(pen, known, by, decide))
    raised = [x.number for x in map(decode, written) if isinstance(x, b.SymbolRaised)]
    told = _back(tail, flown_of(pen.journal.facts(tail)).last[-1])
    return "\n".join(
        [told, *(f"{n} was circled for one operation; it is X again." for n in raised)]
    )


def _back(tail: str, last: Flight) -> str:
    if last.said == "owed":
        return f"{tail} is back. REPORT OWED by {last.pilot}: hardstand flight in {tail}"
    if last.said == "none known":
        return f"{tail} is back; no defect known."
    return f"{tail} is back; reported: {', '.join(last.entries)}."


def _entitled(
    pen: Pen, known: RecordFacts, by: By,
    decide: Callable[[AirframeFacts], Sequence[b.Body] | Refused],
) -> Callable[[AirframeFacts], Sequence[b.Body] | Refused]:  # fmt: skip
    def decided(facts: AirframeFacts) -> Sequence[b.Body] | Refused:
        barred = may("raise", by.doer, case_of(pen, known, facts))
        if barred is not None:
            return Refused(
                what=f"{by.doer} writes nothing of {facts.tail}",
                rule=barred.rule, who_could=barred.who_could, deed="raise",
            )  # fmt: skip
        return decide(facts)

    return decided


ASKED = (
    "Which set, band or channel, and how the switches stood:",
    "What happened, and when in the flight:",
    "Steady or in and out; generator, weather:",
    "What you tried, and who could hear you:",
)
"""The four questions after a flight: four, not fourteen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What was typed of a flight that is over; nothing of it means that the pilot is asked."""

    none_known: bool = False
    report: str = ""
    symptom: str = ""
    weakens: str = ""
    takes: str = ""
    again: str = ""
    known: str = ""
    owed: bool = False


def said(typed: Said, prompter: Callable[[], Prompter]) -> Back:
    """What a pilot says of a flight: as typed, or asked for."""
    if typed == Said():
        return report(prompter())
    new = (
        Report(
            symbol="/", text=typed.report, symptom=typed.symptom, takes=names(typed.takes),
            weakens=names(typed.weakens),
        ),
    )  # fmt: skip
    return Back(
        on=None,
        reports=new if typed.report and not typed.again else (),
        again=((typed.again.upper(), typed.report or "again"),) if typed.again else (),
        known=tuple(n.upper() for n in names(typed.known)),
        none_known=typed.none_known,
    )


def report(prompter: Prompter) -> Back:
    """What the pilot says on coming back: no defect known, or four answers for each report."""
    picked = prompter.ask(
        Ask(
            blocks=(Block(kind="do", text="After the flight:"),),
            choices=("no defect known", "something to report"), prompt="Which?",
        )
    )  # fmt: skip
    if picked == "1":
        return Back(on=None, none_known=True)
    found: list[Report] = []
    while True:
        which, what, how, tried = (prompter.ask(words_ask(q)).strip() for q in ASKED)
        if what:
            found.append(Report(symbol="/", text=what, place=which, conditions=_joined(how, tried)))
        more = prompter.ask(Ask(blocks=(), choices=("that is all", "another"), prompt="More?"))
        if more == "1":
            break
    if not found:
        raise Usage("A report needs words for what happened.", hint="Or say: no defect known.")
    return Back(on=None, reports=tuple(found))


def _joined(how: str, tried: str) -> str:
    return "; ".join(part for part in (how, f"tried: {tried}" if tried else "") if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightList:
    """The last flights of each airframe asked about, and every flight that was out of order."""

    time_zone: str
    flights: tuple[tuple[str, Flown], ...]


def listed(reading: Reading, typed: str = "") -> FlightList:
    """The last flights of one airframe, or of all.

    Raises:
        NotThere: no such tail.
    """
    known = reading.record()
    found = (the_airframe(reading, known, typed),) if typed else reading.all_facts()
    return FlightList(
        time_zone=known.time_zone, flights=tuple((f.tail, flown_of(f)) for f in found)
    )
