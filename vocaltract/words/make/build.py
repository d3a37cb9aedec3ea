"""Makes the shipped databases from the vendored tables.

    python -m vocaltract.words.make.build [dictionary] [guesses] [practice]

data/dictionary.sqlite and data/guess.bin (the model of guessed pronunciations) from data/cmudict.dict.xz, checked
against its SHA-256, as the one speaker of data/profile.toml says it; data/practice.sqlite from the common words and the
front-desk list. All are committed, so that users need no build. Without a name all three are made.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path

from vocaltract.words.lexicon.databases import DICTIONARY, GUESSES, PRACTICE
from vocaltract.words.make.database import write_database
from vocaltract.words.make.profile import profiled_entries


def build_dictionary(path: Path) -> int:
    """Writes the look-up database; returns the number of words."""
    entries = profiled_entries()
    schema = "CREATE TABLE entry (word TEXT PRIMARY KEY, pronunciations TEXT NOT NULL) WITHOUT ROWID;"
    write_database(path, schema, {"entry": ((word, "|".join(texts)) for word, texts in sorted(entries.items()))})
    return len(entries)


def _dictionary() -> str:
    return f"{DICTIONARY.name}: {build_dictionary(DICTIONARY)} words"


def _guesses() -> str:
    from vocaltract.words.make.train import build_guesses

    return f"{GUESSES.name}: {build_guesses(GUESSES, profiled_entries())} sequences"


def _practice() -> str:
    from vocaltract.words.make.practice import build_practice

    return f"{PRACTICE.name}: {build_practice(PRACTICE)} rows"


BUILT: dict[str, Callable[[], str]] = {"dictionary": _dictionary, "guesses": _guesses, "practice": _practice}
"""What is built, in this order."""


def main(argv: Sequence[str] | None = None) -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"{', '.join(BUILT)}; default: all")
    wanted = parser.parse_args(argv).parts
    unknown = [part for part in wanted if part not in BUILT]
    if unknown:
        parser.error(f"'{unknown[0]}' is not built here; allowed: {', '.join(BUILT)}")
    for name, make in BUILT.items():
        if not wanted or name in wanted:
            print(make())


if __name__ == "__main__":
    main()
