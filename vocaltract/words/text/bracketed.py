"""IPA as the user gives it: between [ ] narrow and taken as it is, between / / phonemes to which the rules apply."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from articulators.errors import BadInput
from vocaltract.ipa.alphabet import nfd
from vocaltract.ipa.english import phones
from vocaltract.ipa.transcription import Token, tokenise
from vocaltract.words.lexicon.arpabet import arpabet_of
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.syllables import syllabify
from vocaltract.words.rules import segments
from vocaltract.words.rules.segments import Segment
from vocaltract.words.text.orthography import is_invisible, quoted_text
from vocaltract.words.utterance import Utterance

_CLOSING = {"[": "]", "/": "/"}


def inside_of(text: str) -> tuple[str, str, int] | None:
    """(bracket that opens it, IPA between the brackets, characters before it), or None where the text is words.

    Raises BadInput, one line, where a bracket has no partner, or where IPA does not fill the whole text.
    """
    visible = "".join(" " if is_invisible(c) else c for c in text)
    begin, end = len(visible) - len(visible.lstrip()), len(visible.rstrip())
    opening, last = visible[begin], visible[end - 1]
    closing = _CLOSING.get(opening)
    if closing and last == closing and end - begin > 1:
        inside = visible[begin + 1 : end - 1]
        for bracket in "[]/":
            if bracket in inside:
                position = begin + 2 + inside.index(bracket)
                raise BadInput(
                    f"'{bracket}' at position {position} stands inside {opening} {closing}; "
                    "give one stretch of IPA, its words parted by spaces"
                )
        return opening, text[begin + 1 : end - 1], begin + 1
    for bracket, partner in (("[", "]"), ("]", "[")):
        if bracket in visible and partner not in visible:
            where = visible.index(bracket) + 1
            raise BadInput(
                f"'{bracket}' at position {where} of {quoted_text(text)} has no matching '{partner}'; "
                "IPA stands between [ ] or / /"
            )
    if visible.count("/") == 1 and "/" in (opening, last):
        raise BadInput(
            f"'/' at position {visible.index('/') + 1} of {quoted_text(text)} has no matching '/'; "
            "IPA stands between [ ] or / /"
        )
    if "[" in visible or visible.count("/") > 1:
        bracket = "[" if "[" in visible else "/"
        raise BadInput(
            f"'{bracket}' at position {visible.index(bracket) + 1} of {quoted_text(text)}: IPA must fill "
            "the whole text, as [tu] or /tu/; give words only, or all of it as IPA"
        )
    return None


def _sounds_only(text: str, tokens: Sequence[Token]) -> None:
    if not any(token.kind == "sound" for token in tokens):
        raise BadInput(f"{quoted_text(text)} has no sound in it; give IPA letters, as [tu]")
    for token, following in zip(tokens, [*tokens[1:], None], strict=True):
        if token.kind == "stress" and (following is None or following.kind != "sound"):
            raise BadInput(f"stress mark '{token.text}' at position {token.position} has no sound after it")


def _chunks(tokens: Sequence[Token]) -> list[tuple[int, int, int, list[Token]]]:
    """Stretches between written boundaries: (word, thought group, stress, sound tokens)."""
    found: list[tuple[int, int, int, list[Token]]] = []
    word = group = stress = 0
    current: list[Token] = []
    for token in [*tokens, Token("pause", "|")]:
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


def _is_nucleus(token: Token) -> bool:
    return phones()[token.key].is_vowel or "syllabic" in token.features


def _like(token: Token) -> str:
    """The dictionary symbol nearest to a token, for finding syllables; C for a consonant that is like none."""
    if _is_nucleus(token):
        return arpabet_of(token.key, 0) if phones()[token.key].is_vowel else "AH0"
    phone = phones()[token.key]
    return phone.arpabet or (arpabet_of(phone.variant_of, None) if phone.variant_of else "C")


def narrow_utterance(text: str, inside: str, offset: int) -> Utterance:
    """The utterance of a narrow transcription: nothing is changed, no rule applies."""
    tokens = tokenise(inside, offset)
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
            roles = ["onset"] * len(parts.onset) + ["nucleus"] * len(parts.nucleus) + ["coda"] * len(parts.coda)
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
    return Utterance(text, (inside.strip(),), sounds, nfd(f"[{written}]"), (), pauses)


def phonemic_words(text: str, inside: str, offset: int) -> list[tuple[Pronunciation, int]]:
    """Pronunciation and thought group of each word of a phonemic transcription."""
    tokens = tokenise(inside, offset)
    _sounds_only(text, tokens)
    marked = any(token.kind == "stress" for token in tokens)
    nuclei = sum(token.kind == "sound" and _is_nucleus(token) for token in tokens)
    words: dict[int, tuple[list[str], int]] = {}
    for word, group, stress, chunk in _chunks(tokens):
        symbols = words.setdefault(word, ([], group))[0]
        pending = stress
        for token in chunk:
            if not _is_nucleus(token):
                symbols.append(_phoneme(token))
                continue
            level = pending or (1 if nuclei == 1 and not marked else 0)
            pending = 0
            if phones()[token.key].is_vowel:
                symbols.append(arpabet_of(token.key, level))
            else:
                symbols.extend((f"AH{level}", _phoneme(token)))
    return [(Pronunciation(tuple(symbols), (), "given"), group) for symbols, group in words.values()]


def _phoneme(token: Token) -> str:
    phone = phones()[token.key]
    try:
        return arpabet_of(phone.variant_of if phone.usual_form and phone.variant_of else phone.ipa, None)
    except KeyError:
        raise BadInput(
            f"'{token.text}' at position {token.position} is no phoneme of English; write it between [ ]"
        ) from None
