"""The sounds of the inventory: dictionary symbols (ARPAbet), IPA keys and their classes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from vocaltract.words.lexicon.tables import rows


@dataclass(frozen=True, slots=True)
class Phone:
    """One row of data/phones.tsv. `arpabet` is None where the dictionary does not write the sound."""

    ipa: str
    arpabet: str | None
    manner: str
    place: str
    voiced: bool

    @property
    def is_vowel(self) -> bool:
        """Whether it is a vowel or a diphthong."""
        return self.manner == "vowel"

    @property
    def is_obstruent(self) -> bool:
        """Whether it is a stop, a fricative or an affricate."""
        return self.manner in ("stop", "affricate", "fricative")


@cache
def by_ipa() -> Mapping[str, Phone]:
    """IPA key -> Phone, for every sound of the inventory."""
    found = {}
    for row in rows("phones.tsv"):
        arpabet = None if row["arpabet"] == "-" else row["arpabet"]
        found[row["ipa"]] = Phone(row["ipa"], arpabet, row["manner"], row["place"], row["voiced"] == "1")
    return MappingProxyType(found)


@cache
def _by_arpabet() -> dict[str, str]:
    return {phone.arpabet: key for key, phone in by_ipa().items() if phone.arpabet}


def split_stress(symbol: str) -> tuple[str, int | None]:
    """``"AE1"`` -> ``("AE", 1)``; consonants have None."""
    return (symbol[:-1], int(symbol[-1])) if symbol[-1].isdigit() else (symbol, None)


def is_vowel_symbol(symbol: str) -> bool:
    """Whether a dictionary symbol is a vowel (carries a stress digit)."""
    return symbol[-1].isdigit()


def ipa_of(symbol: str) -> str:
    """IPA key of a dictionary symbol with its stress digit: AH0 is ə, AH1 is ʌ. Raises KeyError."""
    table = _by_arpabet()
    return table[symbol] if symbol in table else table[split_stress(symbol)[0]]


def arpabet_of(key: str, stress: int | None) -> str:
    """Dictionary symbol of an IPA key, with a stress digit for vowels. Raises KeyError if there is none."""
    phone = by_ipa()[key]
    if phone.arpabet is None:
        raise KeyError(key)
    return f"{phone.arpabet.rstrip('0')}{stress or 0}" if phone.is_vowel else phone.arpabet
