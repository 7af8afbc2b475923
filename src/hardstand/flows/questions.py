"""Each question of a walk, as a value: what is shown, which keys it takes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from hardstand.domain.answering import missing, reasons
from hardstand.domain.asking import KEY_WORDS, Ask, Block, BlockKind, Strip
from hardstand.domain.bodies_papers import Withdrawn
from hardstand.domain.checklist import Peril, Step, Symbol, Zone
from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, OpenWalk
from hardstand.domain.facts import safe_order as by_safety
from hardstand.domain.guidance import Level
from hardstand.domain.holding import may_be_held
from hardstand.domain.quantity import Instant, day_time, short_time
from hardstand.domain.symbols import MEANING, WORDS
from hardstand.domain.walk import Given, WalkState
from hardstand.flows import giving
from hardstand.flows.step_details import details, entries, hung
from hardstand.flows.teaching import seen_blocks

MEMORY_AID = (
    "Use this as a memory aid and a record. The approved manual for this aircraft and set governs. "
    "If they differ, stop, follow the manual, and report the difference."
)
NO_RELEASE = "This walk records checks. It does not release the aircraft."
LOOK_ROUND = (
    "Look round the aircraft once more: tools, rags, loose parts, panels, covers, tags. "
    "What is still left there, and who is still to be told? See to that first."
)
"""The last look, which no list can leave out. Source: EASA 145.A.48(a)."""
NO_PREFLIGHT = "A walk of a part is no preflight."
LOCAL_RULES = (
    "Local fire, electrical, radio, explosives and height rules apply and may be stricter."
)
RESCUE = (
    "SHOCK",
    "1. Cut the power.",
    "2. Do not touch the person while they touch the circuit.",
    "3. If you cannot cut it, push them clear with something dry that does not conduct.",
    "4. Shout and call for help.",
    "5. Give CPR if you are trained.",
    "6. See a doctor even if you feel well.",
)
"""The card behind R: no network, no paging."""
RESCUE_ASK = Ask(
    blocks=tuple(Block(kind="card", text=line) for line in RESCUE),
    keys="R",
    whole=True,
    words=(("R", "back"),),
)
NOT_FITTED = ("not in this fit", "removed, place is empty", "other")
ANSWER_KEYS = "OFSNU"
ALWAYS = "DAHBRZMVW"


def strip(state: WalkState, facts: AirframeFacts, step: Step | None, where: tzinfo) -> Strip:
    """The place strip: aircraft, zone, place in it, last answer, next step, what is open."""
    checklist = state.plan.checklist
    zone, at = "", ""
    if step is not None:
        here = state.plan.by_zone[step.zone]
        place = next(n for n, z in enumerate(checklist.zones) if z.id == step.zone)
        zone = f"{place + 1} of {len(checklist.zones)}  {checklist.zones[place].title}"
        at = f"{here.index(step.id) + 1} of {len(here)}"
    return Strip(
        tail=state.airframe,
        walk=f"walk {state.walk}",
        zone=zone,
        at=at,
        last=_last(state, where),
        next=_next(state, step),
        open_lines=len(facts.due_home),
        gaps=len(state.gaps()),
        draft=checklist.draft,
        practice=state.plan.practice,
        held=tuple(f"{checklist.number(s.id)} {short(state, s)}" for s in state.held_steps),
    )


def _last(state: WalkState, where: tzinfo) -> str:
    given = state.last_three
    return told(state, given[-1], where) if given else "nothing answered yet"


def told(state: WalkState, given: Given, where: tzinfo, now: Instant | None = None) -> str:
    """An answer as a report: number, what, recorded as, when, by whom.

    With the day of it where that is not the day of `now`, or of the walk's newest line.
    """
    body = given.body
    number = (body.unit, body.value) if body.unit == "readability" else (body.value, body.unit)
    seen = " ".join(p for p in (body.state, *number) if p)
    step = state.plan.checklist.step(body.step)
    today = now or (state.last.at if state.last else given.at)
    answer = seen if body.verdict == "noted" else f"{seen} {body.answer}".strip()
    return (
        f"{state.plan.checklist.number(body.step)} {short(state, step)} — recorded {answer} "
        f"{short_time(given.at, today, where)} {body.by.doer}"
    )


def _next(state: WalkState, step: Step | None) -> str:
    away = {*state.given, *state.held, *([step.id] if step else ())}
    following = next((s for s in state.plan.steps if s.id not in away), None)
    return short(state, following) if following else "close the walk"


def short(state: WalkState, step: Step) -> str:
    """The step in a few words, for a line of the strip."""
    text = state.plan.fill(step.do).rstrip(".")
    return text if len(text) <= 44 else text[:43].rsplit(" ", 1)[0].rstrip(",;:—-") + " …"


def stop(text: str) -> str:
    """The text as a sentence's end: one that was cut has its mark already."""
    return text if text.endswith("…") else f"{text}."


