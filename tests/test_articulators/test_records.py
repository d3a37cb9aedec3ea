"""Data files that do not fit are refused with file, key and what is allowed. Outside: none, a rule of ours."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Literal

import pytest

from articulators import records
from articulators.errors import BadInput
from articulators.records import Record, Row, parsed


class Limit(Row, frozen=True):
    """One limit."""

    gap_mm: float
    at_mm: tuple[float, float] = (0.0, 0.0)


class Limits(Record, frozen=True):
    """Limits by name, and some in a list."""

    limit: Mapping[str, Limit]
    more: tuple[Limit, ...] = ()


SAID = 'unit = "mm"\nsource = "by eye"\nstatus = "estimated"\n'
GOOD = f"[limit.lips]\ngap_mm = 1.5\n{SAID}"


def test_what_fits_is_read_and_cannot_be_changed() -> None:
    found = parsed(f"{GOOD}at_mm = [1.0, 2.0]\n[[more]]\ngap_mm = 2\n{SAID}", Limits, "limits.toml")
    assert found.limit["lips"].at_mm == (1.0, 2.0) and found.more[0].gap_mm == 2
    with pytest.raises(AttributeError):
        found.limit["lips"].gap_mm = 3.0
    with pytest.raises(TypeError):
        found.limit["lips"] = found.more[0]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (GOOD.replace("gap_mm", "gapmm"), "limits.toml: limit.lips: key 'gapmm' is unknown; allowed: gap_mm, at_mm, "),
        (GOOD.replace('source = "by eye"\n', ""), "limits.toml: limit.lips: key 'source' is missing"),
        (GOOD.replace("by eye", " "), "limits.toml: limit.lips: 'source' is empty"),
        (GOOD.replace('unit = "mm"', 'unit = ""'), "limits.toml: limit.lips: 'unit' is empty"),
        (GOOD.replace("estimated", "sure"), "limits.toml: limit.lips.status: 'sure' is unknown; allowed: verified, "),
        (GOOD.replace("1.5", '"wide"'), "limits.toml: limit.lips.gap_mm: expected `float`, got `str`, not 'wide'"),
        (GOOD + "at_mm = [1.0]\n", "limits.toml: limit.lips.at_mm: expected `array` of length 2"),
        ("limit = 3", "limits.toml: limit: expected `object`, got `int`"),
        (f"{GOOD}[[more]]\n{SAID}", "limits.toml: more[1]: key 'gap_mm' is missing"),
        ("[limit", "limits.toml: not TOML: "),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told_with_its_place(text: str, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(text, Limits, "limits.toml")
    assert str(caught.value).startswith(told)


def halved(value: object) -> float:
    """A number of the file, halved."""
    if not isinstance(value, float):
        raise ValueError(f"{value!r} is no number")
    return value / 2


class Made(Record, frozen=True):
    """A value that is made on reading, and one row for each of two organs."""

    half_mm: Annotated[float, halved]
    organ: Mapping[Literal["lips", "tongue"], Limit]


BOTH = f"half_mm = 3.0\n[organ.lips]\ngap_mm = 1.5\n{SAID}[organ.tongue]\ngap_mm = 2.5\n{SAID}"


def test_values_are_made_and_keys_are_complete() -> None:
    found = parsed(BOTH, Made, "made.toml")
    assert found.half_mm == 1.5 and list(found.organ) == ["lips", "tongue"]
    for spoiled, message in (
        (BOTH.replace("3.0", '"wide"'), "made.toml: half_mm: 'wide' is no number"),
        (BOTH.replace("organ.lips", "organ.lip"), "made.toml: organ: key 'lip' is unknown; allowed: lips, tongue"),
        (BOTH.split("[organ.tongue]")[0], "made.toml: organ: key 'tongue' is missing; allowed: lips, tongue"),
    ):
        with pytest.raises(BadInput) as caught:
            parsed(spoiled, Made, "made.toml")
        assert str(caught.value).startswith(message)


class Word(Record, frozen=True):
    """A word and how common it is."""

    word: str
    size_class: int = 0


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("# source: by hand\nword\tsize_class\nkey\t1\ndoor\n", "words.tsv, line 4: 1 cells, not 2"),
        ("# source: by hand\nword\tsize_class\nkey\tone\n", "words.tsv, line 3: size_class 'one' is no number"),
        ("# source: by hand\nword\trank\nkey\t1\n", "words.tsv, line 3: key 'rank' is unknown; allowed: word, "),
        ("# words\nword\nkey\n", "words.tsv: no comment says 'source:'"),
        ("# source: \nword\nkey\n", "words.tsv: no comment says 'source:'"),
    ],
)
def test_rows_that_do_not_fit_are_told_with_their_line(
    text: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(records, "text_of", lambda package, file: text)
    with pytest.raises(BadInput) as caught:
        records.rows.__wrapped__("here", "words.tsv", Word)
    assert str(caught.value).startswith(told)


def test_rows_that_fit_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "# source: by hand\nword\tsize_class\nkey\t1\n# a comment\ndoor\t\n"
    monkeypatch.setattr(records, "text_of", lambda package, file: text)
    assert records.rows.__wrapped__("here", "words.tsv", Word) == (Word(word="key", size_class=1), Word(word="door"))


class Spelling(Record, frozen=True):
    """Letters of a sound, and whether they are the usual ones."""

    letters: tuple[str, ...]
    usual: bool = False


def test_cells_hold_words_and_yes_or_no(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "# source: by hand\nletters\tusual\nk ck\t1\nqu\t0\n"
    monkeypatch.setattr(records, "text_of", lambda package, file: text)
    usual, rare = records.rows.__wrapped__("here", "spellings.tsv", Spelling)
    assert usual == Spelling(letters=("k", "ck"), usual=True)
    assert rare == Spelling(letters=("qu",))
    monkeypatch.setattr(records, "text_of", lambda package, file: text.replace("\t1", "\tyes"))
    with pytest.raises(BadInput, match=r"spellings.tsv, line 3: usual 'yes' is neither 1 nor 0"):
        records.rows.__wrapped__("here", "spellings.tsv", Spelling)
    monkeypatch.setattr(records, "text_of", lambda package, file: "# source: by hand\n")
    with pytest.raises(BadInput, match=r"spellings.tsv: no header; its first line names the columns: letters, usual"):
        records.rows.__wrapped__("here", "spellings.tsv", Spelling)


def test_rows_at_once_are_those_of_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "# source: by hand\nword\tsize_class\n" + "".join(f"w{n}\t{n or ''}\n" for n in range(50))
    monkeypatch.setattr(records, "text_of", lambda package, file: text)
    at_once = records.rows.__wrapped__("here", "words.tsv", Word)
    monkeypatch.setattr(records, "_at_once", lambda header, cells, kind: ())
    assert records.rows.__wrapped__("here", "words.tsv", Word) == at_once
