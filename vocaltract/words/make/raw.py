"""The vendored dictionary file, from which the shipped databases are made."""

from __future__ import annotations

import hashlib
import lzma
import re
from functools import cache

from articulators.errors import SurroundingsError
from vocaltract.words.lexicon.databases import DATA

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
