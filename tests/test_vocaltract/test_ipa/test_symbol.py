"""Symbols of the International Phonetic Alphabet read into features, composed freely, and refused with a reason.

Outside: ipa_chart.toml (the chart revised to 2020, as data with its own sources) and panphon's feature table.
"""

from __future__ import annotations

import csv
import importlib.util
import tomllib
import unicodedata
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from tests.reference.published import HERE
from vocaltract.ipa.alphabet import alphabet
from vocaltract.ipa.features import CORONAL, LABIAL, Features
from vocaltract.ipa.symbol import parse, usual

REFERENCE = HERE


def chart() -> dict[str, Any]:
    """The chart as data."""
    return tomllib.loads((REFERENCE / "ipa_chart.toml").read_text(encoding="utf-8"))


def pulmonic() -> Iterator[tuple[str, str, str, bool]]:
    """Symbol, place, manner, voiced of every pulmonic letter of the chart."""
    for row in chart()["pulmonic"]:
        for key in ("voiceless", "voiced"):
            if row[key]:
                yield row[key], row["place"], row["manner"].replace("tap or flap", "tap"), key == "voiced"


@pytest.mark.parametrize(("symbol", "place", "manner", "voiced"), list(pulmonic()))
def test_pulmonic_letters_have_the_charts_features(symbol: str, place: str, manner: str, voiced: bool) -> None:
    f = parse(symbol)
    assert (f.place, f.way, f.voiced, f.airstream) == (place, manner, voiced, "pulmonic")


@pytest.mark.parametrize("row", chart()["vowel"], ids=lambda row: row["symbol"])
def test_vowels_have_the_charts_features(row: dict[str, Any]) -> None:
    f = parse(row["symbol"])
    assert (f.height, f.backness, f.rounded) == (row["height"], row["backness"], row["rounded"])
    assert f.is_vowel
    assert f.voiced


# The chart's words for the places of non-pulmonic letters; a span is written by its middle, a lateral by its side
WRITTEN = {
    "(post)alveolar": "postalveolar",
    "palatoalveolar": "palatal",
    "alveolar lateral": "alveolar",
    "alveolar fricative": "alveolar",
    "dental/alveolar": "alveolar",
}


@pytest.mark.parametrize("row", chart()["nonpulmonic"], ids=lambda row: row["symbol"])
def test_nonpulmonic_symbols_have_the_charts_features(row: dict[str, Any]) -> None:
    f = parse(row["symbol"])
    kind = {"click": "velaric", "voiced_implosive": "implosive", "ejective_example": "ejective"}[row["type"]]
    assert f.airstream == kind
    assert f.places[0] == WRITTEN.get(row["place"], row["place"])
    assert f.voiced == (row["type"] == "voiced_implosive")
    assert f.lateral == ("lateral" in row["place"])


@pytest.mark.parametrize("row", chart()["other"], ids=lambda row: row["symbol"])
def test_other_symbols_have_the_charts_features(row: dict[str, Any]) -> None:
    f = parse(row["symbol"])
    if row["symbol"] == "ɧ":  # "simultaneous ʃ and x"
        assert f.places == (*parse("ʃ").places, *parse("x").places)
        return
    said = row["description"].replace("flap", "tap")
    assert f"{'voiced' if f.voiced else 'voiceless'} {f.place} {f.way}".endswith(said)


@pytest.mark.parametrize("row", chart()["diacritic"], ids=lambda row: row["meaning"])
def test_every_diacritic_of_the_chart_is_read_on_its_own_examples(row: dict[str, Any]) -> None:
    for example in row["example"].split():
        f = parse(example)
        if row["meaning"] in ("voiceless", "voiced"):
            assert f.voiced == (row["meaning"] == "voiced")
        else:
            meant = row["meaning"].removesuffix(" voiced").removesuffix("ity")
            assert any(meant in mark for mark in f.marks), (example, f.marks)


def test_the_chart_is_counted_whole() -> None:
    counts = chart()["counts"]
    assert len(list(pulmonic())) == counts["pulmonic_symbols"]
    assert sum(f.is_vowel for f in alphabet().letters.values()) == counts["vowels"]
    assert sum(f.manner == "click" for f in alphabet().letters.values()) == counts["clicks"]
    assert sum(f.airstream == "implosive" for f in alphabet().letters.values()) == counts["voiced_implosives"]


# panphon (D. R. Mortensen et al. 2016, COLING; MIT). (symbol, feature): why the table is not followed
EXCEPTIONS = {
    ("ʎ", "cor"): "made with the front of the tongue; the chart's place is palatal, as of ɲ and c, which are [-cor]",
    (
        "ǂ",
        "cor",
    ): "the table calls it coronal; the chart's palatoalveolar is written palatal here, and blade is its organ",
    ("ɨ", "back"): "the table knows no central vowels; the chart's are neither front nor back",
    ("ʉ", "back"): "as ɨ",
    ("ə", "back"): "as ɨ",
    ("ɜ", "back"): "as ɨ",
    ("a", "back"): "the chart's a is front",
    ("ɐ", "lo"): "the chart's ɐ is near-open, as æ, which the table calls low",
}