def peril(kind: BlockKind, found: Peril) -> Block:
    """A warning or caution as one block: hazard, consequence, what avoids it."""
    parts = (p.rstrip(".") for p in (found.hazard, found.consequence, found.avoid))
    return Block(kind=kind, text=". ".join(parts) + ".")


def cautions(state: WalkState, step: Step) -> tuple[Block, ...]:
    """Warnings, cautions and notes: those of the zone at its first open step, then the step's."""
    zone = next(z for z in state.plan.checklist.zones if z.id == step.zone)
    first = state.given.keys().isdisjoint(state.plan.by_zone[step.zone])
    places: list[Zone | Step] = [zone, step] if first else [step]
    blocks = [peril("warning", w) for p in places for w in p.warning]
    blocks += [peril("caution", c) for p in places for c in p.caution]
    blocks += [Block(kind="note", text=n) for p in places for n in p.note]
    if first and zone.warning:
        blocks.append(Block(kind="note", text=LOCAL_RULES))
    return tuple(Block(kind=b.kind, text=state.plan.fill(b.text)) for b in blocks)


def step_ask(
    state: WalkState,
    facts: AirframeFacts,
    step: Step,
    where: tzinfo,
    earlier: Sequence[str] = (),
    *,
    level: Level = "normal",
) -> Ask:
    """The screen of a step: cautions first, what to do, where, then what may be answered.

    `earlier` is what was given here already and is to be given again; it is not shown. The `level`
    changes the last details only.
    """
    fill = state.plan.fill
    lines = [Block(kind="do", text=f"{state.plan.checklist.number(step.id)}  {fill(step.do)}")]
    lines.append(Block(kind="detail", text=details(state, facts, step)))
    lines += [Block(kind="say", text=text) for text in hung(state, facts, step, where)]
    blocked = missing(state, step)
    if blocked:
        lines.append(Block(kind="say", text=f"Not yet: {blocked}."))
    lines.extend(seen_blocks(state, step, level))
    ear = ear_words(state, step)
    keys = giving.keys(step, earlier) + ("E" if ear else "") + ALWAYS
    return Ask(
        strip=strip(state, facts, step, where),
        blocks=(*cautions(state, step), *lines),
        choices=giving.picks(step),
        keys=keys if not blocked else keys.replace("O", ""),
        typed="number" if step.kind in {"reading", "count"} else "",
        prompt=giving.prompt(step, earlier),
        words=(("H", "more"), ("E", ear), ("D", "elsewhere"), ("R", "rescue")),
    )


def ear_words(state: WalkState, step: Step) -> str:
    """What the key of a held step does here; empty where it does nothing."""
    if step.id in state.held:
        beside = state.next_step()
        return "look on, an ear on it" if beside and beside.id not in state.held else ""
    if may_be_held(step, state.held):
        return "hold it, look meanwhile"
    return "back to what is held" if state.held else ""


