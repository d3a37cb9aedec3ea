"""How the index behind `vocaltract words` is packed: for each sound and place, which words have it and where in them.

class    the number of the first word past each size class
block    words by number, the commonest first, many in one compressed text
posting  (sound, place) -> entries; an entry is word number * 64 + which of the word's sounds it is
minimal  (sound, other) -> entries of minimal pairs, one for each word in turn
"""

from __future__ import annotations

import sys
import zlib
from array import array
from collections.abc import Iterable
from itertools import accumulate, pairwise

WORDS_OF_A_BLOCK = 128
"""Words in one block."""
SOUNDS_OF_A_WORD = 64
"""An entry has room for this many sounds of a word."""


def packed_entries(entries: Iterable[int]) -> bytes:
    """Entries (0 to 2**31) as compressed steps from one to the next, 32 bits each, low byte first."""
    listed = [0, *entries]
    steps = array("i", (after - before for before, after in pairwise(listed)))
    if sys.byteorder == "big":
        steps.byteswap()
    return zlib.compress(steps.tobytes(), 9)


def unpacked_entries(blob: bytes) -> tuple[int, ...]:
    """The entries that `packed_entries` took."""
    steps = array("i")
    steps.frombytes(zlib.decompress(blob))
    if sys.byteorder == "big":
        steps.byteswap()
    return tuple(accumulate(steps))
