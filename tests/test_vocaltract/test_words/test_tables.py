"""Every table of words is typed: what does not fit is refused with file, line or key and what is allowed.

Outside: none, a rule of ours.
"""

from __future__ import annotations

from typing import Any

import pytest

from articulators import records
from articulators.errors import BadInput
from articulators.records import parsed, text_of
from vocaltract.words.lexicon import dictionary, graphemes, syllables, word_lists
from vocaltract.words.lexicon.databases import DATA
from vocaltract.words.make import gather
from vocaltract.words.make.profile import ProfileRows
from vocaltract.words.rules.allophones import RuleRows
from vocaltract.words.text import accents, choices, grammar, orthography, reading, weak

PACKAGE = "vocaltract.words"
KINDS: dict[str, type[Any]] = {
    "abbreviations.tsv": orthography.Abbreviation,
    "before_to.tsv": weak.BeforeTo,
    "common_words.tsv": word_lists.SizedWord,
    "compound_firsts.tsv": accents.CompoundFirst,
    "compounds.tsv": dictionary.Compound,
    "front_desk.tsv": word_lists.FrontDeskText,
    "grammar.tsv": grammar.WordClass,
    "graphemes.tsv": graphemes.Graphemes,
    "homographs.tsv": dictionary.Homograph,
    "letter_names.tsv": reading.LetterName,
    "listing_exceptions.tsv": gather.ListingException,
    "mergers.tsv": choices.Merger,
    "onsets.tsv": syllables.Onset,
    "overrides.tsv": dictionary.Correction,
    "rarer_words.tsv": word_lists.SizedWord,
    "verb_cues.tsv": reading.VerbCue,
    "weak_forms.tsv": weak.WeakForm,
    "word_pairs.tsv": accents.WordPair,
}


def read(text: str, file: str, monkeypatch: pytest.MonkeyPatch) -> tuple[Any, ...]:
    """The rows of a table with another text."""
    monkeypatch.setattr(records, "text_of", lambda package, name: text)
    rows: tuple[Any, ...] = records.rows.__wrapped__(PACKAGE, file, KINDS[file])
    return rows


def refused(text: str, file: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """What is told of a table with another text."""
    with pytest.raises(BadInput) as caught:
        read(text, file, monkeypatch)
    return str(caught.value)


def header_of(text: str) -> str:
    """The line that names the columns."""
    return next(line for line in text.splitlines() if not line.startswith("#"))


def test_every_table_is_among_them() -> None:
    assert sorted(path.name for path in DATA.glob("*.tsv")) == sorted(KINDS)
    assert [path.name for path in DATA.glob("*.toml")] == ["profile.toml", "rules.toml"]


@pytest.mark.parametrize("file", KINDS)
def test_rows_are_read_and_the_source_stands_on_a_line_of_its_own(file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    text = text_of(PACKAGE, file)
    assert read(text, file, monkeypatch)
    assert any(line.startswith("# source: ") for line in text.splitlines())


@pytest.mark.parametrize("file", KINDS)
def test_a_misspelt_key_is_told_with_those_allowed(file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    text = text_of(PACKAGE, file)
    header = header_of(text)
    key = header.split("\t")[0]
    told = refused(text.replace(f"\n{header}\n", f"\nx{header}\n"), file, monkeypatch)
    assert told.startswith(f"{file}, line ")
    assert f"key 'x{key}' is unknown; allowed: " in told
    assert f"(nearest: {key})" in told


@pytest.mark.parametrize("file", KINDS)
def test_an_absent_and_an_empty_source_are_refused(file: str, monkeypatch: pytest.MonkeyPatch) -> None:
    text = text_of(PACKAGE, file)
    lines = text.splitlines()
    absent = "\n".join(line for line in lines if not line.startswith("# source:"))
    empty = "\n".join("# source: " if line.startswith("# source:") else line for line in lines)
    for wrong in (absent, empty):
        assert refused(wrong, file, monkeypatch).startswith(f"{file}: no comment says 'source:'")


@pytest.mark.parametrize(
    ("file", "row", "told"),
    [
        ("common_words.tsv", "key\tone", "size_class 'one' is no number"),
        ("compounds.tsv", "key\tk+ey\tx", "joint 'x' is no number"),
        ("overrides.tsv", "key\tK IY1\tvariant\t", "key 'source' is missing; allowed: word, pronunciation, "),
        ("overrides.tsv", "key\tK IY1\tbetter\tours", "reason: 'better' is unknown; allowed: variant, missing, strong"),
        ("listing_exceptions.tsv", "key\tdeny", "action: 'deny' is unknown; allowed: allow, block"),
        ("weak_forms.tsv", "key\tK IY0\t\tyes", "final 'yes' is neither 1 nor 0"),
        ("abbreviations.tsv", "key.\tkey\tnoun", "before: 'noun' is unknown; allowed: any, name"),
        ("onsets.tsv", "K L", "1 cells, not 2"),
    ],
)
def test_a_row_that_does_not_fit_is_told_with_its_line(
    file: str, row: str, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [*text_of(PACKAGE, file).splitlines(), row]
    found = refused("\n".join(lines), file, monkeypatch)
    assert found.startswith(f"{file}, line {len(lines)}: {told}")


RULES = text_of(PACKAGE, "rules.toml")


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("level =", "levle =", "rule[1]: key 'levle' is unknown; allowed: name, level, "),
        ('level = "optional"', 'level = "seldom"', "rule[4].level: 'seldom' is unknown; allowed: always, usual, "),
        ('source = "L&J; Cruttenden, from memory"\n', "", "rule[1]: key 'source' is missing; allowed: name, "),
        ('source = "L&J; Cruttenden, from memory"\n', 'source = ""\n', "rule[1]: 'source' is empty"),
        ("= true", '= "yes"', "rule[7].within_words_in_careful_style: expected `bool`, got `str`"),
    ],
)
def test_a_rule_that_does_not_fit_is_told_with_its_place(right: str, wrong: str, told: str) -> None:
    assert right in RULES
    with pytest.raises(BadInput) as caught:
        parsed(RULES.replace(right, wrong, 1), RuleRows, "rules.toml")
    assert str(caught.value).startswith(f"rules.toml: {told}")


PROFILE = text_of(PACKAGE, "profile.toml")


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("spelling =", "speling =", "rule[1]: key 'speling' is unknown; allowed: name, kind, "),
        ('kind = "repair"', 'kind = "mend"', "rule[1].kind: 'mend' is unknown; allowed: repair, prefer, choose"),
        ('status = "memory"\n', "", "rule[1]: key 'status' is missing; allowed: name, "),
        ('unit = "none"', 'unit = ""', "rule[1]: 'unit' is empty"),
    ],
)
def test_a_rule_of_the_profile_that_does_not_fit_is_told_with_its_place(right: str, wrong: str, told: str) -> None:
    assert right in PROFILE
    with pytest.raises(BadInput) as caught:
        parsed(PROFILE.replace(right, wrong, 1), ProfileRows, "profile.toml")
    assert str(caught.value).startswith(f"profile.toml: {told}")
