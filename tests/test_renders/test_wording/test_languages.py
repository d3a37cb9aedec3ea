"""The languages: each has every text with its blanks, can be set, and leaves no English over. Outside: none but the
English names of the IPA chart (2020, from memory), which Spanish and Chinese must tell apart as well.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders import wording
from renders.paper.typeface import missing
from renders.wording import shipped
from renders.wording.key_moments import key_moments
from renders.wording.languages import Language, Texts, faults, language_of
from renders.wording.line import Line, Series, keys, line
from renders.wording.names import sound_name
from renders.wording.pair_statement import statement_of
from tests import english
from tests.spoken import said
from vocaltract.pairs.difference import difference
from vocaltract.pairs.occurrences import compare
from vocaltract.phonetics.inventory import entries, narrow_variants
from vocaltract.speech import say_alone

LANGUAGES = shipped.languages()
OTHERS = tuple(key for key in LANGUAGES if key != shipped.FIRST)
TABLES = tuple(field for field in Texts.__struct_fields__ if field != "language")
ENGLISH_WORDS = {
    *("the", "for", "and", "is", "of", "with", "air", "voice", "tongue", "lips", "mouth", "about", "at", "on", "shut"),
    *("open", "said", "time", "release", "vowel", "same", "different", "shape", "people", "folds", "side", "here"),
}


def texts(language: Language) -> dict[str, str]:
    """Every text by its key, plain and technical."""
    return {
        f"{name}.{key}[{technical}]": language.template(f"{name}.{key}", technical)
        for name in TABLES
        for key in language.rows(name)
        for technical in (False, True)
    }


def changed(language: Language, table: str, **rows: Any) -> Language:
    """The language with other rows in one table; None takes one away."""
    kept = {k: v for k, v in {**language.rows(table), **rows}.items() if v is not None}
    return replace(language, texts=msgspec.structs.replace(language.texts, **{table: kept}))


def left_over(text: str) -> set[str]:
    """English words in a text; words between quotes are the user's."""
    bare = re.sub(r"\{.*?\}|\u00ab.*?\u00bb|\u201c.*?\u201d|\[.*?\]", " ", text)
    return ENGLISH_WORDS & set(re.findall("[a-z]+", bare.lower()))


@pytest.mark.parametrize("key", OTHERS)
def test_every_language_has_every_text_with_its_blanks(key: str) -> None:
    assert list(faults(language_of(key), language_of())) == []


@pytest.mark.parametrize(
    ("table", "rows", "fault"),
    [
        ("page", {"play": None}, "page: key 'play' is missing"),
        ("page", {"plai": "Reproducir"}, "page: key 'plai' is unknown; allowed: those of en.toml (nearest: play)"),
        ("detail", {"release_puff_voice": ["La voz empieza.", "VOT"]}, "blanks none; allowed: {ms}"),
        ("moment", {"hold": "cerrado"}, "moment.hold: 1 text(s), not 2"),
        ("cue", {"tap": ["", "Tap"]}, "cue.tap: the text is empty"),
    ],
)
def test_what_a_language_lacks_is_told(table: str, rows: dict[str, Any], fault: str) -> None:
    found = list(faults(changed(language_of("es"), table, **rows), language_of()))
    assert len(found) == 1 and fault in found[0]


def test_a_file_with_a_misspelt_table_or_no_text_is_refused() -> None:
    text = text_of("renders.wording", "es.toml")
    with pytest.raises(BadInput, match=r"es.toml: key 'momnet' is unknown; allowed: language, phase, "):
        parsed(text.replace("[moment]", "[momnet]"), Texts, "es.toml")
    with pytest.raises(BadInput, match=r"es.toml: phase.hold: .*not 5"):
        parsed(re.sub(r'hold = \["cerrado", "oclusión"\]', "hold = 5", text), Texts, "es.toml")
    with pytest.raises(BadInput, match="language 'ez' is not there; allowed: en, es, zh"):
        language_of("ez")


def test_blanks_lists_and_capitals() -> None:
    en, es, zh = (language_of(key) for key in ("en", "es", "zh"))
    organs = tuple(Line(f"pair_organ.{name}") for name in ("tongue", "lips", "jaw"))
    same = line("pair_sentence.same", organs=Series(organs, "last"))
    assert en.say(same) == "Tongue, lips and jaw do the same."
    assert es.say(same) == "Hacen lo mismo: lengua, labios y mandíbula."
    assert zh.say(same) == "舌头、嘴唇和下颌的动作相同。"
    assert en.text("pair_texts.quoted", text="{one} {ms}") == "\u201c{one} {ms}\u201d"  # a text of the user stays
    assert set(keys(same)) == {"pair_sentence.same", "pair_organ.tongue", "pair_organ.lips", "pair_organ.jaw"}
    with pytest.raises(BadInput, match=r"has a blank \{ms\} that nothing fills"):
        en.say(Line("detail.release_puff_voice"))
    with pytest.raises(BadInput, match=r"en.toml: cue 'held_' is unknown; allowed: .*nearest: held"):
        en.say(Line("cue.held_"))
    with pytest.raises(BadInput, match=r"table 'cues' is unknown; allowed: .*nearest: cue"):
        en.say(Line("cues.held"))


