"""Text to sounds: words, IPA between [ ] (taken as given) or phonemes between / / (the rules apply)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from articulators.errors import BadInput
from vocaltract.words import allophones, dictionary, ipa, segments, spelling
from vocaltract.words.allophones import Options
from vocaltract.words.dictionary import Pronunciation
from vocaltract.words.phones import arpabet_of, by_ipa, is_vowel_symbol
from vocaltract.words.segments import Segment
from vocaltract.words.syllables import syllabify
from vocaltract.words.utterance import Utterance

Guess = Callable[[str], Pronunciation]


def read(text: str, options: Options | None = None, *, guess: Guess | None = None) -> Utterance:
    """The sounds of a text.

    text     English words with punctuation, IPA between [ ] or phonemes between / /; at most 200 characters
    options  speaking style; by default connected speech, not careful, final stops released
    guess    called with a word that is not in the dictionary; it gives a pronunciation to use, and the word
             is named in `Utterance.guessed`. Without it an unknown word is bad input.
    Raises BadInput, one line, for whatever cannot be read; unknown words come with the nearest word.
    """
    spelling.check_length(text)
    stripped = text.strip()
    options = options or Options()
    for opening, closing in ("[]", "//"):
        opened, closed = stripped.startswith(opening), stripped.endswith(closing)
        if opened and closed and len(stripped) > 1:
            inside = stripped[1:-1]
            offset = text.index(opening) + 1
            return (
                _narrow(text, inside, offset) if opening == "[" else _phonemic(text, inside, offset, options)
            )
        if opened or closed:
            missing = closing if opened else opening
            raise BadInput(
                f"{spelling.shown(text)} has no matching '{missing}'; IPA stands between [ ] or / /"
            )
    return _words(text, options, guess)


def _words(text: str, options: Options, guess: Guess | None) -> Utterance:
    written = spelling.words_of(text)
    spoken: list[Pronunciation] = []
    guessed: list[str] = []
    for word in written:
        pronunciation, known = _spoken(word.text, guess)
        spoken.append(pronunciation)
        if not known:
            guessed.append(word.text)
    spoken = _weakened(written, spoken)
    words = tuple(word.text for word in written)
    groups = [(said, word.group) for said, word in zip(spoken, written, strict=True)]
    return _finished(text, words, segments.from_words(groups, words), options, tuple(guessed))


def _spoken(word: str, guess: Guess | None) -> tuple[Pronunciation, bool]:
    plain = dictionary.trimmed(word)
    found = dictionary.find(plain) or (dictionary.find(plain.replace("-", "")) if "-" in plain else ())
    if found:
        return _jointed(plain, found[0]), True
    parts = [part for part in plain.split("-") if part]
    if len(parts) > 1:
        pieces = [_spoken(part, guess) for part in parts]
        return dictionary.joined([piece for piece, _ in pieces]), all(known for _, known in pieces)
    if guess is not None:
        return guess(plain), False
    return dictionary.lookup(plain)[0], True


def _jointed(word: str, whole: Pronunciation) -> Pronunciation:
    """A hyphenated word of the dictionary with its joint, where its first part is said as it is alone."""
    start, hyphen, _ = word.partition("-")
    first = dictionary.find(start) if hyphen and not whole.joints else ()
    for part in first:
        length = len(part.phones)
        if [p.rstrip("012") for p in whole.phones[:length]] == [p.rstrip("012") for p in part.phones]:
            return replace(whole, joints=(length,))
    return whole


def _weakened(written: Sequence[spelling.Written], spoken: Sequence[Pronunciation]) -> list[Pronunciation]:
    """Function words inside a thought group take their weak forms. Source: data/weak_forms.tsv."""
    weak = list(spoken)
    forms = dictionary.spoken_weak()
    named = [forms.get(dictionary.trimmed(word.text)) for word in written]
    for i, row in enumerate(named):
        group = [j for j, word in enumerate(written) if word.group == written[i].group]
        if row is None or (i == group[0] and all(named[j] for j in group)):
            continue  # a group of function words alone keeps its first word strong
        last = i == group[-1]
        if last and row["final"] == "0":
            continue
        before_vowel = not last and row["before_vowel"] != "-" and is_vowel_symbol(weak[i + 1].phones[0])
        weak[i] = Pronunciation.parse(row["before_vowel" if before_vowel else "weak"], "weak")
    return weak


def _finished(
    text: str,
    words: tuple[str, ...],
    line: Sequence[Segment],
    options: Options,
    guessed: tuple[str, ...] = (),
) -> Utterance:
    groups = {segment.word: segment.group for segment in line}
    said = allophones.apply(line, options)
    sounds = segments.to_sounds(said)
    pauses = tuple(
        i
        for i, here in enumerate(said)
        if i + 1 == len(said) or groups[here.word] != groups[said[i + 1].word]
    )
    return Utterance(text, words, sounds, segments.transcription(sounds, pauses), guessed, pauses)


def _sounds_only(text: str, tokens: Sequence[ipa.Token]) -> None:
    if not any(token.kind == "sound" for token in tokens):
        raise BadInput(f"{spelling.shown(text)} has no sound in it; give IPA letters, as [tu]")
    for token, following in zip(tokens, [*tokens[1:], None], strict=True):
        if token.kind == "stress" and (following is None or following.kind != "sound"):
            raise BadInput(f"stress mark '{token.text}' at position {token.position} has no sound after it")


def _chunks(tokens: Sequence[ipa.Token]) -> list[tuple[int, int, int, list[ipa.Token]]]:
    """Stretches between written boundaries: (word, thought group, stress, sound tokens)."""
    found: list[tuple[int, int, int, list[ipa.Token]]] = []
    word = group = stress = 0
    current: list[ipa.Token] = []
    for token in [*tokens, ipa.Token("pause", "|")]:
        if token.kind == "sound":
            current.append(token)
            continue
        if current:
            found.append((word, group, stress, current))
            current, stress = [], 0
        if token.kind == "stress":
            stress = token.level
        elif token.kind in ("space", "pause") and found:
            word = found[-1][0] + 1
            group = found[-1][1] + 1 if token.kind == "pause" else max(group, found[-1][1])
    return found


def _is_nucleus(token: ipa.Token) -> bool:
    return by_ipa()[token.key].is_vowel or "syllabic" in token.features


def _like(token: ipa.Token) -> str:
    """The dictionary symbol nearest to a token, for finding syllables."""
    if _is_nucleus(token):
        return arpabet_of(token.key, 0) if by_ipa()[token.key].is_vowel else "AH0"
    return {"ɾ": "T", "ɫ": "L", "ɦ": "HH", "ʔ": "T"}.get(token.key) or arpabet_of(token.key, None)


def _narrow(text: str, inside: str, offset: int) -> Utterance:
    tokens = ipa.tokenise(inside, offset)
    _sounds_only(text, tokens)
    chunks = _chunks(tokens)
    nuclei = sum(_is_nucleus(token) for *_, chunk in chunks for token in chunk)
    line: list[Segment] = []
    syllable = -1
    for _, group, stress, chunk in chunks:
        at = 0
        for n, parts in enumerate(syllabify([_like(token) for token in chunk])):
            syllable += 1
            level = (stress if n == 0 else 0) or (1 if nuclei == 1 and not stress else 0)
            roles = (
                ["onset"] * len(parts.onset) + ["nucleus"] * len(parts.nucleus) + ["coda"] * len(parts.coda)
            )
            for role in roles:
                token = chunk[at]
                at += 1
                own_stress = level if role == "nucleus" else None
                line.append(
                    Segment(
                        token.key, token.key, role, own_stress, 0, 0, syllable, group,
                        letter=token.text, features=token.features,
                    )
                )  # fmt: skip
    pauses = tuple(i for i, s in enumerate(line) if i + 1 == len(line) or s.group != line[i + 1].group)
    given = [replace(segment, letter=None) for segment in line]
    sounds = tuple(
        replace(sound, symbol=segment.letter or sound.symbol)
        for sound, segment in zip(segments.to_sounds(given), line, strict=True)
    )
    written = "".join(token.text for token in tokens).strip()
    return Utterance(text, (inside.strip(),), sounds, ipa.decomposed(f"[{written}]"), (), pauses)


def _phonemic(text: str, inside: str, offset: int, options: Options) -> Utterance:
    tokens = ipa.tokenise(inside, offset)
    _sounds_only(text, tokens)
    marked = any(token.kind == "stress" for token in tokens)
    nuclei = sum(token.kind == "sound" and _is_nucleus(token) for token in tokens)
    words: dict[int, tuple[list[str], int]] = {}
    for word, group, stress, chunk in _chunks(tokens):
        phones = words.setdefault(word, ([], group))[0]
        pending = stress
        for token in chunk:
            if not _is_nucleus(token):
                phones.append(_phoneme(token))
                continue
            level = pending or (1 if nuclei == 1 and not marked else 0)
            pending = 0
            if by_ipa()[token.key].is_vowel:
                phones.append(arpabet_of(token.key, level))
            else:
                phones.extend((f"AH{level}", _phoneme(token)))
    said = [(Pronunciation(tuple(phones), (), "given"), group) for phones, group in words.values()]
    utterance = _finished(text, (inside.strip(),), segments.from_words(said), options)
    return replace(utterance, sounds=tuple(replace(sound, word=0) for sound in utterance.sounds))


def _phoneme(token: ipa.Token) -> str:
    key = {"ɫ": "l", "ɦ": "h"}.get(token.key, token.key)
    try:
        return arpabet_of(key, None)
    except KeyError:
        raise BadInput(
            f"'{token.text}' at position {token.position} is no phoneme of English; write it between [ ]"
        ) from None
