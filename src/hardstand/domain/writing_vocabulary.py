"""The words the sentence rules go by: commands, and what is no more than glue.

From memory; a list of commands for maintenance work, in the manner of ASD-STE100.
"""

from __future__ import annotations

VERBS = frozenset((
    "adjust", "answer", "ask", "attach", "bring", "brush", "call", "carry", "check", "clean",
    "clear", "clip", "close", "compare", "connect", "count", "cut", "discharge", "disconnect",
    "do", "draw", "drop", "dry", "enter", "feel", "find", "fit", "flick", "follow", "give", "go",
    "hang", "hear", "hold", "identify", "insert", "inspect", "install", "keep", "key", "leave",
    "let", "lift", "listen", "lock", "look", "loosen", "lower", "make", "mark", "measure", "move",
    "name", "note", "open", "place", "plug", "point", "press", "prove", "pull", "push", "put",
    "raise", "reach", "read", "record", "release", "remove", "replace", "report", "reset",
    "return", "rock", "roll", "run", "say", "seat", "see", "select", "send", "set", "shake",
    "shine", "short", "show", "sign", "slide", "smell", "speak", "stand", "start", "state",
    "stop", "stow", "swing", "switch", "take", "tap", "tell", "test", "tie", "tighten", "touch",
    "trace", "transmit", "tune", "turn", "unclip", "unlock", "unplug", "untie", "verify", "wait",
    "walk", "watch", "wipe", "withdraw", "work", "write",
))  # fmt: skip
"""Words that begin a step."""

ALSO_NOUNS = frozenset((
    "answer", "call", "check", "clip", "cut", "draw", "drop", "fit", "hold", "key", "lift",
    "lock", "look", "mark", "move", "name", "note", "place", "plug", "point", "press", "record",
    "release", "report", "return", "roll", "run", "set", "show", "sign", "slide", "stand",
    "start", "state", "stop", "switch", "tap", "test", "tie", "touch", "trace", "turn", "walk",
    "watch", "work",
))  # fmt: skip
"""Those of them that are names of things too."""

SMALL_WORDS = frozenset((
    "a", "an", "and", "are", "at", "be", "by", "for", "from", "in", "is", "it", "of", "on", "or",
    "so", "that", "the", "this", "to", "with", "you", "your",
))  # fmt: skip
"""Words that carry no sense of their own."""
