"""The languages, one file each in data/: the only place where what is said becomes text.

English is the measure: another language has the same tables, keys and blanks. A text is one for all readers, or two:
plain words, and the trade's terms. A blank whose name begins with a capital letter begins with one too: {Name}.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from types import MappingProxyType
from typing import TypeAlias

from articulators.errors import BadInput, nearest
from articulators.records import Record, table
from renders.wording.line import Blank, Line, Series, line
from renders.wording.shipped import FIRST, known_language

ReaderText: TypeAlias = str | tuple[str, str]
Rows: TypeAlias = Mapping[str, ReaderText]
_BLANK = re.compile(r"\{(\w+)\}")
_PACKAGE = "renders.wording"


class About(Record, frozen=True):
    """What a language is called by those who speak it, its tag (BCP 47), and how it joins: a list, sentences, words."""

    name: str
    tag: str
    comma: str
    last: str
    sentence: str
    word: str
    stop: str


class Texts(Record, frozen=True, kw_only=True):
    """Every text of a language, by table and key."""

    language: About
    # of a moment
    phase: Rows
    organ: Rows
    organ_short: Rows
    touch: Rows
    cue: Rows
    detail: Rows
    contact: Rows
    tongue: Rows
    air: Rows
    gauge: Rows
    voice: Rows
    moment: Rows
    throat_cue: Rows
    sound_cue: Rows
    # of two sounds
    pair_position: Rows
    pair_headline: Rows
    pair_organ: Rows
    pair_sentence: Rows
    pair_texts: Rows
    pair_unseen: Rows
    pair_technical: Rows
    pair_place: Rows
    pair_noun: Rows
    pair_caption: Rows
    pair_bracket: Rows
    pair_tag: Rows
    pair_tracks: Rows
    pair_tracks_short: Rows
    pair_event: Rows
    pair_strip: Rows
    # of pictures
    part: Rows
    view: Rows
    lips: Rows
    folds: Rows
    palate: Rows
    still: Rows
    sheet: Rows
    strip: Rows
    time_strip: Rows
    speed: Rows
    film: Rows
    # names of sounds
    name: Rows
    name_voice: Rows
    name_mark: Rows
    name_place: Rows
    name_manner: Rows
    name_release: Rows
    name_vowel: Rows
    # why a sound is said as it is; the English reasons stand with the rules themselves
    rule: Rows = MappingProxyType({})
    # of pages
    page: Rows
    lesson: Rows
    lesson_field: Rows
    lesson_film: Rows
    handout: Rows
    practice_film: Rows
    lesson_place: Rows
    lesson_why: Rows
    # what to do and what to feel
    step: Rows
    feel: Rows
    lesson_pictogram: Rows
    lesson_mark: Rows


@dataclass(frozen=True, eq=False)
class Language:
    """A language by the name of its file, with all its texts."""

    key: str
    texts: Texts

    @property
    def tag(self) -> str:
        """Its tag for documents (BCP 47)."""
        return self.texts.language.tag

    def rows(self, name: str) -> Rows:
        """The texts of one table. BadInput for an unknown one."""
        if name not in _tables():
            raise BadInput(f"table '{name}' is unknown; allowed: those of the languages{nearest(name, _tables())}")
        if name == "rule" and self.key == FIRST:
            return _reasons()
        found: Rows = getattr(self.texts, name)
        return found

    def template(self, key: str, technical: bool = False) -> str:
        """A text with its blanks, by table and key. BadInput where there is none."""
        kind, _, name = key.partition(".")
        rows = self.rows(kind)
        if name not in rows:
            known = f"those of the file{nearest(name, rows)}"
            raise BadInput(f"{self.key}.toml: {kind} '{name}' is unknown; allowed: {known}")
        text = rows[name]
        return text if isinstance(text, str) else text[technical]

    def blanks(self, key: str) -> tuple[str, ...]:
        """The blanks of a text, plain and technical, as lines name them."""
        return _blanks(self, key)

    def say(self, said: Blank, technical: bool = False) -> str:
        """Lines as text; `technical` in the trade's terms. BadInput for a key or blank that is not there."""
        return said if isinstance(said, str) else _said(self, said, technical)

    def text(self, key: str, /, **blanks: Blank | int) -> str:
        """One text for all readers, by table and key, with its blanks."""
        return self.say(line(key, **blanks))

    def sentences(self, lines: Iterable[Line], technical: bool = False) -> str:
        """Whole sentences one after the other."""
        return self.texts.language.sentence.join(self.say(one, technical) for one in lines)


