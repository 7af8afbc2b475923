"""defect raise, show, symbol, limit, action, retest, prove, same-as, void, settle: the log."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Write in the defect log and act on its entries.", no_args_is_help=True)
Entry = Annotated[str, typer.Argument(metavar="ENTRY", help="Its number, such as 107-A01.")]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]
Reason = Annotated[str, typer.Argument(metavar="REASON", help="Why, in words.")]
Words = Annotated[str, typer.Argument(metavar="WORDS", help="In words, in quotes.")]


@app.command("raise")
def raise_(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(help="The tail as on the aircraft.")],
    words: Words,
    symbol: Annotated[str, typer.Option(help="X, - or /")] = "/",
    by: By = None,
    unit: Annotated[str, typer.Option(help="Unit position, such as TR-V.")] = "",
    takes: Annotated[str, typer.Option(help="Functions lost, such as ch1,ch2.")] = "",
    weakens: Annotated[str, typer.Option(help="Functions weakened.")] = "",
    zone: Annotated[str, typer.Option(help="Where on the aircraft.")] = "",
    symptom: Annotated[str, typer.Option(help="The symptom in a word or two.")] = "",
    noticed: Annotated[
        str, typer.Option(help="ground, taxi, take-off, climb, cruise, landing or look.")
    ] = "",
    conditions: Annotated[str, typer.Option(help="Such as: generator on.")] = "",
    found_at: Annotated[str | None, typer.Option(help="When found, if earlier.")] = None,
    instead_of: Annotated[
        str, typer.Option(metavar="ENTRY", help="The entry in error whose day it keeps.")
    ] = "",
    split: Annotated[
        bool | None,
        typer.Option("--split/--whole", help="One entry for each part between ; Else asked."),
    ] = None,
) -> None:
    """Write a defect, anywhere, at once."""
    from hardstand.cli.session import instant
    from hardstand.flows import logging_defects as log
    from hardstand.flows.splitting import wanted_of
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    split = wanted_of(here.someone(), words) if split is None else split
    told = log.Told(
        words=words, symbol=symbol, unit=unit, takes=takes, weakens=weakens, zone=zone,
        symptom=symptom, noticed=noticed, conditions=conditions, found_at=instant(found_at) or "",
        instead_of=instead_of.strip().upper(),
    )  # fmt: skip
    tell(log.raise_defect(here.pen(who), tail, told, by=who, split=split))


@app.command("show")
def show(context: typer.Context, entry: Entry) -> None:
    """Everything about one entry, open or closed."""
    from hardstand.flows.history import history
    from hardstand.views.history import text
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    emit(text(history(journal, entry), journal.record().time_zone))


def _act(context: typer.Context, entry: str, by: str | None, deed: str, *words: str) -> None:
    from hardstand.flows.logging_defects import act
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(act(here.pen(who), entry, deed, words, by=who))


@app.command("symbol")
def symbol(
    context: typer.Context,
    entry: Entry,
    to: Annotated[str, typer.Argument(metavar="SYMBOL", help="X, - or /")],
    reason: Annotated[str, typer.Argument(help="Why, in words.")],
    by: By = None,
) -> None:
    """Make an entry more serious, as anyone may; or a dash less, by authority, with a reason."""
    _act(context, entry, by, "symbol", to, reason)


@app.command("limit")
def limit(
    context: typer.Context,
    entry: Entry,
    limits: Annotated[str, typer.Argument(metavar="LIMITS", help="Within what it may fly.")],
    reason: Reason,
    until: Annotated[str, typer.Option(metavar="DAY", help="Its end, at most 7 days on.")],
    one_operation: Annotated[bool, typer.Option(help="Ends with the first flight too.")] = False,
    by: By = None,
) -> None:
    """Circle an X: flying within written limits until an end, then it reads X again."""
    from hardstand.domain.putting_off import Within
    from hardstand.flows import deferring
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    pen = here.pen(who)
    ends = deferring.time_of(pen, until, end=True)
    within = Within(limits=limits, ends=ends, one_operation=one_operation, reason=reason)
    tell(deferring.limit(pen, entry, within, by=who))


@app.command("action")
def action(
    context: typer.Context,
    entry: Entry,
    words: Words,
    outcome: Annotated[
        str, typer.Option(help="rectified, could_not_duplicate or temporary.")
    ] = "rectified",
    out: Annotated[str, typer.Option(help="Units taken out, as read: MOD M-5113, ...")] = "",
    fitted: Annotated[str, typer.Option("--in", help="Units put in, as read off the box.")] = "",
    ref: Annotated[str, typer.Option(help="Manual paragraph.")] = "",
    with_: Annotated[str, typer.Option("--with", help="Who worked with you: BT or BT,NH.")] = "",
    taught_by: Annotated[
        str, typer.Option(help="Who taught you this task: they do not clear it.")
    ] = "",
    by: By = None,
) -> None:
    """Write down what was done; it changes nothing until somebody else clears it."""
    from hardstand.flows import logging_defects as log
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by, with_)
    done = log.done(words, outcome, units_out=out, units_in=fitted, ref=ref, taught_by=taught_by)
    tell(log.acted(here.pen(who), entry, done, by=who))


@app.command("retest")
def retest(
    context: typer.Context,
    entry: Entry,
    step: Annotated[str, typer.Argument(help="The step of the list that proves the repair.")],
    seen: Annotated[str, typer.Argument(help="The position or number seen, or OK or FAULT.")],
    words: Annotated[str, typer.Argument(help="What was heard or said.")] = "",
    with_: Annotated[str, typer.Option("--with", help="Who worked with you.")] = "",
    by: By = None,
) -> None:
    """Do a proving step again for a repair; it is judged as in the walk and kept with the entry."""
    from hardstand.flows import retesting
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by, with_)
    tell(retesting.retested(here.pen(who), entry, step, (seen, words), by=who))


@app.command("defer")
def defer(
    context: typer.Context,
    entry: Entry,
    item: Annotated[str, typer.Argument(help="The item of the permitted-defects list.")],
    reason: Reason,
    met: Annotated[
        list[str] | None, typer.Option(help="How a condition is met, once for each, in order.")
    ] = None,
    by: By = None,
) -> None:
    """Put an entry off by the permitted-defects list, on its conditions, until its day."""
    from hardstand.domain.putting_off import PutOff
    from hardstand.flows import deferring
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    asked = PutOff(item=item, met=tuple(met or ()), reason=reason)
    tell(deferring.defer(here.pen(who), entry, asked, by=who, prompter=here.prompter))


@app.command("extend")
def extend(
    context: typer.Context,
    entry: Entry,
    days: Annotated[int, typer.Argument(help="Calendar days.")],
    reason: Reason,
    by: By = None,
) -> None:
    """Extend a deferral, once, by a higher authority."""
    from hardstand.flows import deferring
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(deferring.extend(here.pen(who), entry, days, reason, by=who))


@app.command("rule")
def rule(
    context: typer.Context,
    entry: Entry,
    words: Words,
    again_by_doer: Annotated[
        bool, typer.Option(help="A chief orders that the doer looks at their own work again.")
    ] = False,
    by: By = None,
) -> None:
    """A lead's word on what is to become of an entry."""
    from hardstand.flows import logging_defects as log
    from hardstand.views.output import tell

    if not again_by_doer:
        _act(context, entry, by, "rule", words)
        return
    here = session(context)
    who = here.who(by)
    tell(log.ordered(here.pen(who), entry, words, by=who))


