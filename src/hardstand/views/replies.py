"""What a text given at a question comes to: a reply, or why it is none. No decisions."""

from __future__ import annotations

from hardstand.domain.asking import Ask
from hardstand.domain.words import is_storable, too_long
from hardstand.views import keys


def understood(question: Ask, text: str, *, terminal: bool = True) -> str | None:
    """The reply a text is: a key, a digit of a choice, or what was to be typed; else None."""
    key = text.strip().upper()
    if text in {keys.SEVERAL, keys.OPENS_NOTHING}:
        return None
    if question.typed == "text":
        kept = is_storable(text) and too_long(text) is None and (whole(text) or not terminal)
        return text if kept and not _is_no_pick(question, key) else None
    if len(key) == 1 and key in question.keys:
        return key
    if key.isascii() and key.isdigit() and question.typed != "number":
        return key if len(key) == 1 and 1 <= int(key) <= len(question.choices) else None
    number = question.typed == "number" and key and not (len(key) == 1 and key.isalpha())
    return text.strip() if number else None


def _is_no_pick(question: Ask, key: str) -> bool:
    """Whether a number alone picks none of what may be picked; it is no name and no words."""
    digits = bool(question.choices) and key.isascii() and key.isdigit()
    return digits and not 1 <= int(key[:9]) <= len(question.choices)


def whole(text: str) -> bool:
    """Whether a line came whole: one as long as a terminal line can be may have been cut."""
    return len(text.encode("utf-8", "surrogateescape")) < keys.LINE_BYTES - 1


def not_taken(question: Ask, text: str, *, terminal: bool = True) -> str:
    """What to say to a key or line that means nothing here."""
    if text == keys.SEVERAL:
        return "Nothing was answered: the keys came fast, like a word. Pause, then one key."
    if text == keys.OPENS_NOTHING:
        kept = " Your words are kept; go on." if question.typed == "text" else ""
        return f"Esc and that key open nothing.{kept}"
    if question.typed == "text":
        if _is_no_pick(question, text.strip()):
            return f"Nothing was answered: a digit is 1 to {len(question.choices)} here, or words."
        if terminal and not whole(text):
            return "A terminal line holds 4095 bytes; nothing was kept. Write it as two notes."
        return too_long(text) or "That text is not whole UTF-8 and cannot be kept. Type it again."
    return "Nothing was answered: that key means nothing here."
