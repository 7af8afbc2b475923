"""A symbol always stands with its word."""

from __future__ import annotations

from hardstand.domain.symbols import WORDS


def symbol_words(symbol: str) -> str:
    """The symbol with its word: `/ red diagonal`."""
    return symbol if symbol == "clear" else f"{symbol} {WORDS[symbol]}"