@app.command("settle")
def settle(
    context: typer.Context,
    entry: Entry,
    words: Words,
    stands: Annotated[str, typer.Option(metavar="LINE", help="Which line stands: C-12.")] = "",
    by: By = None,
) -> None:
    """Settle acts that had not seen each other; the more careful reading, unless one is named."""
    from hardstand.flows import logging_defects as log
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(log.settled(here.pen(who), entry, words, stands=stands, by=who))


@app.command("prove")
def prove(
    context: typer.Context,
    entry: Entry,
    words: Words,
    functions: Annotated[str, typer.Option(help="Only these of what it waits for.")] = "",
    by: By = None,
) -> None:
    """Say outside a walk that what a dash waits for was tested good, and how."""
    _act(context, entry, by, "prove", functions, words)


@app.command("same-as")
def same_as(
    context: typer.Context,
    entry: Entry,
    other: Annotated[str, typer.Argument(metavar="OTHER", help="The entry that goes on.")],
    by: By = None,
) -> None:
    """Join an entry to another open one; both texts stay, the earlier discovery counts."""
    _act(context, entry, by, "same-as", other)


@app.command("take")
def take(
    context: typer.Context,
    entry: Entry,
    words: Annotated[str, typer.Argument(metavar="[WORDS]", help="Words to it.")] = "",
    by: By = None,
) -> None:
    """Say that an entry is yours to see to; the board names you until it is closed."""
    from hardstand.flows.owning import own
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(own(here.pen(who), entry, words, by=who))


