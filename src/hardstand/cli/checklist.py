"""checklist check, show, adopt, compare, withdraw, retest, suspects: the author's verbs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Check, show and adopt checklists and fits.", no_args_is_help=True)
Files = Annotated[list[Path], typer.Argument(help="YAML files, or folders of them.")]


@app.command("check")
def check(
    files: Files, json: Annotated[bool, typer.Option("--json", help="findings/1.")] = False
) -> None:
    """Say everything that is wrong with the files, at once, with line and column."""
    from hardstand.flows.checking import check_files
    from hardstand.system.files import read, yaml_files
    from hardstand.views import findings as view
    from hardstand.views.output import emit

    checked = check_files([(str(f), read(f)) for f in yaml_files(files)])
    emit(view.json_text(checked.findings) if json else view.text(checked))
    raise typer.Exit(0 if checked.may_be_used else 1)


@app.command("show")
def show(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="Id of an adopted list; none lists them.")] = "",
    text: Annotated[bool, typer.Option(help="The YAML as adopted, to the byte.")] = False,
    paper: Annotated[bool, typer.Option(help="The whole list to print, with boxes.")] = False,
    tail: Annotated[str, typer.Option(help="With --paper: filled for this aircraft.")] = "",
) -> None:
    """Show an adopted list, or which lists are adopted."""
    if paper:
        _paper(context, name, tail)
        return
    from hardstand.flows.adopting import shown, withdrawals
    from hardstand.views import papers as view
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    gone = {body.digest: body.reason for body in withdrawals(journal)}
    emit(view.checklist(shown(journal, name), gone, text=text))


def _paper(context: typer.Context, name: str, tail: str) -> None:
    from hardstand.errors import Usage
    from hardstand.flows.printing import sheet
    from hardstand.views.list_paper import paper
    from hardstand.views.output import emit

    if not name:
        raise Usage("--paper prints one list.", hint="hardstand checklist show ID --paper")
    emit(paper(sheet(session(context).journal(read_only=True), name, tail)))


@app.command("adopt")
def adopt(
    context: typer.Context,
    files: Files,
    by: Annotated[str | None, typer.Option(help="Your initials, the author's.")] = None,
    second: Annotated[str, typer.Option(help="Who read it against the approved manual.")] = "",
) -> None:
    """Take fits and lists into the record, all or none: by their author and a second person."""
    from hardstand.flows import approving, papers
    from hardstand.system.files import read, yaml_files
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    found = papers.papers(pen.journal, [(str(f), read(f)) for f in yaml_files(files)])
    approving.approve(pen, found, second)
    tell(
        "Adopted: "
        + ", ".join(f"{p.kind.split('.')[0]} {p.id} {p.revision}".rstrip() for p in found)
    )


_OF_TWO = "A YAML file, or a list of the record; ID alone is its newest revision."
Compared = Annotated[str, typer.Argument(metavar="FILE|ID@REVISION", help=_OF_TWO)]


@app.command("compare")
def compare(context: typer.Context, old: Compared, new: Compared) -> None:
    """Two revisions side by side: burden, changes, what to walk again. 1: growth without reason."""
    from hardstand.flows.comparing import compared
    from hardstand.system.files import bytes_of
    from hardstand.views.output import emit
    from hardstand.views.revisions import comparison

    here = session(context)
    journal = here.journal(read_only=True) if here.path.exists() else None
    found = compared(journal, (old, new), bytes_of)
    emit(comparison(found, plain=here.plain))
    raise typer.Exit(1 if found.unexplained else 0)


@app.command("proposals")
def proposals(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="[ID]", help="Only about this list.")] = "",
    ref: Annotated[str, typer.Option("--answer", metavar="REF", help="Say what came of it.")] = "",
    taken: Annotated[bool, typer.Option(help="It is or will be in the list.")] = False,
    words: Annotated[str, typer.Option(help="The answer, in words.")] = "",
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """What was written to the author at a step of a walk, and what came of it."""
    from hardstand.flows import proposing
    from hardstand.views.output import emit
    from hardstand.views.proposals import text

    here = session(context)
    if ref:
        who = here.who(by)
        proposing.answer(here.pen(who), ref, words, taken=taken, by=who)
    journal = here.journal(read_only=True)
    emit(text(proposing.proposals(journal, name), journal.record().time_zone))


@app.command("withdraw")
def withdraw(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="ID", help="The list.")],
    revision: Annotated[str, typer.Argument(metavar="REVISION", help="Of it.")],
    reason: Annotated[str, typer.Option(help="What is wrong with it, in words.")] = "",
    step: Annotated[
        list[str] | None, typer.Option(help="A wrong step by its id; can be repeated.")
    ] = None,
    not_touched: Annotated[
        list[str] | None, typer.Option(metavar="TAIL=WHY", help="An aircraft it does not concern.")
    ] = None,
    fit: Annotated[str, typer.Option(help="Where lists of two fits bear one id.")] = "",
    look: Annotated[bool, typer.Option("--look", help="Only what it would touch.")] = False,
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Take a revision out of use; each aircraft it passed something on is to be looked at again."""
    from hardstand.flows import withdrawing as flow
    from hardstand.views import revisions as view
    from hardstand.views.output import emit

    here = session(context)
    spared = dict(given.partition("=")[::2] for given in not_touched or ())
    steps = tuple(step or ())
    asked = flow.Asked(
        id=name, revision=revision, reason=reason, steps=steps, not_touched=spared, fit=fit
    )
    if look:
        emit(view.reach(flow.reach(here.journal(read_only=True), asked)))
        return
    who = here.who(by)
    emit(view.withdrawal(flow.withdraw(here.pen(who), asked, by=who)))


@app.command("retest")
def retest(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(metavar="TAIL", help="Its end is enough.")],
    repaired: Annotated[list[str], typer.Argument(metavar="UNIT", help="Units or functions.")],
) -> None:
    """What to walk again on an aircraft after a repair: every check it could have touched."""
    from hardstand.flows.mending import after_repair
    from hardstand.flows.pen import Pen
    from hardstand.flows.queries import the_airframe
    from hardstand.views.output import emit
    from hardstand.views.revisions import to_walk

    here = session(context)
    reading = here.reading()
    whole = the_airframe(reading, reading.record(), tail).tail
    pen = Pen(journal=here.journal(read_only=True), clock=here.clock(reading), author="")
    emit(to_walk(after_repair(pen, whole, repaired)))


@app.command("suspects")
def suspects(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(metavar="TAIL", help="Its end is enough.")],
    bad: Annotated[
        list[str] | None, typer.Option(help="A function or step that did not work.")
    ] = None,
    good: Annotated[list[str] | None, typer.Option(help="One that did; can be repeated.")] = None,
) -> None:
    """Which units would explain what does not work, and the next best check."""
    from hardstand.flows.diagnosing import suspected
    from hardstand.flows.pen import Pen
    from hardstand.flows.queries import the_airframe
    from hardstand.views.output import emit
    from hardstand.views.revisions import explained

    here = session(context)
    reading = here.reading()
    whole = the_airframe(reading, reading.record(), tail).tail
    pen = Pen(journal=here.journal(read_only=True), clock=here.clock(reading), author="")
    emit(explained(suspected(pen, whole, bad=bad or (), good=good or ())))
