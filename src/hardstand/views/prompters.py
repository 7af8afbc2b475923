"""Asking a person: key by key on a terminal, line by line anywhere else. No decisions."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple, TextIO

from hardstand.domain.asking import ASIDE_FROM_TEXT, CAME_BACK, ESCAPE, Ask, Block
from hardstand.domain.words import visible
from hardstand.views import keys
from hardstand.views.presses import BOUNCE_S, Presses
from hardstand.views.replies import not_taken, understood
from hardstand.views.themes import BARE, OFF, THEMES, Theme
from hardstand.views.walk_screen import keys_sentence, lines, pages, wrapped

NUMBER = "0123456789-."
MARGIN = 8
"""Columns beside a prompt that are left to what is typed."""
LEAVE, WORD_S = "B", 0.2
"""The key that leaves is taken once so long no other followed it: a word is no wish to leave."""
TURN = "T"
"""The key that turns the theme: nothing but what the screen looks like."""
THEME, BOUNCE = "HARDSTAND_THEME", "HARDSTAND_BOUNCE_MS"
CLEAR = "\x1b[2J\x1b[H"


class Piped:
    """Reads replies line by line: for pipes, screen readers, TERM=dumb and --plain."""

    def __init__(self, source: TextIO, out: TextIO) -> None:
        self._source = source
        self._out = out
        self._likely: Callable[[], Ask | None] | None = None
        self._ready: tuple[Ask | None, int, list[str]] = (None, 0, [])
        self._stands = False

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the question after the next one; see ports.Forehanded."""
        self._likely = likely

    def at_once(self) -> None:
        """Print what was made ready; see ports.Forehanded."""
        _, width, made = self._ready
        self._stands = bool(made) and width == self._columns()
        if self._stands:
            self._print(made)

    def ask(self, question: Ask) -> str:
        """Print the question as plain lines; take the first line that can be a reply."""
        columns, (known, width, made), stands = self._columns(), self._ready, self._stands
        self._ready, self._stands = (None, 0, []), False
        ready = known == question and width == columns
        if not (ready and stands):
            self._print(made if ready else self._laid_out(question, columns))
        likely, self._likely = self._likely, None
        following = likely() if likely is not None else None
        if following is not None:
            self._ready = (following, columns, self._laid_out(following, columns))
        while True:
            text, terminal = self._line(), self._source.isatty()
            reply = understood(question, text, terminal=terminal)
            if reply is not None:
                return reply
            keys = keys_sentence(question)
            said = not_taken(question, text, terminal=terminal)
            told = (said, keys, question.prompt)
            self._print([line for text in told for line in self._broken(text)])

    def _laid_out(self, question: Ask, columns: int) -> list[str]:
        return [*lines(question, columns, drawn=False), *self._broken(question.prompt)]

    def show(self, text: str) -> None:
        """Print words that ask nothing."""
        self._print(self._broken(visible(text)))

    def _columns(self) -> int:
        """Those of a terminal that a person sees; else 80."""
        return shutil.get_terminal_size((80, 24)).columns if self._out.isatty() else 80

    def _broken(self, text: str) -> list[str]:
        """The text broken at words where a terminal would break it anywhere, whole elsewhere."""
        if not text:
            return []
        return wrapped(text, self._columns()) if self._out.isatty() else [text]

    def _line(self) -> str:
        line = self._source.readline()
        if not line:
            raise keys.left()
        return line.rstrip("\r\n")

    def _print(self, found: Iterable[str]) -> None:
        self._out.write("".join(f"{line}\n" for line in found))
        self._out.flush()


class _Ready(NamedTuple):
    """A question that fits one screen, drawn before it is put: for that size, in that theme."""

    question: Ask
    size: tuple[int, int]
    theme: Theme
    turned: Ask
    text: str


