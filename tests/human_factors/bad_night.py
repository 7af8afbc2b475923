"""One bad night at QM-107, as the program tells it: `python tests/human_factors/bad_night.py`.

Called away, a dead device, an idle quarter of an hour, a closed terminal with another person going
on, a reading with its digits turned round, a fuel truck, a missing tool. Steps answered well stand
in one line; everything else is shown whole. With --renew the golden file is written anew.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

HERE = Path(__file__).resolve()
if __name__ == "__main__":
    sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[2] / "src")]

from builders import Watch
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.errors import Interrupted
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views.walk_end import told as ended
from hardstand.views.walk_screen import lines
from human_factors.watched import DAWN, papers_adopted
from memory import MemoryJournal
from scenarios.stage import Person, moved_on, plan_at, step_of

GOLDEN = HERE.with_name("bad_night.txt")
TAIL = "QM-107"
Odd = Mapping[str, Sequence[str]]


class Witness(Person):
    """Somebody whose night is written down; `waits` are minutes idled at a step before its key.

    Who `finds` sees everything home where it is asked for.
    """

    finds = False

    def begin(self, pen: Pen, told: list[str], odd: Odd, waits: Mapping[str, int]) -> None:
        """Begin to write down."""
        self._pen, self._told = pen, told
        self._odd_steps = {*odd, *waits, self._until}
        self._waits = dict(waits)
        self._step = ""

    def _begun(self, question: Ask) -> str:
        home = re.search(r"home is ([^.]+)\.", " ".join(x.text for x in question.blocks))
        seen = [n for n, x in enumerate(question.choices, 1) if home and x.split(":")[0] == home[1]]
        if self.finds and seen:
            return str(seen[0])
        return super()._begun(question)

    def show(self, text: str) -> None:
        """Words that ask nothing, as shown."""
        super().show(text)
        self._told.append(text)

    def ask(self, question: Ask) -> str:
        """The reply, with what was asked."""
        number = step_of(question)
        if number:
            assert self._plan is not None
            plan = self._plan[0]
            self._step = next(s.id for s in plan.steps if plan.checklist.number(s.id) == number)
        waited = self._waits.pop(self._step, 0) if number else 0
        place = len(self._told)
        reply = super().ask(question)
        if waited:
            moved_on(self._pen, minutes=waited)
        self._told[place:place] = self._lines(question, reply, waited)
        return reply

    def _lines(self, question: Ask, reply: str, waited: int) -> list[str]:
        known = self._step and self._step not in self._odd_steps
        if known and (step_of(question) or question.typed == "text" or "C" in question.keys):
            do = next((x.text for x in question.blocks if x.kind == "do"), question.prompt)
            if not any(x.kind == "card" for x in question.blocks):
                return [f"{do}  > {reply}"]
        whole = [*lines(question, 72, drawn=False), question.prompt]
        return ["", *whole, *([f"({waited} minutes go by)"] if waited else []), f"> {reply}"]


def _sit(
    pen: Pen,
    told: list[str],
    title: str,
    odd: Odd | None = None,
    *,
    until: str = "",
    then: Sequence[str] = (),
    waits: Mapping[str, int] | None = None,
    finds: bool = False,
) -> None:
    told += ["", f"=== {title} ===", ""]
    person = Witness(TAIL, plan_at(pen, TAIL), dict(odd or {}), until=until, then=then)
    person.finds = finds
    person.begin(pen, told, odd or {}, waits or {})
    try:
        told.append(ended(walk(pen, person, by=By(doer=pen.author))))
    except Interrupted:
        told.append("(the screen goes dark)")


def transcript() -> str:
    """The whole night."""
    told = ["One bad night at QM-107. Lines with > are keys pressed and words typed."]
    journal = MemoryJournal(lines=papers_adopted())
    ines = Pen(journal=journal, clock=Watch(at=DAWN, step=3), author="IO")
    bram = replace(ines, author="BT")
    _sit(ines, told, "04:50 Ines begins, and is called away", until="comp-lf", then=["b", "1"])
    moved_on(ines, minutes=11)
    _sit(ines, told, "Back; digits are turned round, and the battery of the tablet dies",
         until="dial-lf-329", then=["239"])  # fmt: skip
    moved_on(ines, minutes=4)
    _sit(ines, told, "Another tablet battery; a long talk; somebody sits on the screen",
         {"dial-lf-329": ["330"]}, until="dial-hfb-8000", waits={"dial-hfa-5060": 16})  # fmt: skip
    moved_on(ines, minutes=25)
    fuel = ["f", "fuel truck drew up alongside", "c", "1"]
    _sit(bram, told, "Bram takes over; a fuel truck; a screwdriver is missing",
         {"op-gate": fuel, "close-tools": ["8", "screwdriver"]}, until="pap-end",
         then=["o", "2", "c", "b", "1"])  # fmt: skip
    moved_on(ines, minutes=30)
    _sit(bram, told, "The screwdriver is found under the seat", finds=True)
    return "\n".join(line.rstrip() for line in told) + "\n"


def main(words: list[str]) -> None:
    """Print the night, or write the golden file."""
    if words == ["--renew"]:
        GOLDEN.write_text(transcript(), encoding="utf-8")
    else:
        sys.stdout.write(transcript())


if __name__ == "__main__":
    main(sys.argv[1:])
