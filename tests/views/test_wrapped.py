"""What fits on a line is not broken; it reads as the standard library's `textwrap` breaks it."""

from __future__ import annotations

import textwrap

from hypothesis import example, given
from hypothesis import strategies as st

from hardstand.views.walk_screen import wrapped

LEADS = st.sampled_from(("", "  ", "      "))


@given(st.text(alphabet="ab-\u00a0\t\n .", max_size=30), st.integers(7, 40), LEADS, LEADS)
@example("", 20, "", "  ")
@example("   ", 20, "", "  ")
@example("a\tb", 20, "", "")
@example("two\nlines", 20, "", "")
@example("exactly", 7, "", "")
@example("exactly", 8, "", "  ")
def test_the_same_lines_as_textwrap(text: str, columns: int, after: str, lead: str) -> None:
    said = textwrap.wrap(
        text, columns, initial_indent=lead, subsequent_indent=after, break_on_hyphens=False
    )
    assert wrapped(text, columns, after, lead) == (said or [""])
