"""The list of sounds as text and CSV says what the inventory holds."""

from __future__ import annotations

import csv
import io

from renders.tables.sounds_table import CSV_COLUMNS, sounds_csv, sounds_text
from vocaltract.naming.listing import listing
from vocaltract.phonetics.inventory import entries


def test_every_sound_has_a_row_with_its_facts() -> None:
    rows = {row["symbol"]: row for row in csv.DictReader(io.StringIO(sounds_csv(listing())))}
    for symbol, entry in entries().items():
        row = rows[symbol]
        assert tuple(row) == CSV_COLUMNS
        assert (row["name"], row["place"], row["manner"]) == (entry.name, entry.place, entry.manner)
        assert row["voiced"] == ("yes" if entry.voiced else "no")
    # source: IPA chart, revised to 2020
    assert rows["z"]["voiced"] == "yes" and rows["s"]["voiced"] == "no" and rows["z"]["place"] == "alveolar"


def test_consonants_variants_and_vowels_stand_in_tables_of_one_width() -> None:
    blocks = sounds_text(listing()).split("\n\n")
    assert [block.splitlines()[0] for block in blocks] == ["Consonants", "Variants", "Vowels"]
    assert len({block.splitlines()[1] for block in blocks}) == 1
    assert all(any(line.startswith(typed) for line in blocks[2].splitlines()) for typed in ("[i]", "ɑ", "ɝ"))
