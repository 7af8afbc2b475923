"""Every key at a walk that is no answer: break, undo, a defect elsewhere, a line nobody planned."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused, Report, raised
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.guidance import SAID, Level, after
from hardstand.flows import questions as q
from hardstand.flows import splitting
from hardstand.flows.careful import left_so
from hardstand.flows.practising import of_record
from hardstand.flows.proposing import propose
from hardstand.flows.putting_back import leave_ask, make_safe_first
from hardstand.flows.seat import CalledAway, Walking, put_back, take_back_and_tell
from hardstand.flows.supervised import shown
from hardstand.flows.teaching import Find, choose, finds, level_at, suggested


def describe(walking: Walking, number: str, symptoms: Sequence[str]) -> None:
    """Words for an entry just raised; Enter leaves them for later, the entry stands already."""
    entry = walking.facts.entry(number)
    if entry is None:
        return
    reply = walking.ask(
        q.words_ask(
            "Words, or a digit; Enter = later:",
            choices=symptoms[:8],
            blocks=[
                Block(kind="card", text=f"{number} is open: {q.entry_words(entry)}"),
                *(Block(kind="say", text=text) for text in _likely_same(walking.facts, entry)),
            ],
        )
    ).strip()
    symptom = dict(zip("12345678", symptoms, strict=False)).get(reply, "")
    if not reply:
        return

    def decision(facts: AirframeFacts) -> Sequence[b.Body] | Refused:
        item = facts.entry(number)
        return (
            ()
            if item is None
            else (
                b.DefectNoted(
                    number=number,
                    text="" if symptom else reply,
                    symptom=symptom,
                    by=walking.by,
                    seen=item.heads,
                ),
            )
        )

    walking.write(decision)


def _likely_same(facts: AirframeFacts, entry: OpenEntry) -> list[str]:
    """Faults open from before at the step of an entry: offered as the same, never joined alone.

    Source: whole-job S-03.
    """
    found = (e for e in facts.open if e.step == entry.step and e.number != entry.number)
    return [
        f"Open here before: {q.entry_line(e)}. The same? "
        f"`hardstand defect same-as {entry.number} {e.number}` joins them."
        for e in found
        if entry.step and not e.untested
    ]


def undo_last(walking: Walking) -> None:
    """Take the last answer back, and tell by its number what became of each entry it raised.

    Where something was just left as it stands, that choice is taken back first.
    """
    if left_so(walking):
        return
    last = walking.state.last_three[-1:]
    if not last:
        walking.say("Nothing is answered yet in this walk.")
        return
    take_back_and_tell(walking, last[0])


def take_break(walking: Walking) -> None:
    """Record the break first; then show the leave card, where the walk may also be ended.

    In a stretch that is not to be broken, what is dangerous there is made safe before the card.
    """
    step = walking.step
    name = step.id if step else ""
    walking.write(lambda _: (b.WalkBroken(step=name, half=walking.half, by=walking.by),))
    walking.left = True
    if step is not None and step.no_break:
        _make_safe(walking)
    reply = walking.put(leave_ask(walking.state, walking.facts, walking.by.doer, walking.where))
    if not reply.isdigit() or reply == "1":
        return
    outcome = tuple(closing.OUTCOMES)[int(reply) - 2]
    end_walk(walking, outcome)


def _make_safe(walking: Walking) -> None:
    """Each hazard that is on, in the order to make safe; B again leaves at once, lines open.

    Source: human-factors PLC-08: finish it or leave it plainly unfinished.
    """
    lines = make_safe_first(walking.state.plan, walking.facts)
    if not lines:
        return
    walking.say("Not like this. Make safe first, then leave; B again leaves at once.")
    try:
        for line in lines:
            put_back(walking, line.item)
    except CalledAway:
        walking.say("Left as it is; the lines stay open.")


def end_walk(walking: Walking, outcome: b.Outcome, *, words: str = "") -> None:
    """End a walk that is not finished, after the end of the tail was typed."""
    short = walking.facts.short
    lines = len(walking.facts.due_home)
    told = f"{lines} not put back stay with the aircraft. " if lines else ""
    typed = walking.put(q.words_ask(f"{told}Type {short} to end this walk; Enter = not now:"))
    if typed.strip() != short:
        walking.say("Not ended; the walk waits where it was left.")
        return
    walking.write(
        lambda facts: closing.end(
            walking.state, facts, outcome, words=words, device=walking.pen.device, by=walking.by
        )
    )
    walking.left = True


def defect_elsewhere(walking: Walking) -> None:
    """A defect that is not this step's: words, parted if wanted, then how serious each is."""
    text = walking.ask(q.words_ask("Defect, in words; Enter = none:")).strip()
    if not text:
        return
    split = splitting.wanted(walking.ask, text)
    for part in splitting.parts(text) if split else (text,):
        _another_defect(walking, part, f"as told: {text}" if split else "")


