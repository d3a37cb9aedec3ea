"""Text in columns and CSV. Source of the form of CSV: RFC 4180, read back by the standard library."""

from __future__ import annotations

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from renders.tables.columns import columns_wide, csv_text, in_columns

CELLS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=12)


def test_marks_over_a_letter_take_no_room() -> None:
    # source: Unicode Standard, chapter 3: a combining mark stands with the letter before it
    assert columns_wide("n\u0303") == 1 and columns_wide("tʃ") == 2
    plain, marked = in_columns([("n", "a"), ("n\u0303", "b")])
    assert plain.index("a") == 3 and marked.index("b") == 4


def test_columns_line_up_at_the_edge_that_is_asked_for() -> None:
    lines = in_columns([("stop", "shut"), ("[k]", "7"), ("[t]", "125")], right=(1,))
    assert lines == ["stop  shut", "[k]      7", "[t]    125"]


@given(st.lists(st.tuples(CELLS, CELLS), max_size=5))
def test_csv_comes_back_as_it_was(rows: list[tuple[str, str]]) -> None:
    text = csv_text(("one", "two"), [{"one": a, "two": b} for a, b in [*rows, ("x", "y")]])
    back = list(csv.reader(io.StringIO(text, newline="")))
    assert back == [["one", "two"], *([a, b] for a, b in rows), ["x", "y"]]
