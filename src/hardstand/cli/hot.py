"""What the quick questions do, without typer: status, open, why, walks, board.

Both ways in call these: cli/front.py when the words are plain, the typer commands otherwise.
"""

from __future__ import annotations

from hardstand.cli.session import Session, instant
from hardstand.views.output import emit, prose


def status(here: Session, tail: str = "", *, at: str | None = None, json: bool = False) -> None:
    """How each airframe stands, or one."""
    from hardstand.flows import queries
    from hardstand.views import status as view

    now = instant(at)
    reading = here.reading(now)
    board = queries.board(reading, now or here.clock(reading).now(), tail)
    emit(view.json_text(board) if json else view.text(board, one=bool(tail), plain=here.plain))


def open_items(
    here: Session,
    tail: str = "",
    *,
    at: str | None = None,
    json: bool = False,
    csv: bool = False,
    columns: bool = False,
    **narrowed: str | int | None,
) -> None:
    """What is open; `narrowed` are the fields of listing.Filter."""
    from hardstand.flows import listing
    from hardstand.views import open_items as view

    now = instant(at)
    reading = here.reading(now)
    only = listing.narrowed(narrowed)
    found = listing.open_list(reading, now or here.clock(reading).now(), tail, only)
    form = "columns" if columns else "json" if json else "csv" if csv else "text"
    emit(view.render(found, form, plain=here.plain))


def why(here: Session, what: str, *, at: str | None = None) -> None:
    """Why an airframe or an entry stands as it does."""
    from hardstand.flows.explaining import reasons
    from hardstand.views import why as view

    now = instant(at)
    reading = here.reading(now)
    emit(view.text(reasons(reading, now or here.clock(reading).now(), what)))


def walks(here: Session, tail: str = "", *, close_up: bool = False) -> None:
    """Where open walks stand; or in which order to put back what is away."""
    if close_up:
        _close_up(here, tail)
        return
    from hardstand.flows.open_walks import open_walks
    from hardstand.views.walks import walks_text

    emit(prose(walks_text(open_walks(here.reading(), tail))))


def _close_up(here: Session, tail: str) -> None:
    from hardstand.flows.closing_up import orders
    from hardstand.flows.pen import Pen
    from hardstand.flows.queries import the_airframe
    from hardstand.views.walks import close_up_text

    reading = here.reading()
    whole = the_airframe(reading, reading.record(), tail).tail if tail else ""
    pen = Pen(journal=here.journal(read_only=True), clock=here.clock(reading), author="")
    emit(close_up_text(orders(pen, whole)))


def lead(here: Session, tail: str = "", *, at: str | None = None, say: bool = False) -> None:
    """Everything a shift lead sees to, or what one aircraft needs."""
    if tail and not say:
        _needs(here, tail, at)
        return
    from hardstand.flows.leading import lead_board
    from hardstand.views import board as view

    now = instant(at)
    reading = here.reading(now)
    found = lead_board(reading, now or here.clock(reading).now())
    emit(view.spoken(found, tail) if say else view.text(found))


def _needs(here: Session, tail: str, at: str | None) -> None:
    from hardstand.flows.leading import lead_board
    from hardstand.flows.queries import the_airframe
    from hardstand.views.needs import text

    now = instant(at)
    reading = here.reading(now)
    whole = the_airframe(reading, reading.record(), tail).tail
    emit(text(lead_board(reading, now or here.clock(reading).now()), whole))


def plan(here: Session, *, at: str | None, wanted: str, take_off: str, people: int) -> None:
    """How many of the flights wanted can be flown, and by when walks must begin."""
    from hardstand.flows import planning
    from hardstand.views import planning as view

    now = instant(at)
    reading = here.reading(now)
    asked = planning.asked(wanted, take_off, people)
    found = planning.plan(reading, now or here.clock(reading).now(), asked)
    emit(view.text(found, plain=here.plain))