def _another_defect(walking: Walking, text: str, conditions: str) -> None:
    picked = walking.ask(
        Ask(blocks=(Block(kind="do", text=text),), choices=q.SYMBOL_CHOICES, prompt="How serious?")
    )
    symbol = q.SYMBOLS[int(picked) - 1]
    report = Report(symbol=symbol, text=text, noticed="look", conditions=conditions)
    walking.write(lambda facts: (raised(facts, report, device=walking.pen.device, by=walking.by),))
    walking.say(f"{walking.facts.open[-1].number} is open.")


def unplanned_line(walking: Walking) -> None:
    """A put-back line nobody planned: what kind, then a few words."""
    picked = walking.ask(
        Ask(
            blocks=(Block(kind="do", text="What was moved?"),),
            choices=q.LINE_CHOICES,
            keys="Z",
            words=(("Z", "back to the step"),),
            prompt="Kind:",
        )
    )
    if picked == "Z":
        return
    kind = q.LINE_KINDS[int(picked) - 1]
    words = walking.ask(q.words_ask("Which, and where:")).strip()
    if not words:
        walking.say("No words, no line was opened.")
        return
    last = walking.state.last
    name = f"line-{walking.state.walk}-{last.seq if last else 0}"
    walking.write(
        lambda _: (
            b.LineMoved(
                item=name,
                title=words,
                item_kind=closing.item_kind(kind),
                home="AS FOUND",
                from_="AS FOUND",
                to="MOVED",
                words=words,
                by=walking.by,
            ),
        )
    )
    walking.say(f"Open until it is put back: {words}.")


# -- words around a step ---------------------------------------------------------------------------


def level_here(walking: Walking, step: Step) -> Level:
    """How much this person wants to be told in the zone of a step."""
    if step.zone not in walking.levels:
        fit = walking.state.plan.fit.id
        level = level_at(of_record(walking.pen), walking.by, fit, step.zone)
        walking.levels[step.zone] = level
        _suggest(walking, step.zone, level)
    return walking.levels[step.zone]


def _suggest(walking: Walking, zone: str, level: Level) -> None:
    """Once, before anything of a zone is answered: a level that suits what was shown there."""
    state = walking.state
    begun = any(state.answer(s.id) for s in state.plan.steps if s.zone == zone)
    if begun or state.plan.practice:
        return
    pen, by, fit = walking.pen, walking.by, state.plan.fit.id
    if walking.shown is None:
        walking.shown = shown(pen.journal, by.doer, state.plan.checklist)
    words = suggested(pen, by, fit, zone, level, walking.shown)
    if words:
        walking.say(words)


def other_level(walking: Walking, step: Step) -> None:
    """Turn to the next level; it is kept, and follows the person."""
    level = after(level_here(walking, step))
    choose(of_record(walking.pen), walking.by, walking.state.plan.fit.id, step.zone, level)
    walking.levels[step.zone] = level
    walking.say(f"From here on in this zone: {level}, {SAID[level]}.")


def found_here(walking: Walking, step: Step) -> Find | None:
    """What was last really found at a step, in the fleet."""
    if walking.finds is None:
        walking.finds = finds(walking.pen, walking.state)
    return walking.finds.get(step.id)


def write_to_author(walking: Walking, step: Step) -> None:
    """A change proposed at a step, or where the manual differs; nothing of the walk changes."""
    text = walking.ask(q.words_ask("To the author, in words; Enter = nothing:")).strip()
    if not text:
        return
    plan = walking.state.plan
    body = b.Proposed(
        checklist=plan.checklist.id,
        revision=plan.checklist.revision,
        digest=plan.digest,
        step=step.id,
        text=text,
        by=walking.by,
    )
    propose(of_record(walking.pen), body)
    walking.say(
        "Kept for the author: `hardstand checklist proposals` shows it and what came of it."
    )
