"""A person sitting at a walk: what the loop carries along, and every key that is no answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.asking import ESCAPE, Ask, Block
from hardstand.domain.bodies import By
from hardstand.domain.defects import Refused, Report, raised
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.walk import WalkState, replay
from hardstand.flows import questions as q
from hardstand.flows import splitting
from hardstand.flows.putting_back import leave_ask
from hardstand.flows.recording import Pen, record
from hardstand.ports import Prompter


@dataclass(slots=True)
class Walking:
    """One walk being walked by one person on one device: what the loop carries along.

    `offered` are zones whose gaps were offered in this sitting.
    """

    pen: Pen
    prompter: Prompter
    by: By
    where: tzinfo
    state: WalkState
    facts: AirframeFacts
    offered: set[str] = field(default_factory=set)
    left: bool = False
    wants_break: bool = False

    def write(self, decision: Callable[[AirframeFacts], Sequence[b.Body] | Refused]) -> None:
        """Append what a decision says and take it into the state; a refusal is raised."""
        entries = record(self.pen, self.state.airframe, decision, walk=self.state.walk)
        self.state = replay(self.state, entries)
        self.facts = self.pen.journal.facts(self.state.airframe)

    def say(self, text: str) -> None:
        """Show words that ask nothing."""
        self.prompter.show(text)

    def ask(self, question: Ask) -> str:
        """Put a question, by the aircraft it is about; R shows the rescue card in all with keys."""
        named = question.strip is not None
        prompt = question.prompt if named else f"{self.state.airframe}: {question.prompt}".rstrip()
        reply = asked(self.prompter, replace(question, prompt=prompt))
        if reply == ESCAPE + "B":
            self.wants_break = True
            return "" if question.typed == "text" else "B"
        return reply


def asked(prompter: Prompter, question: Ask) -> str:
    """The reply to a question, after the rescue card as often as its key is pressed."""
    while True:
        reply = prompter.ask(question)
        if reply != ESCAPE + "R" and (reply != "R" or "R" not in question.keys):
            return reply
        for line in q.RESCUE:
            prompter.show(line)


def describe(walking: Walking, number: str, symptoms: Sequence[str]) -> None:
    """Words for an entry just raised; Enter leaves them for later, the entry stands already."""
    entry = walking.facts.entry(number)
    if entry is None:
        return
    reply = walking.ask(
        q.words_ask(
            "Words, or a digit; Enter = later:",
            choices=symptoms[:8],
            blocks=[Block(kind="card", text=f"{number} is open: {q.entry_line(entry)}")],
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


def take_back(walking: Walking, step_id: str) -> None:
    """Undo the answer of a step by adding to the record."""
    walking.write(lambda facts: closing.undo(walking.state, facts, step_id, walking.by))


def undo_last(walking: Walking) -> None:
    """Take the last answer back."""
    last = walking.state.last_three()[-1:]
    if not last:
        walking.say("Nothing is answered yet in this walk.")
        return
    take_back(walking, last[0].body.step)
    walking.say(f"Taken back: {q.told(walking.state, last[0], walking.where)}. Answer it again.")


def take_break(walking: Walking) -> None:
    """Record the break first; then show the leave card, where the walk may also be ended."""
    step = walking.state.next_step()
    name = step.id if step else ""
    walking.write(lambda _: (b.WalkBroken(step=name, by=walking.by),))
    walking.left = True
    reply = walking.ask(leave_ask(walking.state, walking.facts, walking.by.doer, walking.where))
    if reply in {"B", "1"}:
        return
    outcome = tuple(closing.OUTCOMES)[int(reply) - 2]
    end_walk(walking, outcome)


def end_walk(walking: Walking, outcome: b.Outcome, *, words: str = "") -> None:
    """End a walk that is not finished, after the end of the tail was typed."""
    short = walking.facts.short
    lines = len(walking.facts.due_home)
    told = f"{lines} not put back stay with the aircraft. " if lines else ""
    typed = walking.ask(q.words_ask(f"{told}Type {short} to end this walk; Enter = not now:"))
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


def put_back(walking: Walking, item: str) -> bool:
    """Ask one open line; False if the person left instead."""
    line = walking.facts.line(item)
    if line is None:
        return True
    known = walking.state.plan.fit.items.get(item)
    values = tuple(dict.fromkeys((*(known.values if known else ()), line.home, line.value)))
    reply = walking.ask(q.line_ask(line, values, walking.where))
    if reply == "B":
        take_break(walking)
        return False
    seen = values[int(reply) - 1]
    walking.write(lambda facts: closing.put_back(walking.state, facts, item, seen, walking.by))
    return True