@pytest.mark.parametrize("key", LANGUAGES)
@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_no_glyph_is_missing(key: str, weight: str) -> None:
    assert {name: lost for name, text in texts(language_of(key)).items() if (lost := missing(text, weight))} == {}


def test_a_planted_character_is_missed() -> None:
    planted = changed(language_of("zh"), "page", play="播放龘")
    assert [missing(text) for text in texts(planted).values() if missing(text)] == ["龘", "龘"]


@pytest.mark.parametrize("key", OTHERS)
def test_no_text_is_left_in_english(key: str) -> None:
    # names of sounds, file formats and of the dictionary hold English words in any language
    own = {"lesson.dictionary", "name.flap", "rule.coalescence", "rule.dropped h", "lesson.typeface"}
    found = {name: left_over(text) for name, text in texts(language_of(key)).items()}
    assert {name: words for name, words in found.items() if words and name.rpartition("[")[0] not in own} == {}
    assert left_over("En l the tongue toca") == {"the", "tongue"}


@pytest.mark.parametrize("text", ["luggage", "front desk", "button", "three keys"])
@pytest.mark.parametrize("key", OTHERS)
def test_what_is_said_of_moments_has_no_english(key: str, text: str) -> None:
    timeline, language = said(text), language_of(key)
    for time_s in np.arange(0.0, timeline.duration_s, 0.03):
        for technical in (False, True):
            now = english.state(timeline, float(time_s), technical, language)
            rows = (now.contact, now.air, now.voice)
            words = [now.cue, now.detail, *(t for row in rows for t in (row.title, row.second))]
            assert left_over(" ".join(words)) == set(), words
            assert not any("{" in word for word in words)
    for moment in key_moments(timeline):
        assert left_over(language.say(moment.label)) == set()


# one or more of each kind of statement
PAIRS = [("t", "d"), ("b", "m"), ("d", "l"), ("s", "ʃ"), ("l", "ɹ"), ("[i]", "ɪ"), ("s", "z"), ("ɡ", "ŋ"), ("tʃ", "ʃ"),
         ("n", "l"), ("s", "θ"), ("w", "v"), ("aɪ", "eɪ"), ("bad", "bat"), ("ticket", "desk"), ("writer", "rider"),
         ("cart", "car"), ("let", "led")]  # fmt: skip


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_what_is_said_of_pairs_has_no_english(a: str, b: str) -> None:
    two = compare(a, b)
    found = statement_of(two, difference(two.first.timeline, two.second.timeline, (two.first.index, two.second.index)))
    for key in OTHERS:
        language = language_of(key)
        words = [language.say(text) for text in (found.title, found.headline, found.both, found.bracket)]
        words += [language.sentences(lines) for lines in (found.plain, found.technical, found.unseen)]
        assert left_over(" ".join(words)) == set(), words
        assert not any("{" in word for word in words)


@pytest.mark.parametrize("key", OTHERS)
def test_names_tell_sounds_apart_as_in_english(key: str) -> None:
    names = {entry.name for entry in (*entries().values(), *narrow_variants().values())}
    names |= {say_alone(sound).spans[0].entry.name for sound in list(entries().values())[:3]}
    told_apart = {name: language_of(key).say(sound_name(name), technical=True) for name in names}
    assert [(a, b) for a, b in combinations(told_apart, 2) if told_apart[a] == told_apart[b]] == []


def test_all_languages_are_the_files_that_are_there() -> None:
    assert LANGUAGES[0] == "en" and {"es", "zh"} <= set(LANGUAGES)
    assert len({language_of(key).texts.language.name for key in LANGUAGES}) == len(LANGUAGES)
    assert len({language_of(key).tag for key in LANGUAGES}) == len(LANGUAGES)


def test_every_key_that_stands_in_code_is_there() -> None:
    folder = Path(wording.__file__).parents[1]
    code = "\n".join(file.read_text(encoding="utf-8") for file in folder.rglob("*.py"))
    asked = set(re.findall(rf'"((?:{"|".join(TABLES)})\.[\w -]+)"', code))
    assert len(asked) > 150
    files = (".toml", ".css", ".html", ".js", ".mp4", ".txt")
    asked = {key for key in asked if not key.endswith(files)}
    assert {key for key in asked if key.partition(".")[2] not in language_of().rows(key.partition(".")[0])} == set()
