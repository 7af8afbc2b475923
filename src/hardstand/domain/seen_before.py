"""Earlier entries most like the words of a new one, for "seen before, and what was done".

Source: Robertson and others' BM25 weighting with idf ln(1 + (N − n + 0.5)/(n + 0.5)), k1 1.2,
b 0.75, from memory. This idf stays above zero for words in more than half of the entries, which
in a small log of one trade are the useful ones.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence

K1 = 1.2
B = 0.75

_WORD = re.compile(r"[^\W_]+")


def words(text: str) -> list[str]:
    """The words of a text, letter case aside."""
    return _WORD.findall(text.casefold())


def scores(query: str, texts: Sequence[str]) -> tuple[float, ...]:
    """How like the query each text is; 0.0 where no word is shared."""
    counts = [Counter(words(text)) for text in texts]
    lengths = [sum(count.values()) for count in counts]
    mean = sum(lengths) / len(lengths) if any(lengths) else 1.0
    total = [0.0] * len(texts)
    for word in dict.fromkeys(words(query)):
        having = sum(1 for count in counts if word in count)
        idf = math.log(1 + (len(texts) - having + 0.5) / (having + 0.5))
        for i, count in enumerate(counts):
            times = count[word]
            if times:
                damped = times + K1 * (1 - B + B * lengths[i] / mean)
                total[i] += idf * times * (K1 + 1) / damped
    return tuple(total)


def most_like(query: str, texts: Sequence[str], most: int = 5) -> tuple[int, ...]:
    """The places of the texts most like the query, best first; none that share no word."""
    found = scores(query, texts)
    ranked = sorted((i for i, s in enumerate(found) if s > 0), key=lambda i: (-found[i], i))
    return tuple(ranked[:most])
