"""What is wrong with a text an operator wrote, as values: code, place, sentence, way out.

Knows nothing of how the text was read. The codes are published: a code is never given a second
meaning and never taken back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Level = Literal["error", "advice"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnostic:
    """One finding in one file; `line` and `column` count from 1, the column in characters.

    `answered` advice or errors carry a `reason` in the file and do not count against it.
    """

    code: str
    level: Level
    message: str
    hint: str
    line: int
    column: int
    answered: bool = False
    file: str = ""
    reason: str = ""

    @property
    def order(self) -> tuple[str, int, int, str]:
        """The sort key of a report: file, line, column, code."""
        return (self.file, self.line, self.column, self.code)

    @property
    def stops(self) -> bool:
        """True for an error nobody has answered: the file may not be used."""
        return self.level == "error" and not self.answered

    def text(self) -> str:
        """`file:line:column: CODE message`, and the hint or the answer on a line of its own."""
        head = f"{self.file}:{self.line}:{self.column}: {self.code} {self.message}"
        if self.answered:
            return f"{head}\n  answered: {self.reason}"
        return f"{head}\n  hint: {self.hint}" if self.hint else head


def in_order(diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Each different diagnostic once, sorted by file, line, column and code."""
    return tuple(sorted(dict.fromkeys(diagnostics), key=lambda d: (d.order, d.message)))


CODES: dict[str, str] = {
    # text
    "HS101": "The file is not UTF-8.",
    "HS102": "The text holds a control or hidden character.",
    "HS103": "The text holds a tab.",
    "HS104": "The key is not known here.",
    "HS105": "The text cannot be read as YAML.",
    "HS106": "A key is given twice.",
    "HS107": "Anchors and aliases are not used: each thing is written where it stands.",
    "HS108": "Tags are not used: every value is read as the text typed.",
    "HS109": "Merge keys are not used: each thing is written where it stands.",
    "HS110": "The file holds more than one document.",
    "HS111": "A key or list entry has no value.",
    "HS112": "The file does not hold keys with values.",
    "HS113": "The file does not begin with its format.",
    "HS114": "The file is made for a newer hardstand.",
    "HS115": "The format is not known.",
    "HS116": "A required key is missing.",
    "HS117": "The word is not one of those accepted.",
    "HS118": "The value has the wrong shape: text, list and keys are different things.",
    "HS119": "The value is not a whole number.",
    "HS120": "The value is not a decimal number.",
    "HS121": "The value is not true or false.",
    "HS122": "A text that must say something is empty.",
    "HS123": "The text is nested too deep.",
    "HS124": "A key is not a plain word.",
    "HS125": "The text holds a YAML directive.",
    "HS126": "The file is too large.",
    # a fit
    "HS201": "A unit is named that the fit does not have.",
    "HS202": "An item cannot come back to its home value.",
    "HS203": "An item is named that the fit does not have.",
    "HS204": "An item is given a value it cannot have.",
    "HS205": "The needs of a mission cannot be read.",
    "HS206": "A mission needs something that is neither a function nor a mission.",
    "HS207": "Missions need each other in a ring.",
    "HS208": "A function is named that the fit does not have.",
    "HS209": "A name holds other characters than those allowed.",
    "HS210": "An action leaves its item as it was.",
    "HS211": "A combination that must never stand would stand with everything at home.",
    "HS212": "The home of a count is not a whole number.",
    "HS213": "A zone is named that no list of the fit has.",
    "HS214": "One name stands for two things.",
    "HS215": "Two files hold one fit.",
    "HS216": "A mission does not say what it needs, or says it twice.",
    "HS217": "A permitted item gives more time than the master list.",
    # a checklist
    "HS220": "The checklist is for another fit.",
    "HS221": "Two zones have one id.",
    "HS222": "Two steps have one id.",
    "HS223": "An id holds other characters than those allowed.",
    "HS224": "A step stands in a zone the list does not have.",
    "HS225": "A step goes back to an earlier zone.",
    "HS226": "A zone has no step.",
    "HS227": "The states of a step are too few or repeat.",
    "HS228": "The expected state is not one of the states.",
    "HS229": "A field is given that this kind of step does not use.",
    "HS230": "A field is missing that this kind of step needs.",
    "HS231": "A low limit stands above its high limit.",
    "HS232": "What is possible does not enclose what is accepted.",
    "HS233": "The expected count is not a number or a mark.",
    "HS234": "A step waits for one that does not come before it.",
    "HS235": "A step names an item the fit does not have.",
    "HS236": "A step gives an item a value it cannot have.",
    "HS237": "A fault sends the walk to a step that does not come later.",
    "HS238": "A step names a zone the list does not have.",
    "HS239": "A condition is not a fact of the fit.",
    "HS240": "A step proves something the fit does not have.",
    "HS241": "A fault bears on a function the fit does not have.",
    "HS242": "There is more to pick from than there are keys.",
    "HS243": "No step proves a function of the fit.",
    "HS244": "An item moved away from home is never brought back.",
    "HS245": "An item is brought home that no earlier step moved.",
    "HS246": "A mark for a place is not well formed.",
    "HS247": "A mark names a place or part the airframe type does not have.",
    "HS248": "A number is too small.",
    "HS249": "Two steps bring the same item home.",
    "HS250": "Two lists of one fit have one id.",
    "HS251": "A judgement is named that is not known.",
    "HS252": "A judgement does not fit the kind of step.",
    "HS253": "A judgement has an input too many or too few.",
    "HS254": "A judgement cannot read the value of an input.",
    "HS255": "The unit of a step is not the one its judgement reads.",
    "HS256": "Two limits judge one number.",
    "HS257": "A test call stands on a frequency that is kept free.",
    "HS258": "The range filter is not listened to in its four positions, in order.",
    # a fleet
    "HS270": "A tail holds other characters than those allowed.",
    "HS271": "An airframe is of a type the fleet does not have.",
    "HS272": "A date is not a date.",
    "HS273": "The fits of an airframe are not in the order of their days.",
    "HS274": "An airframe carries a fit that is not known.",
    "HS275": "The time zone is not known.",
    "HS276": "A device letter is not a single capital letter.",
    "HS277": "An entry number is below zero.",
    "HS278": "A serial number stands at a position its fit does not have.",
    "HS279": "An airframe has no fit.",
    "HS280": "The hours or times of a station cannot be read.",
    "HS281": "A number must be above zero.",
    "HS282": "Two tails cannot be told apart when typed.",
    "HS283": "A fact is named that no fit knows.",
    "HS284": "One serial number stands in two airframes.",
    "HS285": "The table of daylight cannot be read.",
    # not yet, and not here
    "HS290": "This hardstand cannot judge the field yet.",
    "HS295": "An example value may not enter a live record.",
}
