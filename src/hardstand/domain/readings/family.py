"""A sum of the bench as a value: what it asks, what it answers, on what basis."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from hardstand.domain.readings.arithmetic import plain
from hardstand.domain.readings.grammar import measured
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

LONGEST_TEXT = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One thing a sum asks for: an input column, a key on the command line.

    Attributes:
        name: the column.
        words: what it is, as the trade says it.
        units: spellings of the one unit accepted, the printed one first; empty for a bare number.
        low: the least value that can be meant, inclusive.
        high: the greatest value that can be meant, inclusive.
        above: a value it must exceed, where `low` would let the edge in.
        whole: only a whole number can be meant.
        choices: word accepted → word meant; a number is asked for where this is empty.
        free: any text; the sum itself says what it accepts.
        arg: the parameter of the sum, where the column is not a Python name.
    """

    name: str
    words: str
    units: tuple[str, ...] = ()
    low: Decimal | None = None
    high: Decimal | None = None
    above: Decimal | None = None
    whole: bool = False
    choices: Mapping[str, str] | None = None
    free: bool = False
    arg: str = ""

    def read(self, text: str) -> Decimal | str:
        """The value `text` stands for.

        Raises:
            Usage: it is not what is asked for; the message names the column.
        """
        try:
            return self._text(text) if self.free or self.choices else self._number(text)
        except Usage as refusal:
            raise Usage(f"{self.name}: {refusal.what}", hint=refusal.hint) from None

    def _text(self, text: str) -> str:
        if self.choices is None:
            if len(text) > LONGEST_TEXT:
                raise Usage(f"the text is longer than {LONGEST_TEXT} characters")
            return text
        meant = self.choices.get(text.lower())
        if meant is None:
            accepted = ", ".join(dict.fromkeys(self.choices.values()))
            raise Usage(f"{text!r} is not one of {accepted}")
        return meant

    def _number(self, text: str) -> Decimal:
        if not text:
            raise Usage("nothing given", hint=f"Accepted: {self.accepted}.")
        value = measured(text, self.units)
        too_low = (self.low is not None and value < self.low) or (
            self.above is not None and value <= self.above
        )
        if too_low or (self.high is not None and value > self.high):
            raise Usage(f"{text} is not {self.accepted}")
        if self.whole and value != value.to_integral_value():
            raise Usage(f"{text} is not {self.accepted}")
        return value

    @property
    def accepted(self) -> str:
        """What can be given, in words."""
        if self.choices:
            return ", ".join(dict.fromkeys(self.choices.values()))
        if self.free:
            return "text"
        kind = "a whole number" if self.whole else "a number"
        unit = f" in {self.units[0]}" if self.units else ""
        above = f" above {plain(self.above)}" if self.above is not None else ""
        low = f" from {plain(self.low)}" if self.low is not None else ""
        high = f" to {plain(self.high)}" if self.high is not None else ""
        return f"{kind}{unit}{above}{low}{high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """A sum, its block of columns and its source; `compute` is pure and typed.

    Attributes:
        columns: input and answer columns in the order of the block.
        formula: the sum in words.
        closing: for sums over a whole table, its last line from those above.
    """

    name: str
    asks: tuple[Ask, ...]
    columns: tuple[str, ...]
    formula: str
    source: str
    compute: Callable[..., Judged]
    closing: Callable[[Sequence[Judged]], Judged] | None = None

    @property
    def answers(self) -> tuple[str, ...]:
        """The columns that are not asked for."""
        asked = {ask.name for ask in self.asks}
        return tuple(column for column in self.columns if column not in asked)

    def left_to_read(self, given: Mapping[str, str]) -> tuple[Ask, ...]:
        """What a person must still read when a step has laid down the inputs in `given`.

        Raises:
            Usage: the step names an input this sum does not have.
        """
        wanted = {ask.name for ask in self.asks}
        strange = [name for name in given if name not in wanted]
        if strange:
            raise Usage(
                f"{self.name} has no input {strange[0]!r}",
                hint=f"Its inputs: {', '.join(ask.name for ask in self.asks)}.",
            )
        return tuple(ask for ask in self.asks if ask.name not in given)

    def judge(self, texts: Mapping[str, str]) -> Judged:
        """The answer for inputs as typed, with the basis filled in.

        Raises:
            Usage: an input is missing, malformed or impossible; the message says which and why.
        """
        values = {(ask.arg or ask.name): ask.read(texts.get(ask.name, "")) for ask in self.asks}
        judged = self.compute(**values)
        return judged if judged.basis else replace(judged, basis=self.source)

    def row(self, texts: Mapping[str, str], answers: Mapping[str, str]) -> tuple[str, ...]:
        """The line of the block: inputs as typed, answers as shown."""
        asked = {ask.name for ask in self.asks}
        return tuple((texts if c in asked else answers).get(c, "") for c in self.columns)

    def refused(self, reason: str) -> Mapping[str, str]:
        """The answers of a line that cannot be reckoned: the reason first, the verdict `reject`."""
        verdicts = {c: "reject" for c in self.answers if c in ("verdict", "suggested_verdict")}
        return {**verdicts, self.answers[0]: f"reject: {reason}"}


def by_name(*families: Family) -> Mapping[str, Family]:
    """The families of a module by their names."""
    return {family.name: family for family in families}