def help_ask(state: WalkState, facts: AirframeFacts, step: Step, where: tzinfo) -> Ask:
    """Why, what good and bad look and sound like, the reference, likely causes, every key."""
    fill = state.plan.fill
    said = [
        ("Why", step.why), ("Good looks like", step.good), ("Bad looks like", step.bad),
        ("Good sounds like", step.sounds_good), ("Bad sounds like", step.sounds_bad),
        ("Reference", step.ref),
    ]  # fmt: skip
    found = [f"{name}: {fill(text)}" for name, text in said if text]
    found += [f"If bad, look first at: {c.cause}. Confirm: {c.confirm}" for c in step.causes]
    found.append("Keys: " + ", ".join(f"{key} {KEY_WORDS[key]}" for key in ALWAYS if key != "H"))
    number = state.plan.checklist.number(step.id)
    blocks = [Block(kind="do", text=f"{number}  {fill(step.do)}")]
    blocks += [Block(kind="line", text=entry_line(e)) for e in entries(state, facts, step)]
    return Ask(
        strip=strip(state, facts, step, where),
        blocks=(*blocks, *(Block(kind="detail", text=text) for text in found)),
        keys="HR",
        whole=True,
        words=(("H", "back to the step"),),
    )


def reasons_ask(state: WalkState, facts: AirframeFacts, step: Step, where: tzinfo) -> Ask:
    """Why is the step SKIPPED."""
    return Ask(
        strip=strip(state, facts, step, where),
        blocks=(Block(kind="do", text=f"SKIPPED: {short(state, step)}"),),
        choices=reasons(step),
        keys="Z",
        prompt="Why?",
        words=(("Z", "back to the step"),),
    )


def rest_ask(
    state: WalkState, facts: AirframeFacts, step: Step, rest: Sequence[Step], where: tzinfo
) -> Ask:
    """Whether the rest of a zone is SKIPPED for the same reason."""
    more = len(rest)
    told, all_ = ("steps", f"all {more} in this zone") if more > 1 else ("step", "that one too")
    return Ask(
        strip=strip(state, facts, step, where),
        blocks=(Block(kind="do", text=f"{more} more {told} in this zone. Weather there too?"),),
        choices=("only the one step", f"SKIPPED, weather: {all_}"),
        prompt="Which?",
    )


def not_fitted_ask(state: WalkState, facts: AirframeFacts, step: Step, where: tzinfo) -> Ask:
    """Why is the thing of this step NOT FITTED."""
    what = stop(f"NOT FITTED: {short(state, step)}")
    text = f"{what} The record says fit {state.plan.fit.id} carries it."
    return Ask(
        strip=strip(state, facts, step, where),
        blocks=(Block(kind="do", text=text),),
        choices=NOT_FITTED,
        keys="Z",
        prompt="Why?",
        words=(("Z", "back to the step"),),
    )


def words_ask(prompt: str, *, blocks: Sequence[Block] = (), choices: Sequence[str] = ()) -> Ask:
    """A line of words; a digit picks a choice where there are some."""
    return Ask(blocks=tuple(blocks), choices=tuple(choices), typed="text", prompt=prompt)


def confirm_ask(
    blocks: Sequence[Block], meaning: str, *, keys: str = "C", whole: bool = False
) -> Ask:
    """Something to read and confirm with C, never with Enter."""
    return Ask(blocks=tuple(blocks), keys=keys, whole=whole, words=(("C", meaning),))


def log_blocks(facts: AirframeFacts, standing: Sequence[OpenEntry], as_of: str) -> list[Block]:
    """The open list of an airframe as shown before its walk."""
    head = f"Open on {facts.tail}, as of {as_of}:"
    blocks = [Block(kind="do", text=head if standing else f"{head} nothing.")]
    return [*blocks, *(Block(kind="line", text=entry_line(e)) for e in standing)]


def entry_line(entry: OpenEntry) -> str:
    """An open entry in one line: number, symbol with its word, text, state."""
    return f"{entry.number}  {entry_words(entry)}"


