"""The sound that a person means by what was typed; what has several meanings is asked about, never guessed.

Order of trying: a symbol or look-alike; IPA in brackets; a name of the table, or one described by words before or after
it; a word with its letters marked.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from articulators.errors import BadInput, nearest
from vocaltract.ipa.alphabet import nfd
from vocaltract.naming.marked import as_in, marked_word, sound_in, sounds_of
from vocaltract.naming.names import Meaning, entry_named, keyboard, known_names, plain, refused, respelling_key, ways
from vocaltract.phonetics.inventory import SoundEntry, entries, narrow_variants, sound
from vocaltract.words.lexicon.arpabet import ipa_of

_IN_WORD = re.compile(r"(?:the )?(?P<name>.+?)(?: sound)? (?:as in|like in|in|of|from) (?P<word>[\w']+)")
_LETTER = re.compile(r"letter ([a-z])")
_KEY = "key:"


def named(typed: str) -> SoundEntry:
    """The one sound that a name means: "θ", "[ʈ]", "sh", "long e", "held t", "AA1", "th in thank", "s[ea]t", "key:ai".

    BadInput naming the choices where a name means several sounds, what to type instead where it means none, and the
    nearest name where it is not known.
    """
    text = typed.strip()
    if not text:
        raise BadInput("no sound given; name one as in `vocaltract sounds`")
    if text[:1] in "[/" and text[-1:] in "]/" and len(text) > 2:
        return _in_brackets(text)
    if text.casefold().startswith(_KEY):
        return _by_key(text[len(_KEY) :])
    word = marked_word(text)
    if word is not None:
        return sound_in(*word)
    found = meanings(text)
    if len(found) == 1 and not _is_run(found[0]):
        return entry_named(found[0].ipa)
    if found:
        raise BadInput(_question(typed, found))
    why = refused().get(plain(text))
    if why:
        raise BadInput(f"'{typed}' is refused as a sound: {why}")
    raise BadInput(_unknown(typed))


def echo(entry: SoundEntry) -> str:
    """What was taken, as a person is told: "θ as in thank"; the symbol alone where no word has the sound."""
    return f"{entry.symbol} as in {entry.keyword}" if entry.keyword else f"[{entry.symbol}], {entry.name}"


def name_of(entry: SoundEntry) -> str:
    """What can be typed for a sound: its symbol, in brackets where the bare symbol is a letter with other meanings."""
    found = meanings(entry.symbol)
    alone = len(found) == 1 and found[0].ipa == entry.symbol
    return entry.symbol if alone and entry.symbol in entries() else f"[{entry.symbol}]"


def is_name(typed: str) -> bool:
    """Whether something is the name of one sound, or of several."""
    try:
        named(typed)
    except BadInput:
        return bool(meanings(typed))
    return True


def meanings(typed: str) -> tuple[Meaning, ...]:
    """All that a name can mean; () for what is no name of a sound."""
    arpabet = _arpabet(typed)
    if arpabet:
        return (Meaning(arpabet),)
    name = plain(typed)
    found = known_names().get(name) or _symbol(typed) or _described(name)
    if found:
        return found
    shorter = re.sub(r"^the | sounds?$|^sound ", "", name)
    return meanings(shorter) if shorter and shorter != name else ()


def asked_about(text: str) -> str:
    """What to ask where a text of several words is also the name of a sound; "" where it is none."""
    name = plain(text)
    if " " not in name or text.strip()[-1:] in ".,!?":
        return ""
    found = known_names().get(name) or _described(name)
    if not found:
        return ""
    choices = " or ".join(_told(meaning) for meaning in found)
    return (
        f"'{text}' is the name of a sound, {choices}; type [{found[0].ipa}] for the sound, "
        f"or '{text.strip()}.' with a full stop for the words"
    )


def _in_brackets(text: str) -> SoundEntry:
    """IPA, and capitals that stand for a letter that keyboards lack ([T] is θ), where they are no IPA letter."""
    found = keyboard().get(text[1:-1].strip())
    return entry_named(found) if found else sound(text)


def _by_key(letters: str) -> SoundEntry:
    key = respelling_key()
    found = key.get(letters) or key.get(letters.casefold())
    if found is None:
        raise BadInput(
            f"'{_KEY}{letters}' is not in the respelling key; allowed: {', '.join(key)}{nearest(letters, key)}"
        )
    return entry_named(found)


def _arpabet(typed: str) -> str:
    """The symbol of a dictionary symbol with its stress digit, such as AA1; "" for anything else."""
    text = typed.strip().upper()
    try:
        return ipa_of(text) if re.fullmatch(r"[A-Z]{2}[012]", text) else ""
    except KeyError:
        return ""


def _symbol(typed: str) -> tuple[Meaning, ...]:
    """A symbol or alias of the inventory, also with a length mark, or a listed variant."""
    text = typed.strip()
    bare = text.rstrip(":ː") or text
    for name in dict.fromkeys((text, bare, text.casefold())):
        try:
            return (Meaning(sound(name).symbol),)
        except BadInput:
            continue
    variant = narrow_variants().get(nfd(text))
    return (Meaning(variant.symbol),) if variant else ()


def _described(name: str) -> tuple[Meaning, ...]:
    """A name with words that describe it before it or after it, or a word that it stands in after it."""
    found = _IN_WORD.fullmatch(name)
    if found is not None:
        return _in_word(found["name"], found["word"])
    letter = _LETTER.fullmatch(name)
    if letter is not None:
        name_of_letter = _letter_name(letter[1])
        return (name_of_letter, *(m for m in meanings(letter[1]) if m.ipa != name_of_letter.ipa))
    for way in ways().way.values():
        rest = _without(name, way.words)
        if rest:
            for meaning in meanings(rest):
                if meaning.ipa in way.of:
                    return (Meaning(way.becomes or nfd(meaning.ipa + way.mark)),)
    for voice in ways().voice.values():
        rest = _without(name, voice.words)
        if rest:
            return _voiced(meanings(rest), voice.voiced)
    return ()


def _without(name: str, words: Sequence[str]) -> str:
    for word in words:
        if name.startswith(f"{word} "):
            return name[len(word) + 1 :]
        if name.endswith(f" {word}"):
            return name[: -len(word) - 1]
    return ""


def _voiced(choices: Sequence[Meaning], voiced: bool) -> tuple[Meaning, ...]:
    """Those of the meanings with or without voice; of one sound its partner of the same mouth shape."""
    fitting = tuple(m for m in choices if not _is_run(m) and entry_named(m.ipa).voiced == voiced)
    if fitting or len(choices) != 1:
        return fitting
    one = entry_named(choices[0].ipa)
    partner = [e for e in entries().values() if e.kind != "vowel" and e.voiced == voiced and _same_but_voice(e, one)]
    return tuple(Meaning(e.symbol) for e in partner[:1])


def _same_but_voice(a: SoundEntry, b: SoundEntry) -> bool:
    return (a.place, a.manner, a.posture) == (b.place, b.manner, b.posture)


def _in_word(name: str, word: str) -> tuple[Meaning, ...]:
    """What a name means in a word: of its meanings that which the word has, else what its letters stand for there."""
    choices = meanings(name)
    letters = name.split()[-1]
    try:
        if letters == "vowel":
            return (Meaning(as_in(word).symbol),)
        if not choices and not meanings(letters):
            return ()
        here = sounds_of(word)
        fitting = tuple(m for m in choices if m.ipa in here)
        if len(fitting) == 1:
            return (Meaning(fitting[0].ipa),)
        return (Meaning(as_in(word, letters).symbol),)
    except BadInput:
        return ()


def _letter_name(letter: str) -> Meaning:
    said = "".join(entry.symbol for entry in sounds_of(letter.upper()).values())
    return Meaning(said, letter.upper(), letter.upper())


def _is_run(meaning: Meaning) -> bool:
    """Whether a meaning is several sounds in a row."""
    try:
        entry_named(meaning.ipa)
    except BadInput:
        return True
    return False


def _told(meaning: Meaning) -> str:
    return meaning.told if meaning.word or _is_run(meaning) else echo(entry_named(meaning.ipa))


def _question(typed: str, choices: Sequence[Meaning]) -> str:
    told = [meaning.told + (", more than one sound" if _is_run(meaning) else "") for meaning in choices]
    listed = f"{', '.join(told[:-1])} or {told[-1]}" if len(told) > 1 else told[0]
    single = next((m for m in choices if not _is_run(m) and m.letters != m.word), None)
    if single is None:
        return f"'{typed}' stands for {listed}; use `film` or `strip` with a word, as {choices[0].word}"
    marked = single.word.replace(single.letters, f"[{single.letters}]", 1)
    return f"'{typed}' can be {listed}; type the one that is meant in brackets, [{single.ipa}], or in a word, {marked}"


def _unknown(typed: str) -> str:
    try:
        sound(typed)
    except BadInput as error:
        near = nearest(plain(typed), known_names())
        if near:
            first = known_names()[near.removeprefix(" (nearest: ").removesuffix(")")][0]
            near = f"{near[:-1]}, {_told(first)})"
        plainly = str(error).partition(" (nearest")[0]
        return plainly + near
    raise AssertionError(typed)
