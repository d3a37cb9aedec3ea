"""Makes data/guess.bin, the model that guesses how an unknown word is said, from the dictionary alone.

Each letter is aligned with none, one or two phonemes (expectation maximisation on the dictionary's own words);
the pairs of letter and phonemes then form one sequence, of which an n-gram model with Witten-Bell smoothing is
counted. Run by `vocaltract.words.make.build`; half a minute.

Sources: joint letter-phoneme sequences, Bisani & Ney 2008, Speech Communication 50; smoothing, Witten & Bell 1991,
IEEE Transactions on Information Theory 37 (method C). Both from memory.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from vocaltract.words.lexicon.arpabet import split_stress
from vocaltract.words.lexicon.guess_model import NOTHING, START, STOP, GuessModel, Node, packed_model

LONGEST_SEQUENCE = 6
"""Length of the sequences counted; six was found enough for English by a trial."""
ALIGNMENT_PASSES = 4
"""Passes of the alignment; more did not change it."""
SAMPLE = 12
"""One word in so many takes part in the alignment's passes; all are aligned in the end."""
HELD_OUT = 1_000
"""Words kept out of the training, so that the guesses can be measured on them."""
SEEN_AT_LEAST = 2
"""A sequence of the two longest lengths is kept when it was seen so often; single ones cost more than they tell."""
PHONES_OF_A_LETTER = 2

Entries = Mapping[str, Sequence[str]]
Phones = tuple[str, ...]
Prices = Mapping[str, Mapping[Phones, float]]
"""Of each letter: what it may spell, and how probable that is."""


def trainable(entries: Entries) -> list[tuple[str, Phones]]:
    """(word, phonemes) of all entries that letters can spell."""
    return [
        (word, tuple(text.split()))
        for word, texts in entries.items()
        if re.fullmatch("[a-z']+", word)
        for text in texts
        if len(text.split()) <= PHONES_OF_A_LETTER * len(word)
    ]


def held_out(entries: Entries) -> frozenset[str]:
    """Words the model has not seen: those whose SHA-256 comes first, of three letters or more."""
    words = [word for word in entries if re.fullmatch("[a-z]{3,}", word)]
    return frozenset(sorted(words, key=lambda word: hashlib.sha256(word.encode()).digest())[:HELD_OUT])


def _bare(phones: Phones) -> Phones:
    return tuple(split_stress(phone)[0] for phone in phones)


def _first_prices(pairs: Iterable[tuple[str, Phones]]) -> Prices:
    """Where to begin: a letter goes with any phoneme of its words, the more often the dearer others are."""
    seen: Counter[tuple[str, Phones]] = Counter()
    for word, phones in pairs:
        for letter in word:
            seen[letter, ()] += len(phones)
            for at in range(len(phones)):
                seen[letter, phones[at : at + 1]] += 1
                if at + 1 < len(phones):
                    seen[letter, phones[at : at + 2]] += 1
    return _shares({key: count / (6 if len(key[1]) != 1 else 1) for key, count in seen.items()})


def _shares(counts: Mapping[tuple[str, Phones], float]) -> Prices:
    total = sum(counts.values())
    prices: dict[str, dict[Phones, float]] = defaultdict(dict)
    for (letter, part), count in counts.items():
        if count > 0:
            prices[letter][part] = count / total
    return prices


def _parts(phones: Phones) -> list[list[tuple[int, Phones]]]:
    """What one letter may spell from each place in a word on: where that ends, and the phonemes."""
    total = len(phones)
    return [
        [(end, phones[done:end]) for end in range(done, min(done + PHONES_OF_A_LETTER, total) + 1)]
        for done in range(total + 1)
    ]


def _forward(word: str, phones: Phones, prices: Prices) -> list[dict[int, float]]:
    """Summed probability of having spelled so many phonemes after each letter."""
    levels: list[dict[int, float]] = [{0: 1.0}]
    parts = _parts(phones)
    for n, letter in enumerate(word):
        first = len(phones) - PHONES_OF_A_LETTER * (len(word) - n - 1)  # later letters spell no more than that
        priced = prices.get(letter, {})
        level: dict[int, float] = {}
        for done, weight in levels[-1].items():
            for end, part in parts[done]:
                if end >= first and (price := priced.get(part)):
                    level[end] = level.get(end, 0.0) + weight * price
        levels.append(level)
    return levels


def _expected(pairs: Iterable[tuple[str, Phones]], prices: Prices) -> Prices:
    counts: dict[tuple[str, Phones], float] = defaultdict(float)
    for word, phones in pairs:
        levels = _forward(word, phones, prices)
        whole = levels[-1].get(len(phones), 0.0)
        if not whole:
            continue
        parts = _parts(phones)
        after = {len(phones): 1.0 / whole}
        for n in range(len(word) - 1, -1, -1):
            priced = prices.get(word[n], {})
            before: dict[int, float] = {}
            for done, weight in levels[n].items():
                for end, part in parts[done]:
                    if end in after and (price := priced.get(part)):
                        counts[word[n], part] += weight * price * after[end]
                        before[done] = before.get(done, 0.0) + price * after[end]
            after = before
    return _shares(counts)


