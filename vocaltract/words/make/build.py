"""Makes the shipped databases from the vendored tables.

    python -m vocaltract.words.make.build [dictionary] [guesses] [practice]

data/dictionary.sqlite and data/guess.bin (the model of guessed pronunciations) from data/cmudict.dict.xz, checked
against its SHA-256; data/practice.sqlite from the common words and the front-desk list. All are committed, so that
users need no build. Without a name all three are made.
"""

from __future__ import annotations

import argparse
import hashlib
import lzma
import os
import re
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from functools import cache
from pathlib import Path

from articulators.errors import SurroundingsError
from vocaltract.words.lexicon.tables import DATA

RAW = DATA / "cmudict.dict.xz"
RAW_SHA256 = "81917843c7f44ce2b094ac63873c2c7a4cf802040792c455ba3ca406891c3d22"  # of the unpacked text


@cache
def raw_entries() -> dict[str, tuple[str, ...]]:
    """Word -> pronunciations of the dictionary file, in its order; comments and variant numbers removed.

    Raises SurroundingsError if the vendored file is not the pinned one.
    """
    text = lzma.decompress(RAW.read_bytes())
    if hashlib.sha256(text).hexdigest() != RAW_SHA256:
        raise SurroundingsError(f"{RAW.name} is not the pinned dictionary file (SHA-256 differs)")
    found: dict[str, list[str]] = {}
    for line in text.decode("utf-8").splitlines():
        word, *phones = line.split("#")[0].split() or [""]
        if phones:
            found.setdefault(re.sub(r"\(\d+\)$", "", word), []).append(" ".join(phones))
    return {word: tuple(texts) for word, texts in found.items()}


def write_database(path: Path, schema: str, tables: dict[str, Iterable[tuple[object, ...]]]) -> None:
    """A fresh database beside `path`, moved into place when complete."""
    fresh = path.with_suffix(".building")
    fresh.unlink(missing_ok=True)
    with closing(sqlite3.connect(fresh)) as connection:
        connection.executescript(schema)
        for table, content in tables.items():
            content = list(content)
            if content:
                marks = ",".join("?" * len(content[0]))
                connection.executemany(f"INSERT INTO {table} VALUES ({marks})", content)
        connection.commit()
        connection.execute("VACUUM")
    os.replace(fresh, path)


def build_dictionary(path: Path) -> int:
    """Writes the look-up database; returns the number of words."""
    entries = raw_entries()
    schema = "CREATE TABLE entry (word TEXT PRIMARY KEY, pronunciations TEXT NOT NULL) WITHOUT ROWID;"
    write_database(
        path, schema, {"entry": ((word, "|".join(texts)) for word, texts in sorted(entries.items()))}
    )
    return len(entries)


def _dictionary() -> str:
    return f"dictionary.sqlite: {build_dictionary(DATA / 'dictionary.sqlite')} words"


def _guesses() -> str:
    from vocaltract.words.make.train import build_guesses

    return f"guess.bin: {build_guesses(DATA / 'guess.bin', raw_entries())} sequences"


def _practice() -> str:
    from vocaltract.words.make.index import build_practice

    return f"practice.sqlite: {build_practice(DATA / 'practice.sqlite')} rows"


PARTS: dict[str, Callable[[], str]] = {"dictionary": _dictionary, "guesses": _guesses, "practice": _practice}
"""What is built, in this order."""


def main(argv: Sequence[str] | None = None) -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"{', '.join(PARTS)}; default: all")
    wanted = parser.parse_args(argv).parts
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        parser.error(f"'{unknown[0]}' is not built here; allowed: {', '.join(PARTS)}")
    for name, make in PARTS.items():
        if not wanted or name in wanted:
            print(make())


if __name__ == "__main__":
    main()
