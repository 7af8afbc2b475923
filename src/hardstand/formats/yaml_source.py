"""YAML 1.2 text to a located tree in which every scalar is the text typed.

Only the plain part of YAML is read: no anchors, aliases, tags, merge keys, directives or second
documents. `no`, `on`, `0329`, `12:30`, `1e3` and `~` are words like any other.
Source: YAML 1.2.2, chapters 5 to 9; which parts are left out is our choice.
"""

from __future__ import annotations

import re
from collections.abc import Generator

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from hardstand.domain.diagnostic import Diagnostic
from hardstand.formats.located import Hole, Items, Keyed, Keys, Mark, Node, Words
from hardstand.formats.text_source import decoded, finding, hidden_in, newer_format, unseen
from hardstand.formats.wording import quoted

DEEPEST = 24
"""Levels of nesting read; a list needs five."""

_CLOSE_QUOTE = "close it with the same quote"
_QUOTE_IT = "put quotes round the text"
_BACKSLASH = "use single quotes, or write the backslash twice"
_REWORDED = (
    (
        "mapping values are not allowed",
        "a ': ' that cannot stand here",
        "line the key up with its neighbours; put quotes round a text that holds ': '",
    ),
    (
        "sequence entries are not allowed",
        "a list entry '- ' that cannot stand here",
        "begin the list on a new line under its key; put quotes round a text that begins '- '",
    ),
    (
        "could not find expected ':'",
        "a key without its ':'",
        "write `key: value`; put quotes round a text that goes on over lines",
    ),
    ("found unexpected end of stream", "a quote opened here is never closed", _CLOSE_QUOTE),
    ("found unexpected document separator", "a quote opened here is never closed", _CLOSE_QUOTE),
    (
        "expected <block end>",
        "this does not line up with what stands above",
        "indent it like its neighbours; put quotes round a whole text, not a part of it",
    ),
    (
        "expected '<document start>'",
        "this does not line up with what stands above",
        "indent it like its neighbours; put quotes round a whole text, not a part of it",
    ),
    (
        "expected the node content",
        "a value is missing here",
        "put quotes round a text that begins with ',' ']' or '}'",
    ),
    (
        "expected ',' or ']'",
        "the list opened with '[' on line {line} is not closed, or a ',' is missing",
        "write `[one, two]`; put quotes round a text that begins with '['",
    ),
    (
        "expected ',' or '}'",
        "the keys opened with '{{' on line {line} are not closed, or a ',' is missing",
        "write `{one: a, two: b}`; put quotes round a text that begins with '{'",
    ),
    ("cannot start any token", "a plain text cannot begin with this character", _QUOTE_IT),
    ("unknown escape character", "an unknown '\\' sign inside double quotes", _BACKSLASH),
    ("expected escape sequence", "an unfinished '\\' sign inside double quotes", _BACKSLASH),
    (
        "expected chomping or indentation",
        "a text cannot follow '|' or '>' on the same line",
        "begin the text on the next line, or put quotes round it",
    ),
    ("while scanning an alias", "a plain text cannot begin with '*'", _QUOTE_IT),
    ("while scanning an anchor", "a plain text cannot begin with '&'", _QUOTE_IT),
    ("tag", "a plain text cannot begin with '!'", _QUOTE_IT),
)
_UNREADABLE = ("the text cannot be read from here on", "compare it with the lines above")
_AT_ITS_START = (
    "found unexpected end of stream",
    "found unexpected document separator",
    "could not find expected ':'",
    "while scanning an alias",
    "while scanning an anchor",
    "tag",
)
"""Told at the place where the thing begins, not where the parser gave up."""

_TAG = re.compile(r"(?:&\S+\s+)?(!\S*)")


def read_tree(data: bytes) -> tuple[Node | None, tuple[Diagnostic, ...]]:
    """The tree, or None where there is none, and everything found on the way, unsorted.

    A file of a later format yields that one finding and nothing else.
    """
    text = decoded(data)
    if isinstance(text, Diagnostic):
        return None, (text,)
    newer = newer_format(text)
    if newer is not None:
        return None, (newer,)
    found = unseen(text)
    if found:
        return None, found
    composer = _Composer(text)
    root = composer.root()
    return root, tuple(composer.found)


