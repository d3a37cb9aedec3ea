"""The model behind guessed pronunciations: an n-gram model of pairs of a letter and the phonemes it spells.

Packed as a tree whose nodes lie in arrays, in order of their length; children of a node lie side by side, sorted.
It is read in a few hundredths of a second and needs nothing beside the standard library.
"""

from __future__ import annotations

import json
import struct
import sys
import zlib
from array import array
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import NamedTuple

from articulators.errors import SurroundingsError
from vocaltract.words.lexicon.databases import GUESSES

START, STOP, NOTHING = 0, 1, 2
"""Items before and after a word; pairs are numbered from NOTHING on."""
BEAM = 12
"""Unfinished guesses kept after each letter; twelve was found enough by a trial."""
_MAGIC = b"VTG1"
_HEAD = "<4sIIII"
_STEP = 1 / 24
"""Logarithms are stored in steps of this size, in one byte; an error of 2 %, without effect on the guesses."""
_LEAST = -99.0


class Node(NamedTuple):
    """Logarithms: of the last item's probability after the others, and of falling back from the whole."""

    chance: float
    back: float


def _byte(value: float) -> int:
    return min(255, round(-value / _STEP))


def packed_model(kinds: Sequence[tuple[str, Sequence[str]]], nodes: Mapping[tuple[int, ...], Node]) -> bytes:
    """The file content of a model. `kinds`: pairs of letter and phonemes, numbered from NOTHING on, sorted."""
    keep = set(nodes)
    for items in list(keep):
        for length in range(1, len(items)):
            keep.add(items[:length])
    ordered = sorted(keep, key=lambda items: (len(items), items))
    place = {items: n for n, items in enumerate(ordered)}
    item, children, chance, back = array("H"), array("H"), array("B"), array("B")
    count = [0] * len(ordered)
    for items in ordered:
        if len(items) > 1:
            count[place[items[:-1]]] += 1
    for n, items in enumerate(ordered):
        node = nodes.get(items, Node(_LEAST, 0.0))
        item.append(items[-1])
        children.append(count[n])
        chance.append(_byte(node.chance))
        back.append(_byte(node.back))
    names = json.dumps([[letter, " ".join(phones)] for letter, phones in kinds]).encode()
    parts = [names]
    for block in (item, children):
        if sys.byteorder == "big":
            block.byteswap()
        raw = block.tobytes()
        parts.extend((raw[0::2], raw[1::2]))
    parts.extend((chance.tobytes(), back.tobytes()))
    roots = sum(len(items) == 1 for items in ordered)
    order = max(map(len, ordered))
    head = struct.pack(_HEAD, _MAGIC, len(names), len(ordered), roots, order)
    return head + zlib.compress(b"".join(parts), 9)