@cache
def _blanks(of: Language, key: str) -> tuple[str, ...]:
    both = of.template(key) + of.template(key, technical=True)
    return tuple(dict.fromkeys(name[0].lower() + name[1:] for name in _BLANK.findall(both)))


@lru_cache(maxsize=4096)  # a film says the same in most of its frames
def _said(language: Language, said: Line | Series, technical: bool) -> str:
    if isinstance(said, Series):
        return _joined(language, [language.say(item, technical) for item in said.items], said.joint)
    blanks = dict(said.blanks)
    empty = False

    def fill(found: re.Match[str]) -> str:
        nonlocal empty
        name = found[1]
        capital = name not in blanks and name[0].isupper()
        held = blanks.get(name[0].lower() + name[1:] if capital else name)
        if held is None:
            raise BadInput(f"{language.key}.toml: {said.key} has a blank {{{name}}} that nothing fills")
        text = language.say(held, technical)
        empty = empty or not text
        return text[:1].upper() + text[1:] if capital else text

    text = _BLANK.sub(fill, language.template(said.key, technical))
    return " ".join(text.split()) if empty else text  # a blank that holds nothing takes its space with it


def _joined(language: Language, items: list[str], joint: str) -> str:
    about = language.texts.language
    if joint == "last" and len(items) > 1:
        return about.comma.join(items[:-1]) + about.last + items[-1]
    return (about.word if joint == "word" else about.comma).join(items)


@cache
def _tables() -> tuple[str, ...]:
    return tuple(field for field in Texts.__struct_fields__ if field != "language")


@cache
def language_of(key: str = FIRST) -> Language:
    """A language by the name of its file. BadInput for one that is not there, or whose texts do not fit."""
    found = Language(known_language(key), table(_PACKAGE, f"{key}.toml", Texts))
    if key != FIRST:
        for fault in faults(found, language_of(FIRST)):
            raise BadInput(f"{key}.toml: {fault}")
    return found


def faults(other: Language, first: Language) -> Iterator[str]:
    """What another language lacks, has too much or fills otherwise, one line each."""
    for name in _tables():
        theirs, ours = other.rows(name), first.rows(name)
        for key in ours.keys() - theirs.keys():
            yield f"{name}: key {key!r} is missing"
        for key in theirs.keys() - ours.keys():
            yield f"{name}: key {key!r} is unknown; allowed: those of {first.key}.toml{nearest(key, ours)}"
        for key in ours.keys() & theirs.keys():
            yield from dict.fromkeys(_misfit(f"{name}.{key}", theirs[key], ours[key]))


def _misfit(where: str, theirs: ReaderText, ours: ReaderText) -> Iterator[str]:
    both = [[text] if isinstance(text, str) else list(text) for text in (theirs, ours)]
    if len(both[0]) != len(both[1]):
        yield f"{where}: {len(both[0])} text(s), not {len(both[1])}"
        return
    for their, our in zip(*both, strict=True):
        blanks = [sorted(name.lower() for name in _BLANK.findall(text)) for text in (their, our)]
        if blanks[0] != blanks[1]:
            asked = ", ".join(f"{{{name}}}" for name in blanks[1]) or "none"
            yield f"{where}: blanks {', '.join(f'{{{n}}}' for n in blanks[0]) or 'none'}; allowed: {asked}"
        if bool(their.strip()) != bool(our.strip()):
            yield f"{where}: the text is {'empty' if our.strip() else 'not empty'}"


@cache
def _reasons() -> Rows:
    """The reasons of the rules in English, by the name of the rule."""
    from vocaltract.words.rules.allophones import reasons

    return reasons()