def _best(word: str, phones: Phones, prices: Prices) -> tuple[int, ...] | None:
    """Number of phonemes spelled by each letter in the likeliest alignment, or None."""
    levels: list[dict[int, tuple[float, int]]] = [{0: (1.0, 0)}]
    parts = _parts(phones)
    for n, letter in enumerate(word):
        first = len(phones) - PHONES_OF_A_LETTER * (len(word) - n - 1)
        priced = prices.get(letter, {})
        level: dict[int, tuple[float, int]] = {}
        for done, (weight, _) in levels[-1].items():
            for end, part in parts[done]:
                if end < first:
                    continue
                here = weight * priced.get(part, 0.0)
                if here > 0.0 and (end not in level or here > level[end][0]):
                    level[end] = (here, done)
        levels.append(level)
    end = len(phones)
    lengths: list[int] = []
    for level in reversed(levels[1:]):
        if end not in level:
            return None
        lengths.append(end - level[end][1])
        end = level[end][1]
    return tuple(reversed(lengths))


def aligned_letters(pairs: Sequence[tuple[str, Phones]]) -> list[list[tuple[str, Phones]]]:
    """Each word as a sequence of (letter, phonemes it spells)."""
    sample = [(word, _bare(phones)) for word, phones in pairs[::SAMPLE]]
    prices = _first_prices(sample)
    for _ in range(ALIGNMENT_PASSES):
        prices = _expected(sample, prices)
    found = []
    for word, phones in pairs:
        lengths = _best(word, _bare(phones), prices)
        if lengths is not None:
            at = 0
            sequence = []
            for letter, length in zip(word, lengths, strict=True):
                sequence.append((letter, phones[at : at + length]))
                at += length
            found.append(sequence)
    return found


def counted(sequences: Iterable[Sequence[int]], order: int = LONGEST_SEQUENCE) -> list[Counter[tuple[int, ...]]]:
    """How often each sequence of 1, 2, ... `order` items was seen; the edges count as items."""
    counts: list[Counter[tuple[int, ...]]] = [Counter() for _ in range(order)]
    for items in sequences:
        whole = (START, *items, STOP)
        for end in range(2, len(whole) + 1):
            for length in range(1, min(order, end) + 1):
                counts[length - 1][whole[end - length : end]] += 1
    return counts


def smoothed(counts: Sequence[Counter[tuple[int, ...]]], kinds: int) -> dict[tuple[int, ...], Node]:
    """Witten-Bell: logarithms of the probability of each kept sequence's last item, and of falling back from it."""
    seen: list[Counter[tuple[int, ...]]] = [Counter() for _ in counts]
    total: list[Counter[tuple[int, ...]]] = [Counter() for _ in counts]
    for length, level in enumerate(counts):
        for items, count in level.items():
            seen[length][items[:-1]] += 1
            total[length][items[:-1]] += count
    chance: dict[tuple[int, ...], float] = {}
    nodes: dict[tuple[int, ...], Node] = {}
    for length, level in enumerate(counts):
        for items, count in level.items():
            context = items[:-1]
            shorter = chance[items[1:]] if length else 1.0 / kinds
            types = seen[length][context]
            chance[items] = (count + types * shorter) / (total[length][context] + types)
    for length, level in enumerate(counts):
        for items, count in level.items():
            if length >= len(counts) - 2 and count < SEEN_AT_LEAST:
                continue
            back = 0.0
            if length + 1 < len(counts) and items in total[length + 1]:
                types = seen[length + 1][items]
                back = math.log(types / (total[length + 1][items] + types))
            nodes[items] = Node(math.log(chance[items]), back)
    if (START,) not in nodes:
        types = seen[1][(START,)]
        nodes[(START,)] = Node(-99.0, math.log(types / (total[1][(START,)] + types)))
    return nodes


def train(entries: Entries) -> bytes:
    """The model's file content."""
    kept_out = held_out(entries)
    pairs = [pair for pair in trainable(entries) if pair[0] not in kept_out]
    sequences = aligned_letters(pairs)
    often = Counter(item for sequence in sequences for item in sequence)
    kinds = sorted(item for item, count in often.items() if count >= 3)
    number = {item: n + NOTHING for n, item in enumerate(kinds)}
    numbered = [[number[item] for item in sequence] for sequence in sequences if all(i in number for i in sequence)]
    return packed_model(kinds, smoothed(counted(numbered), len(kinds) + 1))


def build_guesses(path: Path, entries: Entries) -> int:
    """Writes the model; returns the number of sequences in it."""
    content = train(entries)
    fresh = path.with_suffix(".building")
    fresh.write_bytes(content)
    fresh.replace(path)
    return GuessModel.parse(content).size