@dataclass(frozen=True, slots=True)
class GuessModel:
    """A model in memory.

    kinds   pairs of a letter and its phonemes; `kinds[n]` has the number n + NOTHING
    item    last item of each sequence
    first   where the children of each sequence begin (they end where the next one's begin)
    chance  in steps: minus the logarithm of the last item's probability after the others
    back    in steps: minus the logarithm of falling back from the whole
    roots   number of sequences of one item
    order   length of the longest sequences
    """

    kinds: tuple[tuple[str, tuple[str, ...]], ...]
    item: array[int]
    first: array[int]
    chance: bytes
    back: bytes
    roots: int
    order: int

    @property
    def size(self) -> int:
        """Number of sequences."""
        return len(self.item)

    @classmethod
    def parse(cls, content: bytes) -> GuessModel:
        """From a file's content. Raises SurroundingsError where it is damaged."""
        try:
            magic, names, size, roots, order = struct.unpack_from(_HEAD, content)
            plain = zlib.decompress(content[struct.calcsize(_HEAD) :])
            if magic != _MAGIC or len(plain) != names + 6 * size:
                raise ValueError("wrong length")
            listed = json.loads(plain[:names])
        except (struct.error, zlib.error, ValueError) as error:
            raise SurroundingsError(f"data file guess.bin cannot be read: {error}") from error
        blocks = [plain[names + n * size : names + (n + 1) * size] for n in range(6)]
        item = _joined(blocks[0], blocks[1])
        first = array("I", [roots])
        at = roots
        for count in _joined(blocks[2], blocks[3]):
            at += count
            first.append(at)
        kinds = tuple((letter, tuple(phones.split())) for letter, phones in listed)
        return cls(kinds, item, first, blocks[4], blocks[5], roots, order)

    def child(self, node: int, wanted: int) -> int:
        """Place of a node's child with an item, or -1; node -1 is the root."""
        low, high = (0, self.roots) if node < 0 else (self.first[node], self.first[node + 1])
        at = bisect_left(self.item, wanted, low, high)
        return at if at < high and self.item[at] == wanted else -1

    def find(self, items: Sequence[int]) -> int:
        """Place of a sequence, or -1."""
        node = -1
        for item in items:
            node = self.child(node, item)
            if node < 0:
                return -1
        return node

    def scores(self, history: tuple[int, ...], low: int, high: int) -> dict[int, float]:
        """Logarithm of the probability of each item from `low` to below `high` after a history."""
        found: dict[int, float] = {}
        given = 0.0
        for start in range(len(history) + 1):
            context = history[start:]
            node = self.find(context) if context else -1
            if context and node < 0:
                continue
            begin, end = (0, self.roots) if node < 0 else (self.first[node], self.first[node + 1])
            for at in range(bisect_left(self.item, low, begin, end), bisect_left(self.item, high, begin, end)):
                if self.item[at] not in found:
                    found[self.item[at]] = given - self.chance[at] * _STEP
            if context:
                given -= self.back[node] * _STEP
        return found


def _joined(low: bytes, high: bytes) -> array[int]:
    raw = bytearray(2 * len(low))
    raw[0::2], raw[1::2] = low, high
    joined = array("H", bytes(raw))
    if sys.byteorder == "big":
        joined.byteswap()
    return joined


@cache
def model(path: Path = GUESSES) -> GuessModel:
    """The shipped model. Raises SurroundingsError where the file is missing or damaged."""
    try:
        return GuessModel.parse(path.read_bytes())
    except OSError as error:
        raise SurroundingsError(f"data file {path.name} cannot be read: {error.strerror}") from error


def pronounced(word: str, known: GuessModel, beam: int = BEAM) -> tuple[str, ...] | None:
    """The likeliest phonemes of a word of the letters a to z and ', with exactly one main stress; None without any."""
    ranges = _letter_ranges(known)
    states: list[tuple[float, bool, tuple[int, ...], tuple[str, ...]]] = [(0.0, False, (START,), ())]
    for letter in word:
        low, high = ranges.get(letter, (0, 0))
        grown: dict[tuple[bool, tuple[int, ...], tuple[str, ...]], float] = {}
        for score, stressed, history, phones in states:
            for item, gain in known.scores(history, low, high).items():
                said = known.kinds[item - NOTHING][1]
                stresses = sum(phone[-1] == "1" for phone in said) + stressed
                if stresses > 1:
                    continue
                key = (bool(stresses), (*history, item)[1 - known.order :], phones + said)
                if score + gain > grown.get(key, _LEAST * 99):
                    grown[key] = score + gain
        best = sorted(((score, *key) for key, score in grown.items()), key=lambda s: (-s[0], s[3]))
        states = best[:beam]
        if not any(state[1] for state in states):
            states += [state for state in best[beam:] if state[1]][:2]
    ended = [
        (score + known.scores(history, STOP, STOP + 1).get(STOP, _LEAST), phones)
        for score, stressed, history, phones in states
        if stressed
    ]
    return min(ended, key=lambda s: (-s[0], s[1]))[1] if ended else None


@cache
def _ranges_of(kinds: tuple[tuple[str, tuple[str, ...]], ...]) -> dict[str, tuple[int, int]]:
    found: dict[str, tuple[int, int]] = {}
    for n, (letter, _) in enumerate(kinds, NOTHING):
        found[letter] = (found.get(letter, (n, n))[0], n + 1)
    return found


def _letter_ranges(known: GuessModel) -> dict[str, tuple[int, int]]:
    return _ranges_of(known.kinds)