@cache
def table() -> dict[str, dict[str, str]]:
    """panphon's table by symbol, read without importing the package (which is slow to import)."""
    spec = importlib.util.find_spec("panphon")
    assert spec is not None
    assert spec.submodule_search_locations
    file = Path(spec.submodule_search_locations[0]) / "data" / "ipa_all.csv"
    with file.open(encoding="utf-8") as lines:
        return {unicodedata.normalize("NFD", row["ipa"]): row for row in csv.DictReader(lines)}


def distinctive(f: Features) -> dict[str, bool]:
    """Place, manner and voice in the table's terms."""
    found = {"voi": f.voiced, "nas": f.nasal, "lat": f.lateral}
    if f.is_vowel:
        return found | {
            "hi": f.height in ("close", "near-close"),
            "lo": f.height in ("near-open", "open"),
            "back": f.backness in ("back", "near-back"),
            "round": f.rounded,
        }
    return found | {
        "lab": any(p in LABIAL for p in f.places),
        "cor": any(p in CORONAL for p in f.places),
        "cont": f.manner in ("fricative", "approximant", "trill", "tap"),  # the table's own reading of trills and taps
    }


KNOWN = [s for s in alphabet().letters if s in table()]


def test_nearly_every_letter_is_in_the_table() -> None:
    assert set(alphabet().letters) - set(KNOWN) == {"ʡ", "ⱱ", "ʜ", "ʢ"}


@pytest.mark.parametrize("symbol", KNOWN)
def test_letters_have_the_features_of_the_table(symbol: str) -> None:
    for name, value in distinctive(parse(symbol)).items():
        agrees = table()[symbol][name] == ("+" if value else "-")
        assert agrees != ((symbol, name) in EXCEPTIONS), (symbol, name)


def test_comparer_sees_a_wrong_feature() -> None:
    wrong = distinctive(parse("d")) | {"voi": False}
    assert {k for k, v in wrong.items() if table()["d"][k] != ("+" if v else "-")} == {"voi"}


@pytest.mark.parametrize(
    ("symbol", "expected"),
    [  # readings by the chart's own words; the Handbook of the IPA (1999) has t̪, k͡p, t͡s, ɡ̊ and õ among its examples
        ("t̪ʰ", {"places": ("dental",), "marks": ("aspirated", "dental"), "voiced": False}),
        ("ɡ̊", {"places": ("velar",), "voiced": False}),
        ("ɡ̥", {"places": ("velar",), "voiced": False}),
        ("k͡p", {"places": ("bilabial", "velar"), "manner": "plosive"}),
        ("p͡k", {"places": ("bilabial", "velar"), "manner": "plosive"}),
        ("ŋ͡m", {"places": ("bilabial", "velar"), "manner": "nasal", "nasal": True}),
        ("õ", {"nasal": True, "rounded": True}),
        ("s̺", {"marks": ("apical",)}),
        ("n̩", {"marks": ("syllabic",)}),
        ("t͡s", {"manner": "affricate", "places": ("alveolar", "alveolar")}),
        ("t͜s", {"manner": "affricate"}),
        ("tʃ", {"manner": "affricate", "places": ("alveolar", "postalveolar")}),
        ("t͡ɬ", {"manner": "affricate", "lateral": True}),
        ("t͡sʼ", {"manner": "affricate", "airstream": "ejective"}),
        ("p͡f", {"manner": "affricate", "place": "labiodental"}),
        ("b̪", {"places": ("labiodental",)}),
        ("t̼", {"places": ("linguolabial",)}),
        ("ŋ͡ǃ", {"manner": "click", "nasal": True, "voiced": True}),
        ("ɡǁ", {"manner": "click", "voiced": True, "lateral": True}),
        ("q͡ǂ", {"manner": "click", "places": ("palatal", "uvular")}),
        ("ɚ", {"height": "mid", "marks": ("rhotic",)}),
        ("aː", {"height": "open"}),
        ("á", {"height": "open", "marks": ()}),
        ("ɫ", {"lateral": True, "marks": ("velarized or pharyngealized",)}),
        ("tʲʷʰ", {"marks": ("aspirated", "labialized", "palatalized")}),
        ("ʃ͡x", {"places": ("postalveolar", "velar"), "manner": "fricative"}),
        (" [d] ", {"place": "alveolar", "voiced": True}),
    ],
)
def test_marks_and_ties_compose(symbol: str, expected: dict[str, Any]) -> None:
    f = parse(symbol)
    assert {name: getattr(f, name) for name in expected} == expected


