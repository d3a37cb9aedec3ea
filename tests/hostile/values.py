"""Values that somebody might type, and some that nobody would: texts, IPA, numbers, names of files."""

from __future__ import annotations

import string
from functools import cache
from random import Random

from tests.hostile.usage import Slot
from vocaltract.ipa.alphabet import alphabet

WORDS = (
    "towel ticket luggage seat sit light right vest west thank sank desk hotel key elevator receipt lobby a/c 24/7 "
    "$12.50 3rd 10:30 Mr. late date record/verb record/2 room-service good night front Dec. 1st +1 50% #7 é naïve"
).split()
ODD = (
    "", " ", "\t", "\n", "-", "--", "-1", "[]", "[ ]", "//", "[", "]", "[[t]]", "/[t]/", "[t", "t]", "?!", "...",
    "[.]", "[ˈ]", "[ː]", "[t͡]", "[͡]", "%s", "{}", "{0}", "\\", "\\n", "`ls`", "$HOME", "*", "~", "NaN", "None",
    "True", "0", "𝓽", "ﬁ", "ß", "İ", "ı", "Ǆ", "🏨", "👩‍💼", "مفتاح", "钥匙", "‮t", "​", "﻿towel", "e\u0301", "\u0301",
    "a" + "\u0301" * 60, "\x1b[31m", "\x07", "\x7f", "\x85", "\u2028", "\udcff", "t\udc80", "[t\udcff]", "</script>",
    "<b>", "&amp;", "'", '"', "and " * 40, "a" * 5000, "[" * 300, "[" + "t" * 300 + "]", "[" + "ˈta." * 60 + "]",
    "9" * 400, "1/0", "0/0", "$", "€", "$99999999999999999999.99", "12:61", "1e9", "[tʰʰʰʰ]", "[n̩̩̩]", "[ⁿ]", "[ʘ]",
    "[ǃ]", "[ɓ]", "[t’]", "[˥˩]", "[ə˞]",
)  # fmt: skip
NUMBERS = (
    "", " ", "0", "-0", "1", "-1", "0.5", ".5", "5.", "+2", "1e0", "1e-9", "1e9", "1e308", "1e309", "-1e308", "1e-320",
    "nan", "-nan", "inf", "-inf", "Infinity", "0x10", "0b1", "1_0", "1,5", "½", "²", "१", "٥", "１", "1/2", "1:2",
    "0.05", "0.049999", "2.0000001", "60", "60.000001", "29.97", "30000/1001", "12.5", "1" + "0" * 400,
    "0." + "3" * 400, "9" * 5000, "1 2", "1\n", "64x64", "64X66", "64×64", "63x64", "65x64", "0x0", "-64x64", "64x",
    "x64", "64x64x64", "99999999x64", "３x４", "6e1x64", "3842x64", "64x3842", "66x1000", "1e1x1e1", "1.0x1.0",
)  # fmt: skip
NAMES = (
    "", " ", ".", "..", "-", "--", "-x", "~/x", "a b", " a", "a ", "a.", "a..", "CON", "nul", "com1", "aux.tar", "a:b",
    "a*", "a?", "a|b", "a<b", "a\"b", "a'b", "a\\b", "C:\\a", "\\\\a\\b", "a\nb", "a\tb", "a\x1bb", "a\x7f", "%s",
    "{}", "$HOME", "a;b", "ü", "u\u0308", "ß", "ʃ", "钥匙", "🏨", "‮a", "a\udcff", "x" * 240, "x" * 251, "x" * 256,
    "é" * 126, "é" * 128, "x" * 5000, "missing/a", "notes.txt/a", "folder/a", "folder/../a", "folder//a", "./a",
    ".//./a", "../outside/a", "link/a", "loop", "a/" * 90 + "a", "a/" * 3000 + "a", "/proc/a", "/proc/self/a",
    "notes.txt", "folder", "link", "link-to-file", "dangling", ".",
)  # fmt: skip
_ENDINGS = ("", ".", ".png", ".PNG", ".x", ".pn g")


@cache
def _ipa() -> tuple[str, ...]:
    return (*alphabet().letters, *alphabet().marks)


def text(rng: Random) -> str:
    """Words, odd texts, IPA by chance, characters by chance, and mixtures."""
    kind = rng.randrange(7)
    if kind == 0:
        return rng.choice(ODD)
    if kind == 1:
        return " ".join(rng.choice(WORDS) for _ in range(rng.randint(1, 4)))
    if kind == 2:
        return ipa(rng)
    if kind == 3:
        return "".join(chr(_scalar(rng)) for _ in range(rng.randint(1, 12)))
    if kind == 4:
        return "".join(rng.choice(string.printable) for _ in range(rng.randint(1, 12)))
    if kind == 5:
        return spoiled(rng, rng.choice(WORDS))
    return rng.choice(WORDS) + rng.choice(("", " ", "-", "/", "'", ".", ",")) + rng.choice(ODD)


def ipa(rng: Random) -> str:
    """Letters and marks of the chart in any order, mostly in brackets."""
    body = "".join(rng.choice(_ipa()) for _ in range(rng.choice((1, 1, 2, 2, 3, 5, 9))))
    opened, closed = rng.choice(("[]", "[]", "[]", "//", "[/", "[ "))
    return f"{opened}{body}{closed}"


def number(rng: Random) -> str:
    """Numbers in and out of every range, and what only looks like one."""
    kind = rng.randrange(4)
    if kind == 0:
        return f"{rng.uniform(-2, 70):.{rng.randint(0, 9)}f}"
    if kind == 1:
        return f"{rng.choice((1, -1)) * 10 ** rng.uniform(-300, 300):g}"
    return rng.choice(NUMBERS)


def file_name(rng: Random, endings: tuple[str, ...]) -> str:
    """A name, mostly with an ending that is allowed."""
    name = rng.choice(NAMES)
    ending = rng.choice(endings) if endings and rng.random() < 0.75 else rng.choice(_ENDINGS)
    return name + ending


def value(rng: Random, slot: Slot) -> str:
    """What might be typed for an option or a positional that is no file."""
    kind = rng.randrange(6)
    if kind <= 2 and slot.words:
        word = rng.choice(slot.words)
        return word if kind < 2 else spoiled(rng, word)
    return number(rng) if kind == 3 else text(rng)


def spoiled(rng: Random, word: str) -> str:
    """The word with one character taken out, doubled, replaced or in another case."""
    if not word:
        return " "
    at = rng.randrange(len(word))
    instead = rng.choice(("", word[at] * 2, chr(_scalar(rng)), word[at].swapcase(), ":", ","))
    return word[:at] + instead + word[at + 1 :]


def _scalar(rng: Random) -> int:
    """A code point that can be typed: no NUL, no surrogate."""
    top = rng.choice((0x7F, 0x24F, 0x2FFF, 0xFFFF, 0x10FFFF))
    found = rng.randint(1, top)
    return found if not 0xD800 <= found <= 0xDFFF else 0xFFFD
