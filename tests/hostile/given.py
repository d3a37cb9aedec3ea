"""Contents of files that a user names: those that are good, spoiled by chance."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

import articulators
from renders.paper import style
from tests.hostile import values
from vocaltract.phonetics.speaker_file import speaker_copy

_AREAS = b"# a tract\nlength_cm,area_cm2\n1.0,0.5\n2.0,2.5\n8.5,1.0\n6.0,4.25\n"
_PIECES = (
    b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\r", b"\r\n", b"\n\n", b"\x1a", b"\x80", b"\xed\xa0\x80", b"\t", b"#",
    b"=", b"==", b"[", b"]", b"[[a]]", b"[a]\n[a]\n", b'"', b"'", b'"""', b"'''", b"{", b"}", b",", b",,,,", b";",
    b"nan", b"inf", b"-1", b"1e999", b"1e-999", b"-0.0", b"true", b"1979-05-27", b"'' = 1\n", b"a.b.c = 1\n",
    b"\xe2\x80\xae", b"e\xcc\x81",
)  # fmt: skip
_HUGE = (
    b"[" * 1500, b"a = " + b"[" * 1500 + b"]" * 1500, b"a = " + b"{b=" * 900 + b"1" + b"}" * 900,
    b"a." * 2000 + b"a = 1", b"a = " + b"9" * 5000, b"a = 0x" + b"f" * 5000, b"1" * 5000 + b" = 1",
    b'a = "' + b"x" * 70_000 + b'"', b"#" * 70_000, b"x" * 1_000_000, b"x" * 1_000_001, b"\x00" * 4096,
    b"length_cm,area_cm2\n" + b"1,1\n" * 2001, b",\n" * 9000, b'"' + b",\n" * 99,
)  # fmt: skip


@cache
def good() -> Mapping[str, bytes]:
    """Good files by what they are for, and every data file of a head."""
    heads = sorted(Path(articulators.__file__).parent.glob("data/*.toml"))
    ours = {"style": style.copy_of("light").encode(), "areas": _AREAS, "speaker": speaker_copy("woman").encode()}
    return {**ours, **{head.stem: head.read_bytes() for head in heads}}


def content(rng: Random, what: str) -> bytes:
    """A good file, mostly one for ``what`` and mostly with one to three spoiled places, or no such file at all."""
    kind = rng.randrange(10)
    if kind == 0:
        return rng.choice(_HUGE)
    if kind == 1:
        return rng.randbytes(rng.choice((0, 1, 7, 200)))
    data = good()[what] if what in good() and kind > 2 else rng.choice(list(good().values()))
    for _ in range(rng.choice((0, 1, 1, 1, 2, 3))):
        data = _spoiled(rng, data)
    return data


def _spoiled(rng: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    kind = rng.randrange(8)
    if kind == 0:
        del lines[at]
    elif kind == 1:
        lines.insert(at, rng.choice(lines))
    elif kind == 2:
        lines = lines[:at]
    elif kind == 3:
        lines[at] = lines[at][: rng.randrange(len(lines[at]) + 1)]
    elif kind in (4, 5):
        key, equals, _ = lines[at].partition(b"=")
        lines[at] = key + equals + b" " + _value(rng)
    elif kind == 6:
        lines[at] = _in_the_middle(rng, lines[at], rng.choice(_PIECES))
    else:
        lines[at] = _in_the_middle(rng, lines[at], rng.randbytes(1))
    return b"\n".join(lines)


def _value(rng: Random) -> bytes:
    made = rng.choice((values.number, values.text))(rng).encode("utf-8", "surrogatepass")
    quoted, listed = b'"' + made + b'"', b"[" + made + b"]"
    return rng.choice((made, quoted, listed, b"{}", b"[]", b'"#12345"', b'"#GGGGGG"', b"2000", b"true"))


def _in_the_middle(rng: Random, line: bytes, piece: bytes) -> bytes:
    at = rng.randrange(len(line) + 1)
    return line[:at] + piece + line[at:]
