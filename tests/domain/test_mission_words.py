"""The words of a mission's needs against Python's own `and`, `or` and counting."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.mission_words import AtLeast, Needs, Unreadable, names, needs

_NAMES = ("v.rx", "tx-1", "MAIL_D")


def _met(tree: Needs, good: frozenset[str]) -> bool:
    if isinstance(tree, str):
        return tree in good
    return sum(_met(part, good) for part in tree.parts) >= tree.k


def _spelled(tree: Needs) -> str:
    """The tree with every bracket written."""
    if isinstance(tree, str):
        return tree
    return f"atleast {tree.k} of ({', '.join(_spelled(part) for part in tree.parts)})"


@pytest.mark.parametrize(
    ("text", "python"),
    [
        ("a", "a"),
        ("a and b", "a and b"),
        ("a or b and c", "a or b and c"),
        ("a and b or c", "a and b or c"),
        ("(a or b) and c", "(a or b) and c"),
        ("a or (b and c)", "a or (b and c)"),
        ("((a))", "a"),
        ("atleast 2 of (a, b, c)", "a + b + c >= 2"),
        ("atleast 1 of (a and b, c) and b", "((a and b) or c) and b"),
        ("atleast 2 of (a or b, b, c)", "(a or b) + b + c >= 2"),
        ("  a   and(b)  ", "a and b"),
    ],
)
def test_needs_mean_what_python_means_by_the_same_words(text: str, python: str) -> None:
    tree = needs(text)
    assert not isinstance(tree, Unreadable)
    for a, b, c in itertools.product([False, True], repeat=3):
        good = frozenset(n for n, is_good in zip("abc", (a, b, c), strict=True) if is_good)
        assert _met(tree, good) == bool(eval(python, {}, {"a": a, "b": b, "c": c}))  # noqa: S307  the table above


_TREES: st.SearchStrategy[Needs] = st.recursive(
    st.sampled_from(_NAMES),
    lambda inner: st.lists(inner, min_size=1, max_size=4).flatmap(
        lambda parts: st.integers(1, len(parts)).map(lambda k: AtLeast(k, tuple(parts)))
    ),
    max_leaves=8,
)


@given(_TREES)
def test_needs_written_out_are_read_back(tree: Needs) -> None:
    """Law: reading what a tree is spelled as gives the tree."""
    assert needs(_spelled(tree)) == tree


@given(st.text("ab()., ortleasnfdk12", max_size=24))
def test_any_words_are_read_or_refused_in_words(text: str) -> None:
    tree = needs(text)
    assert isinstance(tree, AtLeast) or (tree.why if isinstance(tree, Unreadable) else tree)


def test_names_are_told_once_in_the_order_written() -> None:
    tree = needs("b and (a or b) and atleast 1 of (c, a)")
    assert not isinstance(tree, Unreadable)
    assert names(tree) == ("b", "a", "c")


def test_brackets_deeper_than_twenty_are_refused() -> None:
    assert needs("(" * 20 + "a" + ")" * 20) == "a"
    assert needs("(" * 21 + "a" + ")" * 21) == Unreadable("brackets stand deeper than 20")
