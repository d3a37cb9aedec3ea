"""Message files: every language has every text, and every text the same blanks. No outside reference: completeness."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib import resources

import numpy as np
import pytest

from articulators.errors import BadInput
from renders.page.catalogue import LANGUAGES, SAID, messages, told
from renders.page.subject import Subject
from renders.wording import teller

OTHERS = [key for key in LANGUAGES if key != "en"]
Texts = Mapping[str, Mapping[str, str]]
BLANK = re.compile(r"\{\w+\}")


def _missing(other: Texts) -> list[str]:
    """Keys that only one of English and another language has, and texts whose blanks differ."""
    english = messages("en")
    wrong = [f"table {name}" for name in set(english) ^ set(other)]
    for name in set(english) & set(other):
        wrong += [f"{name}.{key}" for key in set(english[name]) ^ set(other[name])]
        for key in set(english[name]) & set(other[name]):
            if sorted(BLANK.findall(english[name][key])) != sorted(BLANK.findall(other[name][key])):
                wrong.append(f"{name}.{key}: blanks")
    return sorted(wrong)


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_there_with_its_blanks(language: str) -> None:
    lost = _missing(messages(language))
    assert lost == [], f"renders/page/messages/{language}.toml lacks or has wrong: {', '.join(lost)}"


@pytest.mark.parametrize("language", OTHERS)
def test_no_text_is_empty_or_left_in_english(language: str) -> None:
    english, other = messages("en")["ui"], messages(language)["ui"]
    assert all(text.strip() for text in other.values())
    short = {"track_ms", "unit_ms", "unit_ml_s", "unit_percent", "comma", "why_row", "theme_auto", "name_home"}
    # a few words are the same in both; most must not be
    same = [key for key in other if other[key] == english[key] and key not in short]
    assert len(same) <= 3, same


def test_the_comparison_notices_a_missing_text() -> None:
    kept = messages("es")
    changed = {**kept, "ui": {k: v for k, v in kept["ui"].items() if k != "play"} | {"at_ms": "milisegundos"}}
    assert _missing(changed) == ["ui.at_ms: blanks", "ui.play"]


def test_every_text_that_the_script_asks_for_is_there() -> None:
    folder = resources.files("renders.page").joinpath("assets")
    script = "\n".join(p.read_text(encoding="utf-8") for p in folder.iterdir() if p.name.endswith(".js"))
    asked = set(re.findall(r"\bsay\(\"(\w+)\"", script)) | set(re.findall(r"\b(?:t|label): \"(\w+)\"", script))
    asked |= set(re.findall(r"\], \"(key_\w+)\"", script))
    known = messages("en")["ui"].keys() | {f"phase_{key}" for key in messages("en")["phase"]}
    assert len(asked) > 60
    assert {key for key in asked - known if not key.endswith("_")} == set()


def test_every_text_of_a_moment_leads_back_to_its_key(voiced_pair: Subject, nasal_pair: Subject) -> None:
    lost = set()
    for half in (*voiced_pair.items, *nasal_pair.items):
        for time_s in np.arange(0, half.timeline.duration_s, 0.02):
            state = teller.state(half.timeline, float(time_s))
            rows = [
                (("cue", "throat_cue", "sounds"), state.cue), (("detail",), state.detail),
                (("contact",), state.contact.title), (("air",), state.air.title), (("voice",), state.voice.title),
            ]  # fmt: skip
            lost |= {text for kinds, text in rows if "key" not in told(kinds, text)}
    assert lost == set()


def test_blanks_are_taken_out_of_a_text() -> None:
    found = told(("detail",), "Voice starts about 65 ms later.")
    assert found == {
        "en": "Voice starts about 65 ms later.", "key": "detail.release_puff_voice", "fill": {"ms": "65"},
    }  # fmt: skip
    assert told(("cue",), "Both shut: lips, tongue back")["fill"] == {"one": ["organ.lips"], "two": ["organ.dorsal"]}
    assert "key" not in told(("cue",), "no such text")


def test_tables_of_what_is_said_are_those_of_the_films() -> None:
    assert set(SAID) <= set(messages("en"))
    with pytest.raises(BadInput, match="allowed: en, es, zh"):
        messages("eo")
