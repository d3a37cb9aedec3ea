"""The practice list of a lesson as CSV, its rights sheet, and what its files are made from."""

from __future__ import annotations

import csv
import io

from articulators.records import Record, Row, table
from renders.handouts.content import Handout
from renders.wording.languages import Language
from vocaltract import __version__

PROGRAM = "vocaltract"


class SourceRow(Record, frozen=True):
    """Data or a typeface that results are made from, and its licence (SPDX)."""

    name: str
    used_for: str
    licence: str


class DataSources(Row, frozen=True):
    """data/sources.toml."""

    data: tuple[SourceRow, ...]


def data_sources() -> tuple[SourceRow, ...]:
    """What results are made from."""
    return table("renders.handouts", "sources.toml", DataSources).data


def practice_csv(handout: Handout) -> str:
    """A row for each word: the word, how it is said, the sound's letters, its place, the other word of its pair.

    Source of the form: RFC 4180; cells that a spreadsheet would take for formulas begin with an apostrophe.
    """
    text = handout.language.text
    partner = dict(handout.pairs) | {b: a for a, b in handout.pairs}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([text(f"handout.list_{name}") for name in ("word", "ipa", "sound", "place", "partner")])
    for group in handout.groups:
        place = text(f"handout.place_{group.place}")
        for word in group.words:
            row = (word.text, word.ipa, group.letters, place, partner.get(word.text, ""))
            writer.writerow([_cell(value) for value in row])
    return out.getvalue()


def _cell(text: str) -> str:
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def rights_text(language: Language) -> str:
    """What may be done with the files of a lesson, and what they are made from."""
    text = language.text
    rows = [f"- {row.name} ({row.licence}): {row.used_for}" for row in data_sources()]
    return "\n".join([
        text("handout.rights"), "", text("handout.rights_files", program=PROGRAM, version=__version__),
        text("handout.rights_voice"), "", text("handout.rights_data"), *rows, "",
        text("handout.rights_letters"), "", text("handout.caution"), "",
    ])  # fmt: skip


def manifest_sources() -> dict[str, object]:
    """For a manifest: the program, its version, and the data with their licences."""
    return {
        "program": PROGRAM,
        "version": __version__,
        "data": [{"name": row.name, "used_for": row.used_for, "licence": row.licence} for row in data_sources()],
    }
