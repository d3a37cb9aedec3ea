"""From which size on something is said: the table has what is published, and refuses what does not fit.

Short lag of English b d ɡ, 0 to about 30 ms: Lisker & Abramson 1964, from memory. Tense and lax vowels of American
English: Ladefoged & Johnson, A Course in Phonetics, from memory.
"""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.wording.thresholds import Thresholds, thresholds

FILE = "thresholds.toml"


def test_what_is_said_is_what_is_published() -> None:
    assert thresholds().said.soon_ms == 30.0
    assert {frozenset(pair.split()) for pair in thresholds().tense.pairs} >= {frozenset("iɪ"), frozenset("uʊ")}


@pytest.mark.parametrize(
    ("line", "other", "fault"),
    [
        ("soon_ms", "sonn_ms", "said: key 'sonn_ms' is unknown; allowed: "),
        ('source = "Ladefoged', 'origin = "Ladefoged', "tense: key 'origin' is unknown; allowed: "),
        ('unit = "none"', 'unit = " "', "'unit' is empty"),
    ],
)
def test_a_misspelt_key_and_a_row_without_source_are_refused(line: str, other: str, fault: str) -> None:
    text = text_of("renders.wording", FILE)
    assert line in text
    with pytest.raises(BadInput) as raised:
        parsed(text.replace(line, other, 1), Thresholds, FILE)
    assert str(raised.value).startswith(f"{FILE}: ") and fault in str(raised.value)