def test_composed_and_decomposed_characters_are_one() -> None:
    for symbol in ("ã", "ç", "ë", "ɡ̊"):
        forms = {parse(unicodedata.normalize(form, symbol)) for form in ("NFC", "NFD")}
        assert len(forms) == 1


def test_names_are_the_trades() -> None:
    """Three-term labels: voice, place, manner (Handbook of the IPA 1999)."""
    assert parse("ʈ").name == "voiceless retroflex plosive"
    assert parse("t̪ʰ").name == "voiceless aspirated dental plosive"
    assert parse("ɓ").name == "voiced bilabial implosive"
    assert parse("kʼ").name == "voiceless velar ejective plosive"
    assert parse("b̤").name == "breathy-voiced bilabial plosive"
    assert parse("y").name == "close front rounded vowel"
    assert parse("k͡p").name == "voiceless labial-velar plosive"


def test_usual_spelling_is_that_of_the_inventory() -> None:
    assert [usual(s) for s in ("g", "t͡ʃ", "ʧ", "l̴", "ə˞", "ɝ")] == ["ɡ", "tʃ", "tʃ", "ɫ", "ɚ", "ɝ"]


@pytest.mark.parametrize(
    ("symbol", "why"),
    [  # what no speaker can do, by anatomy and aerodynamics (Ladefoged & Maddieson 1996; Ohala; from memory)
        ("ʔ̃", "a glottal stop cannot be nasalised"),
        ("ʔ̬", "a glottal stop cannot be voiced"),
        ("ʔⁿ", "a glottal stop cannot be let go through the nose"),
        ("ʔʼ", "shuts the folds and a second place"),
        ("h̪", "no place in the mouth"),
        ("ʡ̃", "below the way to the nose"),
        ("b̃", "it is a nasal"),
        ("dʼ", "has no voice"),
        ("mʼ", "an ejective"),
        ("tʼʰ", "breath needs open folds"),
        ("ɓʼ", "up and down at once"),
        ("a̚", "belongs to a closure"),
        ("aʰ", "a vowel has none"),
        ("sⁿ", "belongs to a closure"),
        ("t̚ʰ", "contradict each other: no audible release and aspirated"),
        ("p̤", "kinds of voice"),
        ("t˞", "the hook colours vowels"),
        ("k̪", "only lips, tip and blade"),
        ("a̪", "only lips, tip and blade"),
        ("k̺", "not made with them"),
        ("b̹", "pressed shut"),
        ("bˡ", "does not free a closure of the lips"),
        ("t̥̬", "contradict each other: voiceless and voiced"),
        ("e̝̞", "contradict each other: raised and lowered"),
        ("k̟̠", "contradict each other: advanced and retracted"),
        ("tʲˠ", "contradict each other"),
        ("t͡k͡p", "3 sounds"),
        ("p͡s", "no affricate"),
        ("l͡t", "not made as one sound"),
        ("t͡d͡", "joins nothing"),
        ("t͡d", "two places at once"),
        ("p͡ǃ", "held at the back"),
        ("w͡p", "three places"),
        ("ai", "2 sounds"),
        ("tk", "2 sounds"),
        ("ʰ", "needs a letter before it"),
        ("ˈa", "marks stress"),
        ("a.b", "a syllable break"),
        ("", "no symbol given"),
        ("[]", "no symbol given"),
        ("a" * 30, "30 characters"),
        ("a1", "'1' (U+0031, character 2 of 'a1')"),
        ("tж", "'ж' (U+0436, character 2 of"),
        ("t🙂", "U+1F642, character 2"),
        ("t\u0488", "'\u25cc\u0488' (U+0488"),
    ],
)
def test_what_cannot_be_made_is_refused_with_its_reason(symbol: str, why: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse(symbol)
    assert why in str(caught.value)
    assert "\n" not in str(caught.value)


MARKS = "".join(alphabet().marks)
LETTERS = "".join(c for c in alphabet().letters if len(c) == 1)


@settings(max_examples=400, deadline=None, derandomize=True)
@given(st.text(alphabet=LETTERS + MARKS + "͡ː ˈ[]", max_size=7))
def test_any_string_of_letters_and_marks_is_features_or_bad_input(symbol: str) -> None:
    try:
        f = parse(symbol)
    except BadInput as error:
        assert "\n" not in str(error)
    else:
        assert f.name
        assert f.is_vowel == (not f.places)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(max_size=10))
def test_any_text_is_features_or_bad_input(symbol: str) -> None:
    try:
        assert parse(symbol).manner
    except BadInput as error:
        assert "\n" not in str(error)