class _Composer:
    """Builds the tree from the parser's events, collecting findings as it goes."""

    def __init__(self, text: str) -> None:
        self.found: list[Diagnostic] = []
        self._text = text
        self._last = 0
        self._events = self._guarded()

    def root(self) -> Node | None:
        """The node of the first document; None if there is none or it could not be read."""
        node: Node | None = None
        documents = 0
        for event in self._events:
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents == 2:
                    mark = _mark(event)
                    self._say(
                        "HS110",
                        "a second document begins",
                        "one file holds one; take the rest out",
                        mark,
                    )
                    return node
            elif isinstance(event, NodeEvent):
                node = self._node(event, 0)
        return None if any(d.code in {"HS105", "HS123"} for d in self.found) else node

    def _guarded(self) -> Generator[Event]:
        """The parser's events; what stops the parser becomes one finding and ends them."""
        try:
            for event in YAML(typ="safe", pure=True).parse(self._text):
                self._last = event.end_mark.index
                yield event
        except MarkedYAMLError as error:
            self._stopped(error)
        except (YAMLError, ValueError, OverflowError):
            # An escape such as "\UFFFFFFFF" names no character; the parser gives no place for it.
            match = re.compile(r"\\[xuU]").search(self._text, self._last)
            mark = self._mark_at(match.start() if match else self._last)
            said = "an escape inside double quotes names no character"
            self._say("HS105", said, "use single quotes, or type the character itself", mark)

    def _stopped(self, error: MarkedYAMLError) -> None:
        where = error.problem_mark or error.context_mark
        told = f"{error.context or ''} {error.problem or ''}"
        said, hint = next(((s, h) for part, s, h in _REWORDED if part in told), _UNREADABLE)
        opened = error.context_mark or where
        if any(part in told for part in _AT_ITS_START):
            where = opened
        mark = Mark(where.line + 1, where.column + 1) if where else self._mark_at(self._last)
        self._say("HS105", said.format(line=opened.line + 1 if opened else 1), hint, mark)

    def _node(self, event: Event, depth: int) -> Node:
        mark = _mark(event)
        if isinstance(event, AliasEvent):
            said = f"aliases are not used: {quoted(f'*{event.anchor}')}"
            hint = "write the value itself; put quotes round a text that begins with '*'"
            self._say("HS107", said, hint, mark)
            return Hole(mark)
        self._look_for_anchor_and_tag(event, mark)
        if depth > DEEPEST:
            hint = "close the brackets; check the indentation"
            self._say("HS123", f"nested deeper than {DEEPEST} levels", hint, mark)
            self._events.close()
            return Hole(mark)
        if isinstance(event, SequenceStartEvent):
            return self._items(mark, depth)
        if isinstance(event, MappingStartEvent):
            return self._keys(mark, depth)
        return self._words(event, mark)

    def _words(self, event: Event, mark: Mark) -> Node:
        if not isinstance(event, ScalarEvent):
            return Hole(mark)
        text = str(event.value)
        hidden = hidden_in(text)
        if hidden:
            said = f"an escape makes the character {hidden}"
            self._say("HS102", said, "take it out; only what a reader can see is accepted", mark)
            return Hole(mark)
        if event.style in {"|", ">"}:
            text = text.rstrip("\n")
        return Words(text, mark)

    def _look_for_anchor_and_tag(self, event: Event, mark: Mark) -> None:
        anchor = getattr(event, "anchor", None)
        if anchor:
            said = f"anchors are not used: {quoted('&' + str(anchor))}"
            hint = "take it out; put quotes round a text that begins with '&'"
            self._say("HS107", said, hint, mark)
        tag = getattr(event, "tag", None)
        if tag:
            written = _TAG.match(self._text, event.start_mark.index)
            # A tag before its anchor stands before the place the parser gives.
            said = f"tags are not used: {quoted(written[1] if written else str(tag))}"
            hint = "take it out; put quotes round a text that begins with '!'"
            self._say("HS108", said, hint, mark)

    def _items(self, mark: Mark, depth: int) -> Items:
        nodes: list[Node] = []
        for event in self._events:
            if isinstance(event, SequenceEndEvent):
                break
            if _is_empty(event):
                dash = self._text.rfind("-", 0, event.start_mark.index)
                at = self._mark_at(max(dash, 0))
                self._say("HS111", "a list entry without a value", "take the '-' out", at)
                nodes.append(Hole(at))
                continue
            nodes.append(self._node(event, depth + 1))
        return Items(tuple(nodes), mark)

    def _keys(self, mark: Mark, depth: int) -> Keys:
        entries: dict[str, Keyed] = {}
        partial = False
        for event in self._events:
            if isinstance(event, MappingEndEvent):
                break
            key = self._key(event, depth)
            value = next(self._events, None)
            if value is None:
                break
            node = self._value(value, key, _mark(event), depth)
            if key is None or key == "<<":
                partial = True
            elif key in entries:
                first = entries[key].mark.line
                said = f"{quoted(key)} is given twice, first on line {first}"
                self._say("HS106", said, "keep one of them", _mark(event))
            else:
                entries[key] = Keyed(_mark(event), node)
        return Keys(entries, mark, partial)

    def _key(self, event: Event, depth: int) -> str | None:
        mark = _mark(event)
        if isinstance(event, ScalarEvent) and event.value and not hidden_in(event.value):
            self._look_for_anchor_and_tag(event, mark)
            if event.value == "<<":
                said = "merge keys are not used: '<<'"
                self._say("HS109", said, "write the keys themselves", mark)
            return str(event.value)
        self._node(event, depth + 1)
        said = "a key that is not a plain word"
        self._say(
            "HS124", said, "write `key: value`; put quotes round a text that begins with '?'", mark
        )
        return None

    def _value(self, event: Event, key: str | None, key_mark: Mark, depth: int) -> Node:
        if not _is_empty(event):
            return self._node(event, depth + 1)
        if key is not None:
            said = f"{quoted(key)} has no value"
            hint = "give one, or take the key out; '' is an empty text"
            self._say("HS111", said, hint, key_mark)
        return Hole(key_mark)

    def _mark_at(self, index: int) -> Mark:
        before = self._text[:index]
        return Mark(before.count("\n") + 1, len(before) - before.rfind("\n"))

    def _say(self, code: str, message: str, hint: str, mark: Mark) -> None:
        self.found.append(finding(code, message, hint, line=mark.line, column=mark.column))


def _is_empty(event: Event) -> bool:
    return (
        isinstance(event, ScalarEvent)
        and event.value == ""
        and event.style is None
        and not event.anchor
        and not event.tag
    )


def _mark(event: Event) -> Mark:
    return Mark(event.start_mark.line + 1, event.start_mark.column + 1)