class Terminal:
    """Draws one screen a question and takes single keys; needs a real terminal."""

    def __init__(
        self,
        source: TextIO,
        out: TextIO,
        *,
        theme: Theme = BARE,
        themes: tuple[Theme, ...] = (),
        presses: Presses | None = None,
    ) -> None:
        self._source = source
        self._out = out
        self._theme = theme
        self._themes = themes
        self._presses = presses or Presses()
        self._said: list[str] = []
        self._read = set[tuple[str, str]]()
        self._passed = set[Block]()
        self._refused = False
        self._tells = True
        self._begun: tuple[tuple[str, ...], str] = ((), "")
        self._likely: Callable[[], Ask | None] | None = None
        self._ready: _Ready | None = None
        self._stands = False

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the question after the next one; see ports.Forehanded."""
        self._likely = likely

    def at_once(self) -> None:
        """Draw what was made ready; see ports.Forehanded."""
        ready = self._ready
        if ready and not self._said and ready[1:3] == (self._window(), self._theme):
            if ready.question.typed != "text":  # a line is taken whenever it was typed
                keys.drop(self._source.fileno())
            self._echo(ready.text)
            self._stands = True

    def ask(self, question: Ask) -> str:
        """Draw the question, hazards first where they do not fit beside it; take the reply."""
        size = self._window()
        ready, self._ready = self._ready, None
        if ready and not self._said and ready[:3] == (question, size, self._theme):
            question, text = ready.turned, ready.text
        else:
            self._stands = False
            question, text = self._with_said(self._with_turn(question), size), ""
        self._passed = set()
        try:
            reply = self._gone_through(question, size, text)
            while reply is None:
                reply = self._gone_through(question, self._window(), "")
        finally:  # comes with what is shown next, so that the next question is drawn in one go
            self._out.write(f"{OFF if self._theme.ground else ''}\n")
            self._likely = None
        return reply

    def _with_turn(self, question: Ask) -> Ask:
        """The question with the key of the themes where it has side keys."""
        if not self._themes or "H" not in question.keys:
            return question
        return replace(question, keys=question.keys + TURN)

    def _with_said(self, question: Ask, size: tuple[int, int]) -> Ask:
        """The question with what was said before its blocks, where both are too tall together."""
        if not self._said:
            return question
        columns, rows = size
        above, prompt = self._above(columns), self._prompt(question, columns)
        last = self._fitted(question, columns, rows)[-1]
        tall = len(above) + len(lines(last, columns, drawn=True, theme=self._theme)) + len(prompt)
        if tall <= rows:
            return question
        told = tuple(Block(kind="say", text=text) for text in self._said)
        self._said = []
        return replace(question, blocks=(*told, *question.blocks), whole=True)

    def _look_ahead(self) -> None:
        """Draw what likely comes next, to be shown as it is if it comes."""
        likely, self._likely = self._likely, None
        question = likely() if likely is not None else None
        if question is None:
            return
        size = columns, rows = self._window()
        turned = self._with_turn(question)
        if pages(turned, columns, rows - len(self._prompt(turned, columns))) == (turned,):
            text = self._drawn(turned, columns, ())
            self._ready = _Ready(question, size, self._theme, turned, text)

    def _window(self) -> tuple[int, int]:
        """The window as it is now; what stands for one in its place as its environment says."""
        try:
            size: tuple[int, int] = os.get_terminal_size(self._out.fileno())
        except (OSError, ValueError):
            size = (0, 0)
        return size if all(size) else shutil.get_terminal_size((80, 24))

    def show(self, text: str) -> None:
        """Keep words to stand above the next question; where none follows they stand here."""
        self._said.append(visible(text))
        self._echo("\n".join(wrapped(self._said[-1], self._window()[0])) + "\n")

    def _gone_through(self, question: Ask, size: tuple[int, int], text: str) -> str | None:
        """The reply after every screen of a question; None to fit and draw them anew.

        `text` is the one screen of it where that was drawn before.

        What was read already at this step, or of a question that is read whole each time, has no
        screen of its own again: a line said of a key that means nothing takes its room beside the
        step. What is said stands above the last screen, or where a key was not taken.
        """
        columns, rows = size
        if question.whole and not text:
            unread = tuple(b for b in question.blocks if b not in self._passed)
            question = replace(question, blocks=unread)
        *first, last = (question,) if text else self._fitted(question, columns, rows)
        for screen in first:
            if not question.whole and self._read.issuperset(_texts(screen)):
                continue
            self._tells = self._refused
            reply = self._answered(replace(screen, prompt=""), columns)
            self._said = [] if self._tells and reply is not None else self._said
            if reply is None or reply == CAME_BACK:
                return reply
            if reply in {*ASIDE_FROM_TEXT, "H"}:
                return ESCAPE + reply if question.typed == "text" else reply
            self._read.update(_texts(screen))
            self._passed.update(screen.blocks)
        self._tells = True
        reply = self._answered(last, columns, text)
        self._read.update(_texts(last))
        self._said = self._said if reply is None else []
        return reply

    def _fitted(self, question: Ask, columns: int, rows: int) -> tuple[Ask, ...]:
        """The screens of a question, with room for what is said above it and for its prompt."""
        taken = len(self._above(columns)) + len(self._prompt(question, columns))
        return pages(question, columns, rows - taken)

    def _answered(self, question: Ask, columns: int, drawn: str = "") -> str | None:
        """Draw, and take a key or line; None if it means nothing here or only the look changed."""
        self._draw(question, columns, drawn)
        text = self._line(question) if question.typed == "text" else self._key(question)
        if text.upper() == TURN and TURN in question.keys:
            self._turn()
            self._said, self._refused = [] if self._refused else self._said, False
            return None
        if text == keys.RESIZED:
            return None
        if text == CAME_BACK:
            return None if question.strip is None else text
        reply = text if text.startswith(ESCAPE) else understood(question, text)
        self._refused = reply is None
        if self._refused:
            self._said = [not_taken(question, text)]
            if text and question.typed != "text":
                self._presses.meant_nothing()
        return reply

    def _turn(self) -> None:
        """The next theme, from this screen on; the ground of the last one does not stay."""
        self._out.write(OFF)
        self._theme = self._themes[(self._themes.index(self._theme) + 1) % len(self._themes)]

    def _above(self, columns: int) -> list[str]:
        return [line for said in self._said for line in wrapped(said, columns)]

    def _draw(self, question: Ask, columns: int, drawn: str = "") -> None:
        if self._stands:  # it is drawn
            return
        above = self._above(columns) if self._tells else ()
        self._echo(drawn or self._drawn(question, columns, above))

    def _drawn(self, question: Ask, columns: int, above: Sequence[str]) -> str:
        """A screen as it goes to the terminal, what is said above it first."""
        drawn = lines(question, columns, drawn=True, theme=self._theme)
        found = "\n".join((*above, *drawn, *self._prompt(question, columns)))
        begun = self._words(question)
        gap = "" if begun and not begun.endswith(" ") else " "
        return f"{self._theme.ground}{CLEAR}{found}{gap}"

    def _prompt(self, question: Ask, columns: int) -> list[str]:
        """The prompt, and what was typed behind it before Esc."""
        text = f"{question.prompt} {visible(self._words(question))}"
        return wrapped(text.rstrip(), columns - MARGIN)

    def _words(self, question: Ask) -> str:
        """What was typed of an answer in words before Esc was pressed; it is gone on with."""
        moment, words = self._begun
        return words if moment == _moment(question) else ""

    def _key(self, question: Ask) -> str:
        if question.typed != "number":
            return self._one_press()
        while True:
            key, ended = keys.key_or_number(
                self._source.fileno(), NUMBER, self._echo, self._look_ahead, self._stood()
            )
            if ended:
                return key if ended == keys.ENTER else self._aside(question)
            taken = self._presses.taken(key)
            if taken is not None:
                return self._alone(taken)

    def _echo(self, text: str) -> None:
        self._out.write(text)
        self._out.flush()

    def _stood(self) -> bool:
        """Whether the question stood before it was put; said once."""
        stood, self._stands = self._stands, False
        return stood

    def _one_press(self) -> str:
        """A key, unless it is the last one again within the bounce time: then the next."""
        while True:
            handle, stood = self._source.fileno(), self._stood()
            taken = self._presses.taken(keys.key(handle, self._look_ahead, stood))
            if taken is not None:
                return self._alone(taken)

    def _alone(self, key: str) -> str:
        """The key; SEVERAL where the one that leaves is the first letter of a word."""
        if key.upper() == LEAVE and keys.followed(self._source.fileno(), LEAVE, WORD_S):
            self._presses.taken(keys.SEVERAL)
            return keys.SEVERAL
        return key

    def _line(self, question: Ask) -> str:
        """A line of words typed; Esc, then a key, gives that key after ESCAPE."""
        self._stands = False  # a line is taken whenever it was typed
        text, escaped = keys.line(self._source.fileno(), self._look_ahead)
        if text == CAME_BACK:
            return text
        text = self._words(question) + text
        self._begun = (_moment(question), text) if escaped else ((), "")
        return self._aside(question) if escaped else text

    def _aside(self, question: Ask) -> str:
        """After Esc: the key of what it opens, after ESCAPE; OPENS_NOTHING for any other key."""
        aside = "".join(
            k for k in ASIDE_FROM_TEXT if k in question.keys or question.typed == "text"
        )
        self._echo(f"\nEsc: {', '.join(f'{k} {question.meaning(k)}' for k in aside)}. ")
        while (key := self._one_press().upper()) == keys.RESIZED:
            pass  # what was typed stands there; nothing is drawn anew beside it
        if key == CAME_BACK:
            return key
        return ESCAPE + key if key and key in aside else keys.OPENS_NOTHING


def _texts(question: Ask) -> list[tuple[str, str]]:
    """What there is to read in a question."""
    return [(block.kind, block.text) for block in question.blocks]


def _moment(question: Ask) -> tuple[str, ...]:
    """What tells a question from another with the same words, on whichever screen of it."""
    strip = question.strip
    return (question.prompt, *((strip.tail, strip.at, strip.last) if strip else ()))


def prompter(*, plain: bool) -> Piped | Terminal:
    """The right way to ask where the program runs: keys on a terminal, lines elsewhere."""
    for stream in (sys.stdin, sys.stdout):
        _set(stream, encoding="utf-8", errors="surrogateescape")
    dumb = os.environ.get("TERM", "") in {"", "dumb"}
    if plain or dumb or not (sys.stdin.isatty() and sys.stdout.isatty()):
        return Piped(sys.stdin, sys.stdout)
    themes = () if os.environ.get("NO_COLOR") else tuple(THEMES.values())
    theme = THEMES.get(os.environ.get(THEME, ""), BARE) if themes else BARE
    bounce = os.environ.get(BOUNCE, "")
    _set(sys.stdout, line_buffering=False)
    return Terminal(
        sys.stdin,
        sys.stdout,
        theme=theme,
        themes=themes,
        presses=Presses(bounce_s=int(bounce) / 1000 if bounce.isdecimal() else BOUNCE_S),
    )


def _set(stream: TextIO, **settings: object) -> None:
    """Set a stream of the system otherwise; one put in its place stays as it is."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure:
        reconfigure(**settings)
