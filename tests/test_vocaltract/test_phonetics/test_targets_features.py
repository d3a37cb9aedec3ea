"""Nasal, labial, coronal and continuant as measured on outlines and airway, against panphon's feature table.

panphon (D. R. Mortensen et al. 2016, COLING; MIT) is read from its own data file. Nothing is read from the
project's targets: a sound is its outlines. Where the table cannot be met, the exception is written below.
"""

from __future__ import annotations

import csv
import importlib.util
from functools import cache
from pathlib import Path

import pytest

from articulators.head import adult_male
from articulators.posture import Posture
from articulators.section import section
from tests.test_vocaltract.spoken import features, mid_hold
from vocaltract.phonetics.inventory import entries
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.targets import targets

NAMES = ("nas", "lab", "cor", "cont")
TIED = {"tʃ": "t͡ʃ", "dʒ": "d͡ʒ"}  # the table writes affricates with a tie bar
# (sound, feature): what is measured instead, and why
EXCEPTIONS = {
    ("l", "cont"): (False, "table: [+cont]; the midline is closed and the air passes beside the tongue (IPA Handbook)"),
    ("ɫ", "cont"): (False, "as l"),
    ("ɾ", "cont"): (False, "table: [+cont]; a tap is a short closure (Ladefoged & Johnson)"),
    ("ɹ", "cor"): (False, "drawn bunched; the table describes the tip-up shape"),
}
LEFT_OUT = {"h", "ʔ", "ɦ"}  # the mouth takes its neighbours' shape: it has no features of its own
SOUNDS = [e.symbol for e in entries().values() if e.kind != "vowel" and e.symbol not in LEFT_OUT]
SOLVED = [s for t in targets() for s in (*t.symbols, *t.nasals) if s in SOUNDS]
# a timeline takes half a second, so of each kind of sound these are also measured in one
MOVED = ["p", "b", "t", "d", "k", "ɡ", "m", "n", "ŋ", "s", "z", "f", "v", "l", "ɾ", "w"]


@cache
def table() -> dict[str, dict[str, str]]:
    """The feature table by symbol, read without importing the package (which is slow to import)."""
    spec = importlib.util.find_spec("panphon")
    assert spec is not None
    assert spec.submodule_search_locations
    file = Path(spec.submodule_search_locations[0]) / "data" / "ipa_all.csv"
    with file.open(encoding="utf-8") as lines:
        return {row["ipa"]: row for row in csv.DictReader(lines)}


def expected(symbol: str) -> dict[str, bool]:
    """What must be measured: the table's value, or the written exception's."""
    row = table()[TIED.get(symbol, symbol)]
    assert all(row[name] in "+-" for name in NAMES), row
    return {name: EXCEPTIONS.get((symbol, name), (row[name] == "+", ""))[0] for name in NAMES}


def first_posture(symbol: str) -> Posture:
    """The posture of a sound's table; for an affricate the one of its closure."""
    return posture(entries()[symbol].posture[0])


def test_all_solved_consonants_are_compared() -> None:
    assert {"p", "b", "t", "d", "k", "ɡ", "m", "n", "ŋ", "s", "z", "f", "v", "l", "ɾ"} <= set(SOLVED)


@pytest.mark.parametrize("symbol", SOUNDS)
def test_posture_has_the_features_of_the_table(symbol: str) -> None:
    assert features(section(adult_male(), first_posture(symbol))) == expected(symbol)


@pytest.mark.parametrize("symbol", MOVED)
def test_mid_hold_has_the_features_of_the_table(symbol: str) -> None:
    assert features(mid_hold(symbol)) == expected(symbol)


@pytest.mark.parametrize(("symbol", "name"), EXCEPTIONS)
def test_every_exception_is_one(symbol: str, name: str) -> None:
    """An exception that agrees with the table is none and must go."""
    assert EXCEPTIONS[symbol, name][0] != (table()[symbol][name] == "+")


@pytest.mark.parametrize("symbol", ["l", "ɫ"])
def test_laterals_close_in_the_midline_with_open_sides(symbol: str) -> None:
    """Row epg_l of sizes_of_the_mouth.csv: contact at the ridge in the middle, at least one side open."""
    made = first_posture(symbol)
    assert float(made["sides_open"]) == 1.0
    assert not features(section(adult_male(), made))["cont"]
    for stop in ("t", "d", "n"):
        assert float(first_posture(stop)["sides_open"]) == 0.0


@pytest.mark.parametrize(
    ("symbol", "change", "name"),
    [
        ("b", {"velum": 1.0}, "nas"),
        ("m", {"velum": 0.0}, "nas"),
        ("p", {"aperture_mm": 6.0}, "lab"),
        ("p", {"aperture_mm": 6.0}, "cont"),
        ("t", {"tip_up_mm": 0.0, "blade_mm": 0.0, "front_mm": 0.0}, "cor"),
        ("k", {"back_mm": 0.0, "front_mm": 0.0}, "cont"),
        ("s", {"aperture_mm": -0.9}, "cont"),
    ],
)
def test_comparer_sees_a_planted_fault(symbol: str, change: dict[str, float], name: str) -> None:
    wrong = features(section(adult_male(), first_posture(symbol).with_parts(**change)))
    assert wrong[name] != expected(symbol)[name]
