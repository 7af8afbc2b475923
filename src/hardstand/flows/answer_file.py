"""A file of answers: one walk as it was written down, and what each of its lines means."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import zip_longest

from hardstand.domain import closing, measuring, reporting
from hardstand.domain.answering import Reply
from hardstand.domain.bodies import Outcome
from hardstand.domain.checklist import Step
from hardstand.domain.words import too_long
from hardstand.errors import BadFile
from hardstand.flows.giving import is_call, picks

_LINE = re.compile(r"(?P<step>[A-Za-z0-9.-]+):\s*(?P<value>[^|]*?)\s*(?:\|\s*(?P<words>.*))?")
_HEAD = re.compile(r"(?P<name>tail|list|taken|end)\s+(?P<value>\S.*)")
_KEYED = {"OK": "O", "FAULT": "F", "UNSURE": "U"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A walk as written down: tail, list, entries taken, an answer a step, how it ended."""

    tail: str
    list_id: str = ""
    taken: tuple[str, ...] = ()
    answers: Mapping[str, tuple[str, str]]
    end: Outcome | None = None
    end_words: str = ""


def parse(name: str, data: bytes) -> Script:
    """The script of an answers file; docs/reference/answers.md says its lines.

    Raises:
        BadFile: a line cannot be read, each one named.
    """
    heads: dict[str, str] = {}
    answers: dict[str, tuple[str, str]] = {}
    wrong = []
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile(f"{name}: byte {error.start} is not UTF-8.") from error
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.split(" #")[0].strip() if not raw.startswith("#") else ""
        head, step = _HEAD.fullmatch(line), _LINE.fullmatch(line)
        long = too_long(line.partition("|")[2].strip())
        if long:
            wrong.append(f"{name}:{number}: {long}")
        elif head and head["name"] not in heads:
            heads[head["name"]] = head["value"]
        elif step and step["step"] not in answers and step["value"]:
            answers[step["step"]] = (step["value"], step["words"] or "")
        elif head or (step and step["value"]):
            wrong.append(f"{name}:{number}: {line.split()[0].rstrip(':')} is given twice")
        elif line:
            wrong.append(f"{name}:{number}: {line!r} is neither `STEP: ANSWER` nor `tail TAIL`")
    if "tail" not in heads:
        wrong.append(f"{name}:1: no line `tail TAIL`")
    ended, _, words = heads.get("end", "").partition("|")
    outcome = next((o for o in closing.OUTCOMES if o == ended.strip()), None)
    if ended and outcome is None:
        wrong.append(f"{name}: end {ended.strip()!r} is none of {', '.join(closing.OUTCOMES)}")
    if wrong:
        raise BadFile("\n".join(wrong), safe="Nothing was written.", hint="Mend these lines.")
    return Script(
        tail=heads["tail"], list_id=heads.get("list", ""), answers=answers, end=outcome,
        taken=tuple(heads.get("taken", "").replace(",", " ").split()), end_words=words.strip(),
    )  # fmt: skip


def reply_of(step: Step, value: str, words: str) -> Reply:
    """What a line of a script means at its step."""
    for word, key in (("SKIPPED", "S"), ("NOT FITTED", "N")):
        if value.startswith(word):
            return Reply(key=key, reason=value.removeprefix(word).strip(), words=words)
    if value in _KEYED and not (value == "OK" and is_call(step)):
        evidence = words if value == "OK" else ""
        return Reply(key=_KEYED[value], words="" if evidence else words, evidence=evidence)
    if is_call(step):
        return _call(step, value, words)
    if step.kind == "state" or picks(step):
        return Reply(state=value, words=words)
    if step.kind == "count" or measuring.digits(value, step.unit):
        return Reply(value=value, words=words)
    *earlier, last = value.split() or [""]
    return Reply(value=last, earlier=tuple(earlier), words=words)


def _call(step: Step, value: str, words: str) -> Reply:
    """Reports of one call: readabilities by comma, stations with their words by ` // `.

    OK means that words without a digit were good by the ear of whoever called.
    """
    channel = (step.judge or {}).get("channel", "")
    lines = list[str]()
    told = [part.strip() for part in words.split("//")]
    given = [part.strip() for part in value.split(",")]
    for readability, said in zip_longest(given, told, fillvalue=""):
        station, _, heard = said.partition(":")
        said_so = reporting.NOT_GIVEN if readability == "OK" else readability
        lines.append(reporting.line(said_so, station, channel, heard))
    if value == "OK":
        return Reply(key="O", earlier=tuple(lines))
    return Reply(value=lines[-1], earlier=tuple(lines[:-1]))
