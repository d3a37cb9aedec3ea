"""The dictionary's symbols (ARPAbet with stress digits) and the IPA keys that they stand for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from vocaltract.ipa.english import phones


@cache
def _by_arpabet() -> Mapping[str, str]:
    return MappingProxyType({phone.arpabet: key for key, phone in phones().items() if phone.arpabet})


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
    phone = phones()[key]
    if phone.arpabet is None:
        raise KeyError(key)
    return f"{phone.arpabet.rstrip('0')}{stress or 0}" if phone.is_vowel else phone.arpabet