@app.command("like")
def like(
    context: typer.Context,
    what: Annotated[str, typer.Argument(metavar="ENTRY|WORDS", help="An entry, or words.")],
) -> None:
    """Seen before, and what was done: earlier entries of the fleet most like this one."""
    from hardstand.flows.remembering import like as remembered
    from hardstand.views.output import emit
    from hardstand.views.remembering import text

    journal = session(context).journal(read_only=True)
    emit(text(remembered(journal, what), journal.record().time_zone))


@app.command("void")
def void(
    context: typer.Context,
    entry: Entry,
    reason: Annotated[str, typer.Argument(help="Why it was entered in error.")],
    instead: Annotated[
        str, typer.Option(metavar="ENTRY", help="The entry that stands in its place, if any.")
    ] = "",
    by: By = None,
) -> None:
    """Mark an entry as entered in error; it stays readable."""
    _act(context, entry, by, "void", instead.strip().upper(), reason)


def clear(
    context: typer.Context,
    entry: Annotated[str, typer.Argument(metavar="[ENTRY]", help="None: what you may clear.")] = "",
    words: Annotated[str, typer.Argument(metavar="[WORDS]", help="None: it is shown first.")] = "",
    reject: Annotated[bool, typer.Option(help="Do not accept the work; why, in words.")] = False,
    outcome: Annotated[str, typer.Option(help="Cleared as; else as the work says.")] = "",
    placard_off: Annotated[bool, typer.Option(help="The placard was seen taken off.")] = False,
    follow: Annotated[
        str, typer.Option(metavar="SYMBOL", help="Of the entry after a temporary repair.")
    ] = "",
    by_doer: Annotated[
        str, typer.Option(metavar="REASON", help="I did the work; ordered by a chief, because.")
    ] = "",
    by: By = None,
) -> None:
    """Look at work that waits for you, and clear or reject it; nothing else is shown."""
    from hardstand.flows import clearing
    from hardstand.views import clearing as view
    from hardstand.views.output import emit, tell

    here = session(context)
    who = here.who(by)
    pen = here.pen(who)
    if not entry:
        found = clearing.queue(pen, who.doer)
        zone = pen.journal.record().time_zone
        emit(view.queue_text(found, who.doer, zone, plain=here.plain))
    elif not words:
        shown = clearing.evidence(pen, entry)
        tell(clearing.ask(pen, shown, view.screen(shown), here.prompter(), by=who))
    elif reject:
        tell(clearing.reject(pen, entry, words, by=who))
    else:
        looked = clearing.looked(words, outcome, follow, placard_off=placard_off, by_doer=by_doer)
        tell(clearing.clear(pen, entry, looked, by=who))
