"""A question of a walk as lines of text: the same words in the same order in every mode.

Words carry the meaning; the theme only decorates, and is left out in plain mode.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from hardstand.domain.asking import ASIDE_FROM_TEXT, KEY_WORDS, Ask, Block, Strip, Typed
from hardstand.domain.words import visible
from hardstand.views.themes import BARE, Theme

MOST_COLUMNS = 72
SIGNAL = {"warning": "WARNING (people)", "caution": "CAUTION (equipment)", "note": "NOTE"}
SIDE_KEYS = "EDAHBRZMVWT"
RARE_KEYS = "MVWT"
ROOM = 6
"""Columns that the words of the last step need on the line of what was recorded."""
NO_BREAK = "\u00a0"
NARROW = 60
"""Under so many columns the strip is short, rules are left out, side keys are named by letter."""


@lru_cache(maxsize=8)
def lines(ask: Ask, columns: int, *, drawn: bool, theme: Theme = BARE) -> tuple[str, ...]:
    """The question as lines no wider than `columns`; `drawn` allows rules and the theme.

    Kept, for a screen is laid out to see whether it fits and then drawn as it was laid out.
    """
    most = min(columns, MOST_COLUMNS)
    painted = theme if drawn else None
    hazards = [b for b in ask.blocks if b.kind in SIGNAL]
    rest = [b for b in ask.blocks if b.kind not in SIGNAL]
    blocks = [[line for b in g for line in _block(b, most, painted)] for g in (hazards, rest) if g]
    head = [_strip(ask.strip, most, painted)] if ask.strip is not None else []
    rule = ["-" * most] if drawn and most >= NARROW else []
    together = list[str]()
    for part in (*head, *blocks, _foot(ask, most, drawn=drawn)):
        together += [*rule, *part] if together else part
    return tuple(together)


def pages(ask: Ask, columns: int, rows: int) -> tuple[Ask, ...]:
    """The question as screens of at most `rows` lines: hazards alone when there is no room.

    The step's own screen then keeps a short form of each above the step: its first sentence, or
    one line. What still does not fit is dropped from the end of the details, where H shows it,
    then from the strip the battery. Notes and what stays, such as what bad looks like, are then
    read before, with the hazards. Short forms for which there is no room beside the step are left
    out: no screen has them alone, for each was read whole just before.
    """
    if _fits(ask, columns, rows):
        return (ask,)
    if ask.whole:
        return _whole(ask, columns, rows)
    hazards = tuple(b for b in ask.blocks if b.kind in {"warning", "caution"})
    rest = tuple(b for b in ask.blocks if b not in hazards)
    sentences = tuple(replace(b, text=_first_sentence(b.text)) for b in hazards)
    one_line = tuple(_on_one_line(b, min(columns, MOST_COLUMNS)) for b in sentences)
    for short in (sentences, one_line):
        main = replace(ask, blocks=(*short, *rest))
        main = _less(main, _spare(main.blocks), columns, rows)
        if _fits(main, columns, rows):
            return (*_in_pages(ask, hazards, columns, rows), main)
    bare = _less(_without_battery(main), _staying(main.blocks), columns, rows)
    gone = [b for b in _staying(rest) if b not in bare.blocks]
    of_step = any(b.stays for b in gone)
    before = (b for b in rest if b in gone or (of_step and b.kind == "do"))
    first = _in_pages(ask, (*hazards, *before), columns, rows)
    if _fits(bare, columns, rows):
        return (*first, bare)
    alone = replace(bare, blocks=bare.blocks[len(hazards) :])
    return (*first, *_named(alone, columns, rows))


def _named(ask: Ask, columns: int, rows: int) -> tuple[Ask, ...]:
    """The screens of a step that has no room beside what may be picked; each says which it is.

    It is read before, and the last screen has the first line of what to do: one step may be
    picked at like the next.
    """
    screens = _whole(ask, columns, rows)
    step = next((b for b in ask.blocks if b.kind == "do"), None)
    if step is None or step in screens[-1].blocks:
        return screens
    short = replace(step, text=_one_line(step.text, min(columns, MOST_COLUMNS)))
    rest = (b for b in screens[-1].blocks if b.kind != "detail")
    last = _without_battery(replace(ask, blocks=(short, *rest)))
    fits = _fits(last, columns, rows)
    return (*_in_pages(ask, ask.blocks, columns, rows), last) if fits else screens


def _whole(ask: Ask, columns: int, rows: int) -> tuple[Ask, ...]:
    """The question with every block, on as many screens as it takes; the keys stand on the last.

    The last screen has as many of the last blocks as there is room for beside what may be picked,
    that of a card what the others have no room for; where there is none for what may be picked
    alone, the battery stands on the others only.
    """
    if _fits(ask, columns, rows):
        return (ask,)
    for first in range(1, len(ask.blocks) + 1):
        last = replace(ask, blocks=ask.blocks[first:])
        if _fits(last, columns, rows):
            return _filled(ask, first, columns, rows)
    return (*_in_pages(ask, ask.blocks, columns, rows), _without_battery(replace(ask, blocks=())))


def _filled(ask: Ask, first: int, columns: int, rows: int) -> tuple[Ask, ...]:
    """The screens of a question whose first so many blocks do not fit on its last one.

    A card fills each screen before the next, and so does a list of lines, so that what is headed
    stands under its heading.
    """
    found = _in_pages(ask, ask.blocks[:first], columns, rows)
    card = ask.whole and (bool(ask.choices) or any(b.kind == "line" for b in ask.blocks))
    for more in range(first + 1, len(ask.blocks) * card):
        fuller = _in_pages(ask, ask.blocks[:more], columns, rows)
        if len(fuller) > len(found):
            break
        found, first = fuller, more
    return (*found, replace(ask, blocks=ask.blocks[first:]))


def _without_battery(ask: Ask) -> Ask:
    """The same under a strip of the five fields that it has everywhere."""
    return replace(ask, strip=ask.strip and replace(ask.strip, battery=""))


def _fits(ask: Ask, columns: int, rows: int) -> bool:
    return len(lines(ask, columns, drawn=True, theme=BARE)) <= rows


def _in_pages(ask: Ask, blocks: tuple[Block, ...], columns: int, rows: int) -> tuple[Ask, ...]:
    """As few screens as hold the blocks whole, each passed with C."""
    found = list[Ask]()
    back = tuple((key, word) for key, word in ask.words if key == "H" and ask.whole)
    aside = "".join(k for k in "BR" if k in ask.keys or escape_sentence(ask))
    for block in blocks:
        together = replace(found[-1], blocks=(*found[-1].blocks, block)) if found else None
        if together is not None and _fits(together, columns, rows):
            found[-1] = together
        else:
            found.append(
                Ask(
                    strip=ask.strip,
                    blocks=(block,),
                    words=(("C", "read, go on"), *back),
                    keys=f"C{'H' if back else ''}{aside}",
                )
            )
    return tuple(found)


def _first_sentence(text: str) -> str:
    return text.split(". ", 1)[0].rstrip(".") + "."


def _on_one_line(block: Block, most: int) -> Block:
    """A hazard cut to the one line that its signal word begins."""
    return replace(block, text=_one_line(block.text, most - len(f"{SIGNAL[block.kind]} — ")))


def _spare(blocks: tuple[Block, ...]) -> list[Block]:
    """What may give way, what goes first last: details that H shows, but the first, where it is."""
    details = [b for b in blocks if b.kind == "detail"]
    return [b for b in details[1:] if not b.stays]


def _staying(blocks: Iterable[Block]) -> list[Block]:
    """What is read before where it has no room beside the step, what goes first last.

    Source: human-factors ANS-15.
    """
    return sorted((b for b in blocks if b.stays or b.kind == "note"), key=lambda b: not b.stays)


def _less(ask: Ask, spare: list[Block], columns: int, rows: int) -> Ask:
    """The question without as many of those blocks, from their end, as it takes to fit."""
    while spare and not _fits(ask, columns, rows):
        gone = spare.pop()
        ask = replace(ask, blocks=tuple(b for b in ask.blocks if b is not gone))
    return ask


def _strip(strip: Strip, most: int, theme: Theme | None) -> list[str]:
    said = {"PRACTICE": strip.practice, "LATE": strip.late, "DRAFT": strip.draft}
    marks = [word for word, holds in said.items() if holds]
    walk = strip.walk if most >= NARROW else ""
    head = "  ".join(p for p in (strip.tail, walk, *marks) if p)
    zone = f"zone {strip.zone}" if strip.zone else "close"
    place = f"step {strip.at}".replace(" ", NO_BREAK) if strip.at else ""
    counts = f"NOT PUT BACK: {strip.open_lines}  SKIPPED: {strip.gaps}"
    following = f"NEXT  {strip.next}"
    if len(following) + len(counts) + 3 <= most:
        tail = [following + counts.rjust(most - len(following))]
    else:
        tail = [_one_line(following, most), counts]
    last = _last(strip.last, most)
    if theme:
        style = theme.fault if " FAULT " in last[-1] else theme.good if " OK " in last[-1] else ""
        last = [theme.paint(style, line) for line in last]
    held = [_one_line(f"HELD  {what}", most) for what in strip.held]
    battery = wrapped(strip.battery, most, "  ") if strip.battery else []
    first = wrapped(f"{head}  {zone}  {place}".strip(), most)
    first = [line.replace(NO_BREAK, " ") for line in first]
    return [*first, *held, *last, *tail, *battery]


def _last(last: str, most: int) -> list[str]:
    """The last answer: the words of the step give way, what was recorded stays whole.

    Where there is hardly room for them it takes a line of its own.
    """
    what, mark, recorded = last.partition(" — recorded ")
    room = most - len("LAST  ") - len(mark) - len(recorded)
    if room >= ROOM or len(what) <= room:
        return [f"LAST  {_whole_words(what, room)}{mark}{recorded}"]
    return [
        f"LAST  {_one_line(what, most - 6)}",
        *wrapped(f"recorded {recorded}", most, "      ", "      "),
    ]


def _whole_words(what: str, most: int) -> str:
    """A step by its number and what fits of its words; a piece of one word says nothing."""
    told = _one_line(what, most)
    kept = told.rstrip("…")
    return f"{what.partition(' ')[0]}…" if what[len(kept) :][:1].isalnum() else told


def _one_line(text: str, most: int) -> str:
    """The text on one line, cut after a whole word where two are kept."""
    if len(text) <= most:
        return text
    cut = text[: most - 1]
    whole = cut.rpartition(" ")[0] if text[most - 1].isalnum() else cut
    return (whole if " " in whole else cut).rstrip(" …,;") + "…"


def _block(block: Block, most: int, theme: Theme | None) -> list[str]:
    text = visible(block.text)
    if block.kind in SIGNAL:
        word = SIGNAL[block.kind]
        found = wrapped(f"{word} — {text}", most, "  ")
        if theme and block.kind != "note":
            found[0] = found[0].replace(word, theme.paint(theme.hazard, word), 1)
        return found
    if block.kind == "do":
        found = wrapped(text, most, "      ")
        return [theme.paint(theme.step, line) for line in found] if theme else found
    indent = "      " if block.kind == "detail" and most >= NARROW else "  "
    lead = indent if block.kind in {"detail", "line"} else ""
    found = wrapped(text, most, indent, lead)
    return [theme.paint(theme.detail, line) for line in found] if theme else found


def _foot(ask: Ask, most: int, *, drawn: bool) -> list[str]:
    found = [
        f"  {n}  {line}" if i == 0 else f"     {line}"
        for n, choice in enumerate(ask.choices, 1)
        for i, line in enumerate(wrapped(visible(choice), most - 5))
    ]
    sentence = keys_sentence(ask, short=most < NARROW)
    aside = escape_sentence(ask) if drawn else ""
    said = [line for words in (sentence, aside) if words for line in wrapped(words, most, "  ")]
    return [*found, *said]


def escape_sentence(ask: Ask) -> str:
    """Which keys Esc opens while words are typed; empty where none are, or outside a walk."""
    if ask.typed != "text" or ask.strip is None:
        return ""
    return (
        "Esc, then: " + ", ".join(f"{k} {ask.meaning(k)}" for k in reversed(ASIDE_FROM_TEXT)) + "."
    )


def keys_sentence(ask: Ask, *, short: bool = False) -> str:
    """What may be pressed now, as one sentence; `short` names the side keys by letter only."""
    known = SIDE_KEYS if short else RARE_KEYS
    return _keys_sentence(ask.keys, ask.words, len(ask.choices), ask.typed, known)


@lru_cache(maxsize=64)
def _keys_sentence(
    keys: str, words: tuple[tuple[str, str], ...], last: int, typed: Typed, known: str
) -> str:
    """Kept, for the same keys stand on most screens."""
    parts = [] if not last else ["1" if last == 1 else f"1 to {last}"]
    if typed == "number":
        parts.append("a number and Enter")
    if typed == "text" and parts:
        return f"Keys: {parts[0]} or words, then Enter."
    here = {**KEY_WORDS, **dict(words)}
    aside = [key for key in keys if len(keys) > 5 and key in known]
    parts += [f"{key} {here.get(key, '')}" for key in keys if key not in aside]
    letters = " ".join(key for key in aside if key != "H")
    if "H" in aside:
        parts.append("H help")
    if not parts:
        return ""
    return "Keys: " + ", ".join(parts) + (f"; also {letters}." if letters else ".")


def wrapped(text: str, columns: int, after: str = "", lead: str = "") -> list[str]:
    """Text as lines no wider than `columns`, one at least; the first behind `lead`."""
    return list(_broken(text, columns, after, lead))


@lru_cache(maxsize=512)
def _broken(text: str, most: int, after: str, lead: str) -> tuple[str, ...]:
    """Kept, for most of a screen stood on the one before. What fits needs no breaking."""
    if 0 < len(text) <= most - len(lead) and text == text.strip() and _is_plain(text):
        return (lead + text,)
    found = textwrap.wrap(
        text, most, initial_indent=lead, subsequent_indent=after, break_long_words=True,
        break_on_hyphens=False,
    )  # fmt: skip
    return tuple(found) or ("",)


def _is_plain(text: str) -> bool:
    return text.replace(NO_BREAK, " ").isprintable()