def entry_words(entry: OpenEntry) -> str:
    """What an entry says after its number."""
    state = "" if entry.state == "open" else f" ({entry.state.replace('_', ' ')})"
    return f"{entry.symbol} {WORDS[entry.symbol]}: {entry.text}{state}"


def take_ask(entry: OpenEntry, where: tzinfo) -> Ask:
    """One X, circled X or dash, taken with a key of its own."""
    found = f"Found {day_time(entry.found_at, where)} by {entry.found_by}."
    meaning = f"{entry.symbol} means: {MEANING[entry.symbol]}."
    return confirm_ask(
        [Block(kind="do", text=entry_line(entry)), Block(kind="detail", text=f"{found} {meaning}")],
        f"I have taken {entry.number}",
        keys="CB",
    )


def line_ask(line: Line, values: Sequence[str], where: tzinfo) -> Ask:
    """One open line of the put-back ledger: what is seen there now."""
    text = (
        f"{line.title}: recorded {line.value} {day_time(line.since, where)} by {line.by}; "
        f"home is {line.home}. Go there and look."
    )
    return Ask(
        blocks=(Block(kind="do", text=text),),
        choices=tuple(values),
        keys="BR",
        prompt="What do you see now?",
    )


def safe_order(facts: AirframeFacts) -> list[Line]:
    """What is to be brought home, in the order to make safe."""
    return by_safety(facts.due_home)


def make_safe(facts: AirframeFacts) -> str:
    """What to make safe at once, in order: energy first, then what can fall or stands open."""
    named = "; ".join(f"{line.title} recorded {line.value}" for line in safe_order(facts))
    return f"Make safe now, in this order: {named}."


def line_words(line: Line, where: tzinfo) -> str:
    """An open line as a report."""
    since = day_time(line.since, where)
    return f"not put back: {line.title} — recorded {line.value} {since} {line.by}"


def withdrawn(body: Withdrawn) -> str:
    """That a revision is not to be walked, and why."""
    return f"{body.id} {body.revision} was withdrawn: {body.reason}"


def also_here(walk: OpenWalk, where: tzinfo) -> str:
    """That another device walks this aircraft too: both walks are kept."""
    since = day_time(walk.started, where)
    return (
        f"{walk.by} walks this aircraft too, walk {walk.walk} on device {walk.device} since "
        f"{since}. Both walks are kept; talk to each other."
    )


def resume_ask(
    state: WalkState, facts: AirframeFacts, where: tzinfo, now: Instant | None = None
) -> Ask:
    """The resume card: the last three answers, to be looked at on the aircraft."""
    step = state.next_step()
    here = f"{state.plan.checklist.number(step.id)} {short(state, step)}" if step else "the close"
    begun = " It was half done; nothing of it counts." if state.half else ""
    word = f"{' ' if here.endswith('…') else ', '}from its first word" if step else ""
    text = f"Back at walk {state.walk}, {state.airframe}. Go on at {here}{word}.{begun}"
    lines = [Block(kind="line", text=line_words(line, where)) for line in safe_order(facts)]
    last = [told(state, g, where, now) for g in state.last_three]
    to_look_at = bool(lines or last)
    text += " Look at these on the aircraft first:" if to_look_at else ""
    return Ask(
        blocks=(Block(kind="card", text=text), *lines),
        choices=tuple(last),
        keys="CBR",
        prompt="A digit takes that answer back." if last else "",
        whole=True,
        words=(("C", "looked at, go on" if to_look_at else "go on"), ("B", "come back later")),
    )


SYMBOLS: tuple[Symbol, ...] = ("X", "-", "/")
SYMBOL_CHOICES = tuple(f"{s} {WORDS[s]}: {MEANING[s]}" for s in SYMBOLS)
LINE_KINDS = ("access", "removed", "disconnected", "energy", "placed")
LINE_CHOICES = (
    "opened (panel, cover)",
    "taken out",
    "unplugged or undone",
    "switched on",
    "put there",
)
