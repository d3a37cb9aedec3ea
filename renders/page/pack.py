"""Numbers over time as few bytes: rounded to a stated step, kept as differences, split into byte planes.

The page's script reads the same form back; `unpacked` here is its twin, and tests hold the two equal.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.errors import BadInput

MISSING = -32768  # stands for nan
MOST = 32767


@dataclass(frozen=True, slots=True)
class Table:
    """Numbers to be packed.

    values    (frames, values); nan where there is none      step   what they are rounded to, in their own unit
    stride    how far apart neighbours that resemble each other stand: 2 for x, y, x, y ..., 0 for none
    """

    name: str
    values: Array
    step: float
    stride: int = 0


def packed(tables: Iterable[Table]) -> tuple[bytes, list[list[Any]]]:
    """One run of bytes, and the index to read it: name, frames, values, step and stride of each table.

    The error is at most half a step. BadInput where a number does not fit 16 bits at its step.
    """
    planes, index = [], []
    for table in tables:
        whole = _whole(table)
        frames, count = whole.shape
        change = np.diff(whole, axis=0, prepend=np.zeros((1, count), dtype=np.int64))
        if table.stride and count > table.stride:
            change[:, table.stride :] -= change[:, : -table.stride].copy()
        wrapped = ((change + 32768) % 65536 - 32768).astype(np.int64)
        folded = np.where(wrapped < 0, -2 * wrapped - 1, 2 * wrapped).astype("<u2")
        # by row: what changes together lies together
        pairs = np.ascontiguousarray(folded).view(np.uint8).reshape(-1, 2)
        planes += [pairs[:, 0].tobytes(), pairs[:, 1].tobytes()]
        index.append([table.name, frames, count, table.step, table.stride])
    return b"".join(planes), index


def deflated(data: bytes) -> bytes:
    """Bytes as raw deflate (RFC 1951)."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15, 9)
    return squeezer.compress(data) + squeezer.flush()


def _whole(table: Table) -> NDArray[np.int64]:
    values = np.atleast_2d(np.asarray(table.values, dtype=float))
    known = np.isfinite(values)
    rounded = np.rint(np.where(known, values, 0.0) / table.step)
    if (np.abs(rounded) > MOST).any():
        raise BadInput(f"{table.name}: a number is too large to be packed; allowed: up to {MOST * table.step:g}")
    return np.where(known, rounded, MISSING).astype(np.int64)


def unpacked(data: bytes, index: Sequence[Sequence[Any]]) -> dict[str, Array]:
    """The tables (frames, values) by name; nan where there was none."""
    raw = np.frombuffer(data, dtype=np.uint8)
    found: dict[str, Array] = {}
    at = 0
    for name, frames, count, step, stride in index:
        size = frames * count
        low, high = raw[at : at + size].astype(np.int64), raw[at + size : at + 2 * size].astype(np.int64)
        at += 2 * size
        folded = (low + 256 * high).reshape(frames, count)
        change = np.where(folded % 2, -(folded + 1) // 2, folded // 2)
        if stride:
            for value in range(stride, count):
                change[:, value] += change[:, value - stride]
        whole = (np.cumsum(change, axis=0) + 32768) % 65536 - 32768
        found[name] = np.where(whole == MISSING, np.nan, whole * step)
    return found


# 85 characters that stand for themselves in JSON inside a script element: no quotes, backslash, < > or &
LETTERS = "".join(chr(c) for c in range(33, 127) if chr(c) not in "\"'\\<>&`~")[:85]
_STANDARD = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;<=>?@^_`{|}~"


def as_text(data: bytes) -> str:
    """Bytes as text, four in five characters of `LETTERS`; of the last fewer than four, one character more."""
    return base64.b85encode(data).decode("ascii").translate(str.maketrans(_STANDARD, LETTERS))


def from_text(text: str) -> bytes:
    """Bytes back from `as_text`."""
    return base64.b85decode(text.translate(str.maketrans(LETTERS, _STANDARD)))


def kept_points(lines: Array, within_mm: float, always: Sequence[int] = ()) -> NDArray[np.int64]:
    """Which points of outlines (frames, points, 2) suffice: straight lines between them stay near all the others.

    within_mm   how far a left-out point may lie from its line, in any frame      always   points that stay
    """
    last = lines.shape[1] - 1
    kept = sorted({0, last, *always})
    open_spans = list(pairwise(kept))
    while open_spans:
        a, b = open_spans.pop()
        if b - a < 2:
            continue
        apart = _apart(lines, a, b)
        far = int(np.argmax(apart))
        if apart[far] > within_mm:
            middle = a + 1 + far
            kept.append(middle)
            open_spans += [(a, middle), (middle, b)]
    return np.array(sorted(kept), dtype=np.int64)


def _apart(lines: Array, a: int, b: int) -> Array:
    """How far the points between a and b lie from the line from a to b: the most over all frames (b - a - 1,)."""
    start, end = lines[:, a, None], lines[:, b, None]
    along = end - start
    inner = lines[:, a + 1 : b] - start
    share = (inner * along).sum(axis=-1) / np.maximum((along**2).sum(axis=-1), 1e-12)
    off = inner - np.clip(share, 0, 1)[..., None] * along
    return np.asarray(np.hypot(off[..., 0], off[..., 1]).max(axis=0))
