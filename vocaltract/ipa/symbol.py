"""One symbol of the International Phonetic Alphabet, marks composed freely, read into features."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from articulators.errors import BadInput
from vocaltract.ipa.alphabet import alphabet, nfd
from vocaltract.ipa.features import BELOW_THE_PORT, CORONAL, Features, makeable, moved

LONGEST = 24  # characters of one symbol


def usual(symbol: str) -> str:
    """The symbol in NFD as the tables write it: older letters replaced, marked letters whole, no tie bar."""
    known = alphabet()
    text = nfd(symbol.strip())
    for other, meant in {**known.same, **known.same_in_a_symbol}.items():
        text = text.replace(other, meant)
    for letter, parts in known.whole.items():
        text = text.replace(parts, letter)
    if text[-1:] in known.ties:  # joins nothing: left for `parse` to refuse
        return text
    return "".join(c for c in text if c not in known.ties)


def letters_of(symbol: str) -> str:
    """The letters of a symbol without its marks and tie bars, as the tables write them."""
    known = alphabet()
    return "".join(c for c in usual(symbol) if c not in known.marks and c not in known.pitch)


def places_shut(symbol: str) -> tuple[str, ...]:
    """The places at which a symbol's first moment shuts mouth or throat; of an affricate that of its closure."""
    f = parse(symbol)
    if f.manner == "affricate":
        return (f.places[1] if f.places[1] in CORONAL else f.places[0],)
    return f.places


def parse(symbol: str) -> Features:
    """The features of one IPA symbol with its marks, with or without [ ].

    Raises BadInput: nothing given, a character that is none of the alphabet (pointed at), marks that contradict each
    other, more than one sound, or a combination that cannot be made (with the reason).
    """
    text = nfd(symbol.strip())
    if len(text) > 1 and (text[0], text[-1]) == ("[", "]"):
        text = text[1:-1].strip()
    if not text:
        raise BadInput("no symbol given; name one sound of the International Phonetic Alphabet, as in [t]")
    if len(text) > LONGEST:
        raise BadInput(f"a symbol of {len(text)} characters; one sound has at most {LONGEST}")
    letters, tied = _letters(text)
    if len(letters) == 1:
        return moved(makeable(replace(letters[0], symbol=text)))
    if len(letters) == 2:
        joined = _joined(text, letters[0], letters[1], tied)
        if joined is not None:
            return moved(makeable(joined))
    said = " ".join(f.symbol for f in letters)
    raise BadInput(f"'{text}' is {len(letters)} sounds ({said}); name one, or tie two that are one sound (t͡s)")


def _letters(text: str) -> tuple[list[Features], bool]:
    """The letters of a symbol, each with its marks put on; whether a tie bar joins the first two."""
    known = alphabet()
    for other, meant in {**known.whole, **known.same, **known.same_in_a_symbol}.items():
        text = text.replace(other, meant)
    found: list[tuple[Features, list[str]]] = []
    tied, joins = False, False
    i = 0
    while i < len(text):
        letter = next((text[i : i + n] for n in (2, 1) if text[i : i + n] in known.letters), "")
        if letter:
            found.append((known.letters[letter], []))
            joins = False
            i += len(letter)
            continue
        char = text[i]
        if char in known.ties and found:
            tied = joins = True
        elif char in known.marks or char in known.pitch:
            if not found:
                raise BadInput(f"{_pointed(text, i)} is a mark and needs a letter before it")
            if char in known.marks:
                found[-1][1].append(char)
        elif char in known.phrase:
            raise BadInput(f"{_pointed(text, i)} marks {known.phrase[char].says}; it is not part of a sound")
        elif not char.isspace():
            raise BadInput(f"{_pointed(text, i)} is no letter or mark of the International Phonetic Alphabet")
        i += 1
    if joins or not found:
        raise BadInput(f"the tie bar in '{text}' joins nothing; it stands between two letters (t͡s)")
    # one after a tied pair belongs to the pair: voice, breath and nose are the second letter's too
    return [_marked(f, marks) for f, marks in found], tied


def _marked(letter: Features, chars: list[str]) -> Features:
    known = alphabet()
    groups: dict[str, str] = {}
    for char in chars:
        says, group = known.marks[char]
        if groups.get(group, says) != says:
            raise BadInput(f"marks on '{letter.symbol}' contradict each other: {groups[group]} and {says}")
        groups[group] = says
    said = [m for m in dict.fromkeys(s for s, _ in known.marks.values()) if m in groups.values()]
    voiced = letter.voiced
    if groups.get("voice") in ("voiced", "voiceless"):
        voiced = groups["voice"] == "voiced"
    airstream = "ejective" if "ejective" in said and letter.airstream == "pulmonic" else letter.airstream
    return replace(letter, voiced=voiced, airstream=airstream, marks=tuple(said))


def _joined(text: str, a: Features, b: Features, tied: bool) -> Features | None:
    """Two letters as one sound: affricate, double articulation, click with its accompaniment; None if they are two."""
    marks = tuple(m for m in _order() if m in a.marks or m in b.marks)
    voiced = (a.voiced and b.voiced) or "voiced" in b.marks
    airstream = "ejective" if "ejective" in marks else "pulmonic"
    one = Features(text, a.places, a.manner, voiced, b.lateral, airstream, marks=marks)
    if a.is_vowel or b.is_vowel:
        return None
    if len(a.places) > 1 or (len(b.places) > 1 and b.manner != "click"):
        raise BadInput(f"'{text}' would be made at three places at once")
    if b.manner == "click":
        if a.manner not in ("plosive", "nasal", "fricative") or a.places[0] not in ("velar", "uvular"):
            raise BadInput(f"a click is held at the back by a velar or uvular sound; '{a.symbol}' is none")
        nasal = ("nasalized",) if a.manner == "nasal" and "nasalized" not in marks else ()
        places = (b.places[0], a.places[0])
        return replace(one, places=places, manner="click", voiced=a.voiced, airstream="velaric", marks=(*marks, *nasal))
    if a.manner == "plosive" and b.manner == "fricative" and (tied or _region(a) == _region(b)):
        if _region(a) != _region(b):
            raise BadInput(f"'{text}' is no affricate: its closure is {a.places[0]}, its friction {b.places[0]}")
        return replace(one, places=(a.places[0], b.places[0]), manner="affricate")
    if not tied:
        return None
    if a.manner == b.manner and a.manner in ("plosive", "nasal", "fricative", "approximant"):
        if _region(a) == _region(b):
            raise BadInput(f"'{text}' asks the same part of the mouth to be in two places at once")
        front, back = (a, b) if _rank(a) <= _rank(b) else (b, a)
        return replace(one, places=(front.places[0], back.places[0]))
    raise BadInput(f"'{text}': a {a.way} and a {b.way} are not made as one sound")


def _order() -> list[str]:
    return list(dict.fromkeys(says for says, _ in alphabet().marks.values()))


def _region(f: Features) -> str:
    place = f.places[0]
    if place in ("bilabial", "labiodental"):
        return "lips"
    if place in CORONAL:
        return "front"
    return "throat" if place in BELOW_THE_PORT else "body"


def _rank(f: Features) -> int:
    return ("lips", "front", "body", "throat").index(_region(f))


def _pointed(text: str, at: int) -> str:
    """The character with its number and place; combining marks on a circle, so that they can be seen."""
    char = text[at]
    shown = f"\u25cc{char}" if unicodedata.category(char)[0] == "M" else char
    return f"'{shown}' (U+{ord(char):04X}, character {at + 1} of '{text}')"
