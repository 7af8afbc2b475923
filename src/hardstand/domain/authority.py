"""may: the one place that says who may do what, with the rule and who could instead.

The same judgement is asked for before an act is written and again by every fold, so that a line
which somebody was not entitled to write, on another device or by another program, changes nothing.
A record in which nobody is enrolled yet asks for no roles; nobody clears their own work in any.

Source: whole-job C-11 and 7d; TM 1-1520-238-PM p. 8 (X and circled X are cleared by an inspector);
14 CFR 121.371(c) (nobody inspects his own work), 121.369(b)(8) (nobody else overrules an
inspector); NTSB recommendation A-04-009 (who taught the task does not inspect it); AMC4
145.A.48(b) (re-inspection by the doer, for unforeseen need only).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from hardstand.domain.facts import OpenEntry
from hardstand.domain.hands import By
from hardstand.domain.people import (
    NOT_ENROLLED,
    SUPERVISORS,
    Person,
    find,
    holders,
    named,
    role_words,
)
from hardstand.domain.powers import (
    ANYWHERE,
    NEEDS,
    NEVER,
    NOBODY_ENROLLED,
    OFFICE,
    ON_THE_LINE,
    UNDER_SUPERVISION,
    Barred,
    Case,
    Deed,
)
from hardstand.domain.quantity import seconds_between
from hardstand.domain.symbols import WORDS
from hardstand.domain.verdict import effective

__all__ = [
    "NEEDS", "NEVER", "NOBODY_ENROLLED", "Barred", "Case", "Deed", "answers_for",
    "judged_as", "may",
    "who_could",
]  # fmt: skip


def may(
    deed: Deed,
    person: str,
    case: Case,
    item: OpenEntry | None = None,
    *,
    with_: Iterable[str] = (),
    category: str = "",
) -> Barred | None:
    """None if the person may do it; else the rule that bars them, and who could instead.

    Args:
        deed: what is to be done.
        person: initials of whoever wants to.
        case: register, settings, time and fit.
        item: the entry concerned, if the deed concerns one.
        with_: who works with the person; a trainee needs a supervisor there.
        category: of a deferral.
    """
    if case.disowned:
        return Barred(rule=f"{person} says this line is not theirs", who_could="a third person")
    bar = _BARS.get(deed)
    barred = bar(person, item, case) if bar is not None and item is not None else None
    if barred is None and case.people:
        barred = _role_missing(deed, person, case, tuple(with_), category)
    if barred is None or barred.who_could:
        return barred
    return Barred(rule=barred.rule, who_could=who_could(deed, case, item, but=(person,)))


def who_could(
    deed: Deed, case: Case, item: OpenEntry | None = None, *, but: Iterable[str] = ()
) -> str:
    """Who holds the authority now and is not barred otherwise; in words when nobody does."""
    fit = "" if deed in ANYWHERE else case.fit
    if NEEDS[deed] == ON_THE_LINE:
        return "anyone on the line"
    found = holders(case.people, NEEDS[deed], case.at, fit=fit, but=but)
    bar = _BARS.get(deed)
    if bar is not None and item is not None:
        found = tuple(p for p in found if bar(p.initials, item, case) is None)
    if found:
        return named(found, case.at)
    roles = " or ".join(role_words(r) for r in NEEDS[deed])
    return f"nobody enrolled now; it needs {roles}" if case.people else f"another {roles}"


def answers_for(person: str, with_: Iterable[str], case: Case) -> str:
    """Who signs for work: the doer, or the supervisor a trainee works beside."""
    known = find(case.people, person)
    if known is None or not known.holds("trainee", case.at, case.fit):
        return person
    return next((s.initials for s in _supervisors(with_, case)), person)


def judged_as(author: str, by: By, case: Case) -> str:
    """Whose authority a line is judged by: its author's, or the trainee's they sign for."""
    return by.doer if author == answers_for(by.doer, by.with_, case) else author


def _supervisors(with_: Iterable[str], case: Case) -> tuple[Person, ...]:
    beside = (find(case.people, initials) for initials in with_)
    return tuple(p for p in beside if p and p.holds_any(SUPERVISORS, case.at, case.fit))


def _role_missing(
    deed: Deed, person: str, case: Case, with_: tuple[str, ...], category: str
) -> Barred | None:
    known = find(case.people, person)
    if known is None:
        return Barred(rule=f"{person} {NOT_ENROLLED}", who_could="")
    at, fit = case.at, "" if deed in ANYWHERE else case.fit
    if deed not in OFFICE and known.holds("administrator", at):
        return Barred(rule="an administrator signs no maintenance", who_could="")
    if known.holds("trainee", at, fit) and deed in UNDER_SUPERVISION:
        if _supervisors(with_, case):
            return None
        return Barred(
            rule=f"{person} is a trainee and needs a supervisor at the work, who signs for it",
            who_could=f"{person} with "
            + (named(holders(case.people, SUPERVISORS, at, fit=fit), at) or "a supervisor"),
        )
    held = [r for r in NEEDS[deed] if known.holds(r, at, fit, category)]
    if held and not case.trusted and all(known.ends(r, at) for r in held):
        return Barred(
            rule="CANNOT TELL whether their authority has ended: this clock is not trusted",
            who_could="",
        )
    return None if held else Barred(rule=_lacks(deed, known, case, category), who_could="")


def _lacks(deed: Deed, person: Person, case: Case, category: str) -> str:
    """Why a person holds none of the roles: ended, not begun, another fit, or never granted."""
    needed = " or ".join(role_words(r) for r in NEEDS[deed])
    if NEEDS[deed] == ON_THE_LINE and person.roles(case.at) == ("auditor",):
        return f"{person.initials} is auditor and reads only"
    if person.ended and case.at >= person.ended:
        return f"the authority of {person.initials} ended {person.ended}"
    grants = [g for g in person.grants if g.role in NEEDS[deed]]
    if not grants:
        roles = ", ".join(role_words(r) for r in person.roles(case.at)) or "without a role"
        return f"it needs {needed}; {person.initials} is {roles}"
    grant = grants[-1]
    if case.at < grant.since:
        return f"{person.initials} is {role_words(grant.role)} only from {grant.since}"
    if grant.until and case.at >= grant.until:
        return f"the authority of {person.initials} ended {grant.until}"
    if category:
        return f"{person.initials} defers {', '.join(grant.categories or 'BCD')}, not {category}"
    return (
        f"{person.initials} is {role_words(grant.role)} on fit {', '.join(grant.fits)}, "
        f"not on fit {case.fit}"
    )


# -- bars that an entry itself sets ----------------------------------------------------------------

Bar = Callable[[str, OpenEntry, Case], Barred | None]


def _own_work(person: str, item: OpenEntry) -> Barred | None:
    if person in item.doers:
        return Barred(
            rule=f"nobody clears their own work; {', '.join(item.doers)} did it", who_could=""
        )
    if person in item.taught:
        return Barred(rule=f"{person} taught this task, and who taught it does not clear it",
                      who_could="")  # fmt: skip
    return None


def _clearing(person: str, item: OpenEntry, case: Case) -> Barred | None:
    if item.disputes:
        return Barred(
            rule=f"{item.number} stands in a disagreement, which a third person settles first",
            who_could=f"{who_could('settle', case, item)}, by `hardstand defect settle`",
        )
    if item.work is None:
        return Barred(
            rule=f"{item.number} has no action recorded; an entry is cleared over work done",
            who_could="anyone, once `hardstand defect action` says what was done",
        )
    if item.work.outcome == "could_not_duplicate" and case.cnd_before >= 2 and not item.ruled:
        return Barred(
            rule=f"could not duplicate {case.cnd_before} times before; a lead first says what will "
            "be different",
            who_could=f"{who_could('rule', case, item)}, by `hardstand defect rule`",
        )
    return None


def _counts(item: OpenEntry, case: Case) -> str:
    """The symbol the entry counts with under these circumstances."""
    return effective(item, case.at, trusted=case.trusted)


def reads_x(item: OpenEntry, case: Case) -> bool:
    """Whether the entry is an X, circled or not, or counts as one by now."""
    return _counts(item, case) in {"X", "(X)"}


def _clear(person: str, item: OpenEntry, case: Case) -> Barred | None:
    doer_may = case.settings.doer_clears_diagonal and _counts(item, case) == "/"
    own = None if doer_may and person in item.doers else _own_work(person, item)
    return _clearing(person, item, case) or own


def _reject(person: str, item: OpenEntry, _: Case) -> Barred | None:
    if item.work is None:
        return Barred(
            rule=f"{item.number} has no action recorded; there is nothing to reject",
            who_could="anyone, once `hardstand defect action` says what was done",
        )
    return _own_work(person, item)


def _clear_own(person: str, item: OpenEntry, case: Case) -> Barred | None:
    allowed = case.settings.again_by_doer
    if allowed == "never" or (allowed == "below_x" and reads_x(item, case)):
        return Barred(
            rule=f"this operator does not let a doer inspect their own work on a "
            f"{WORDS[_counts(item, case)]}",
            who_could=who_could("clear", case, item),
        )
    if not item.ordered_by or item.ordered_by == person:
        return Barred(
            rule="a doer looks at their own work only by the order of a chief, for unforeseen need",
            who_could=f"{who_could('order_again', case, item, but=(person,))} orders it, by "
            "`hardstand defect rule --again-by-doer`",
        )
    wait = 60 * case.settings.second_look_min
    if item.work is not None and seconds_between(item.work.at, case.at) < wait:
        return Barred(
            rule=f"a second look at one's own work comes after a pause of "
            f"{case.settings.second_look_min} minutes",
            who_could=who_could("clear", case, item),
        )
    return _clearing(person, item, case)


def _lower(_: str, item: OpenEntry, case: Case) -> Barred | None:
    if item.symbol == "-":
        return None
    if not case.people:
        return Barred(
            rule="symbols go up freely and come down only by authority; "
            "this record has no people enrolled yet",
            who_could="nobody yet; record the action and have the entry cleared",
        )
    chief = who_could("limit", case)
    return Barred(
        rule=f"a {WORDS[item.symbol]} comes down by clearing, or as an X within written limits",
        who_could=f"{chief} with limits, by `hardstand defect limit`",
    )


def _limit(_: str, item: OpenEntry, case: Case) -> Barred | None:
    if _counts(item, case) == "X":
        return None
    return Barred(
        rule=f"only a red X is circled; {item.number} reads {item.symbol} {WORDS[item.symbol]}",
        who_could="nobody, while it is no X",
    )


def _defer(_: str, item: OpenEntry, case: Case) -> Barred | None:
    if item.deferral is not None and item.deferral.extended:
        return Barred(
            rule="a deferral is extended once, and what was extended is not put off afresh",
            who_could="nobody; mend it before it runs out",
        )
    return _not_as_x(item, case)


def _not_as_x(item: OpenEntry, case: Case) -> Barred | None:
    if reads_x(item, case):
        raised = item.symbol in {"X", "(X)"}
        why = f"it reads {item.symbol}" if raised else "its deferral ran out, so it counts as X"
        return Barred(
            rule=f"an X is never deferred; {why}",
            who_could=f"nobody; mend it, or {who_could('limit', case, item)} sets written limits",
        )
    return None


def _extend(_: str, item: OpenEntry, case: Case) -> Barred | None:
    if item.deferral is None:
        return Barred(rule=f"{item.number} is not deferred", who_could="nobody, as it stands")
    if item.deferral.extended:
        return Barred(rule="a deferral is extended once", who_could="nobody a second time")
    longest = max((d.last_day for d in item.put_off_before if d.extended), default="")
    if longest:
        return Barred(
            rule=f"a deferral is extended once, and this defect's was before, to {longest}",
            who_could="nobody a second time; mend it before it runs out",
        )
    return _not_as_x(item, case)


NEEDS_TWO = "an X is entered in error by two people: its finder says so, a second confirms"


def _confirm_void(person: str, item: OpenEntry, case: Case) -> Barred | None:
    if not reads_x(item, case):
        return None
    if person == item.found_by:
        return Barred(
            rule="an X entered in error needs a second person",
            who_could=who_could("confirm_void", case, but=(person,)) if case.people
            else f"anyone but {item.found_by}",
        )  # fmt: skip
    if case.people and not item.voiders:
        return Barred(
            rule=NEEDS_TWO,
            who_could=f"{item.found_by} says so first, by `hardstand defect void`",
        )
    return None


def _settle(person: str, item: OpenEntry, _: Case) -> Barred | None:
    if not item.disputes:
        return Barred(rule=f"nothing about {item.number} disagrees", who_could="nobody, as it is")
    parties = {p for d in item.disputes for p in d.parties}
    if person in parties:
        return Barred(
            rule=f"{person} is a party: {', '.join(sorted(parties))} wrote what disagrees",
            who_could="",
        )
    return None


_BARS: Mapping[Deed, Bar] = {
    "clear": _clear,
    "reject": _reject,
    "clear_own": _clear_own,
    "lower_symbol": _lower,
    "limit": _limit,
    "defer": _defer,
    "extend": _extend,
    "confirm_void": _confirm_void,
    "settle": _settle,
}
