"""Practice words and minimal pairs as text in columns, as CSV and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from renders.tables.columns import csv_text, in_columns
from vocaltract.words.practice.listing import ListedWord, Listing, PairListing
from vocaltract.words.practice.places import POSITIONS

COMMONNESS = "commonness: 1 = the commonest words ... 5 = the rarest listed"
LINE_WIDTH = 100
WORD_COLUMNS = ("where", "word", "transcription", "symbol", "index", "places", "commonness", "syllables")
PAIR_COLUMNS = (
    "where", "first", "first_transcription", "first_symbol", "first_index", "second", "second_transcription",
    "second_symbol", "second_index", "commonness", "same_flap", "note",
)  # fmt: skip


def _shown_of(shown: int, total: int, what: str) -> str:
    return f"{total} {what}" if shown == total else f"{shown} of {total} {what}"


# Words by place


def overview_text(sound: str, listings: Sequence[Listing]) -> str:
    """A line for each place: how many words there are, and the first of them."""
    lead = [(listing.where[-1], str(listing.total)) for listing in listings]
    left = max(len(place) for place, _ in lead)
    right = max(len(total) for _, total in lead)
    lines = [f"[{sound}]: words by place, the commonest first", ""]
    for (place, total), listing in zip(lead, listings, strict=True):
        room = LINE_WIDTH - left - right - 4
        lines.append(f"{place:<{left}}  {total:>{right}}  {_fitting(listing, room)}")
    example = listings[0].where[-1]
    return "\n".join([*lines, "", f"one place with transcriptions: --where {example}; more of them: --count 50"])


def _fitting(listing: Listing, room: int) -> str:
    """The first words, as many as fit on a line."""
    shown = ""
    for i, word in enumerate(listing.words):
        more = "" if i + 1 == listing.total else ", ..."
        longer = f"{shown}, {word.text}" if shown else word.text
        if shown and len(longer + more) > room:
            return f"{shown}, ..."
        shown = longer
    return shown if len(listing.words) == listing.total else f"{shown}, ..."


def listing_text(listing: Listing) -> str:
    """A table of the words of one place."""
    place = f" {' and '.join(listing.where)}" if listing.where else ""
    many = _shown_of(len(listing.words), listing.total, "words" if listing.total > 1 else "word")
    rows = [("word", "transcription", f"[{listing.sound}] is", "also", "commonness")]
    for word in listing.words:
        also = ", ".join(place for place in word.places if place not in (*listing.where, "plain"))
        rows.append((word.text, word.transcription, f"[{word.symbol}]", also, str(word.commonness)))
    head = f"[{listing.sound}]{place}: {many}, the commonest first"
    return "\n".join([head, "", *in_columns(rows), "", COMMONNESS])


def listing_values(listings: Sequence[Listing], where: Sequence[str], total: int) -> dict[str, Any]:
    """`sound`, `where`, `total`, `places` (place: how many words) and `words`, one entry for each row."""
    return {
        "sound": listings[0].sound,
        "where": list(where),
        "total": total,
        "places": {_where(listing): listing.total for listing in listings},
        "words": [_word_values(word, _where(listing)) for listing in listings for word in listing.words],
    }


def listing_csv(listings: Iterable[Listing]) -> str:
    """One row a word under WORD_COLUMNS; no line break at the end."""
    rows = [_word_values(word, _where(listing)) for listing in listings for word in listing.words]
    return csv_text(WORD_COLUMNS, [{**row, "places": " ".join(row["places"])} for row in rows])


def _where(listing: Listing) -> str:
    return " ".join(listing.where)


def _word_values(word: ListedWord, where: str) -> dict[str, Any]:
    return {
        "where": where,
        "word": word.text,
        "transcription": word.transcription,
        "symbol": word.symbol,
        "index": word.position,
        "places": list(word.places),
        "commonness": word.commonness,
        "syllables": word.syllables,
    }


# Minimal pairs


def pairs_text(listing: PairListing) -> str:
    """A table of minimal pairs."""
    first, second = listing.sounds
    many = _shown_of(len(listing.pairs), listing.total, "minimal pairs" if listing.total > 1 else "minimal pair")
    places = ", ".join(f"{place} {count}" for place, count in listing.by_position if count)
    rows = [(f"[{first}]", "", f"[{second}]", "", "where", "commonness", "")]
    for pair in listing.pairs:
        a, b = pair.first, pair.second
        common = str(max(a.commonness, b.commonness))
        rows.append((a.text, a.transcription, b.text, b.transcription, pair.position, common, pair.note))
    place = f" where both are {' and '.join(listing.where)}" if listing.where else ""
    head = f"[{first}] and [{second}]{place}: {many}, the commonest first ({places})"
    return "\n".join([head, "", *in_columns(rows), "", f"{COMMONNESS} (of the rarer word of a pair)"])


def pairs_values(listing: PairListing) -> dict[str, Any]:
    """`sound`, `against`, `where`, `total`, `places` (place: how many pairs) and `pairs`."""
    first, second = listing.sounds
    return {
        "sound": first,
        "against": second,
        "where": list(listing.where),
        "total": listing.total,
        "places": {place: dict(listing.by_position)[place] for place in POSITIONS},
        "pairs": [
            {
                "where": pair.position,
                "first": _word_values(pair.first, pair.position),
                "second": _word_values(pair.second, pair.position),
                "same_flap": pair.same_flap,
                "note": pair.note or None,
            }
            for pair in listing.pairs
        ],
    }


def pairs_csv(listing: PairListing) -> str:
    """One row a pair under PAIR_COLUMNS; no line break at the end."""
    rows = []
    for pair in listing.pairs:
        row: dict[str, Any] = {
            "where": pair.position,
            "note": pair.note,
            "same_flap": "yes" if pair.same_flap else "no",
        }
        for name, word in (("first", pair.first), ("second", pair.second)):
            row[name] = word.text
            row[f"{name}_transcription"] = word.transcription
            row[f"{name}_symbol"] = word.symbol
            row[f"{name}_index"] = word.position
        row["commonness"] = max(pair.first.commonness, pair.second.commonness)
        rows.append(row)
    return csv_text(PAIR_COLUMNS, rows)
