"""Steps and checks of sounds. Outside: the conditions of tests/reference/english_consonants.toml (a textbook's
classification, source named there); which check is true of which sound is common practice, no source.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from renders.wording.languages import language_of
from renders.wording.steps import MOST_ACTIONS, HowTo, how_to
from vocaltract.ipa.symbol import usual
from vocaltract.phonetics.inventory import entries, entry_of
from vocaltract.speech import say, say_alone

TABLE = Path(__file__).parents[2] / "reference" / "english_consonants.toml"
CONSONANTS = tomllib.loads(TABLE.read_text(encoding="utf-8"))["consonant"]
VOICED = {"voice", "voice_through", "go_voiced", "go_hiss_voiced", "build_voiced", "glide"}
VOICELESS = {"no_voice", "go_puff", "go_plain", "go_breath", "go_hiss"}
TOUCHING = {"shut_lips", "shut_coronal", "shut_dental", "shut_dorsal", "shut_postalveolar", "side_tip"}
OF_PICTURES = {"never word-initial in English", "midline picture alone looks like d",
               "third formant far below its usual place"}  # fmt: skip

Keys = list[str]


def keys_of(told: HowTo) -> Keys:
    return [action.key.removeprefix("step.") for action in told.actions]


def alone(symbol: str) -> Keys:
    return keys_of(how_to(say_alone(entry_of(usual(symbol.replace("͡", ""))))))


def has(*wanted: str) -> Callable[[Keys], bool]:
    return lambda keys: bool(set(wanted) & set(keys))


def none(*unwanted: str) -> Callable[[Keys], bool]:
    return lambda keys: not set(unwanted) & set(keys)


def together(keys: Keys) -> bool:
    return bool(VOICED & set(keys)) and not VOICELESS & set(keys)


def apart(keys: Keys) -> bool:
    return bool(VOICELESS & set(keys)) and not VOICED & set(keys)


def shaped_as(symbol: str) -> Callable[[Keys], bool]:
    return lambda keys: keys[0] == alone(symbol)[0]


def technical(text: str) -> Callable[[Keys], bool]:
    return lambda keys: any(text in language_of().template(f"step.{key}", technical=True).lower() for key in keys)


MEANT: dict[str, Callable[[Keys], bool]] = {
    "both lips touch": has("shut_lips"),
    "velum port shut": none("nose"),
    "velum down: port open": has("nose"),
    "port open": has("nose"),
    "folds apart at release": apart,
    "folds apart": apart,
    "folds together": together,
    "mouth pressure rises behind the lips": has("build"),
    "no mouth pressure": none("build", "build_voiced"),
    "tip or blade touches the ridge": has("shut_coronal"),
    "sides sealed to the teeth": technical("sides sealed"),
    "sides sealed": technical("sides sealed"),
    "body touches soft or rear hard palate": has("shut_dorsal"),
    "body meets the lowered velum": has("shut_dorsal"),
    "tip low": technical("tip low"),
    "full closure first": lambda keys: keys[0] == "shut_postalveolar",
    "then slow opening to a noise gap of the sh kind": lambda keys: keys[-1] == "go_hiss",
    "same as ch with folds together": lambda keys: keys[0] == alone("tʃ")[0] and together(keys),
    "lower lip touches or nearly touches upper tooth edges": has("near_labiodental"),
    "air escapes between lip and teeth": has("hiss"),
    "lips do not touch each other": none("shut_lips"),
    "tip just behind or between the teeth": has("near_dental"),
    "narrow wide slit": technical("wide slit"),
    "lips apart": none("shut_lips"),
    "groove in the middle: no contact on the midline": technical("grooved"),
    "jaw high, teeth nearly together": technical("jaw high"),
    "gap further back than s": has("near_postalveolar"),
    "front cavity under the tip longer than s": has("near_postalveolar"),
    "lips pushed forward": technical("lips protruded"),
    "mouth already in the next vowel shape": has("breath"),
    "no narrowing above the larynx": none("near_alveolar", "near_other", "near_dental", "hiss"),
    "tip touches the ridge on the midline": has("side_tip"),
    "side(s) lowered: air passes": has("sides"),
    "no contact on the midline": none(*TOUCHING),
    "no contact": none(*TOUCHING),
    "body narrowed at palate AND root narrowed at pharynx": has("r_shape_throat"),
    "lips rounded": has("round", "round_small"),
    "lips rounded and close": has("round_small"),
    "tongue body high at the back": has("w_tongue"),
    "tongue body high at the front, like i but shorter and closer": has("j_tongue"),
    "same mouth shape as t": shaped_as("t"),
    "same mouth shape as k": shaped_as("k"),
    "same mouth shape as d": shaped_as("d"),
    "same shape as f": shaped_as("f"),
    "same shape as s": shaped_as("s"),
    "same shape as sh": shaped_as("ʃ"),
    "same shape as th in thigh": shaped_as("θ"),
}


@pytest.mark.parametrize("row", CONSONANTS, ids=[row["ipa"] for row in CONSONANTS])
def test_steps_meet_every_condition_of_the_sound(row: dict) -> None:
    keys = alone(row["ipa"])
    for must in row["must"]:
        if must not in OF_PICTURES:
            assert MEANT[must](keys), f"{row['ipa']}: {must}: {keys}"


def test_all_24_consonants_are_there() -> None:
    assert len(CONSONANTS) == 24


@pytest.mark.parametrize("key", ["en", "es", "zh"])
def test_every_sound_is_told_in_every_language(key: str) -> None:
    language = language_of(key)
    for entry in entries().values():
        told = how_to(say_alone(entry))
        assert 1 <= len(told.actions) <= MOST_ACTIONS
        for action in told.actions:
            for technical_words in (False, True):
                assert language.say(action, technical_words).endswith((".", "。"))
        if told.feel is not None:
            assert language.say(told.feel)


@pytest.mark.parametrize(
    ("word", "at", "key"),
    [("two", 0, "go_puff"), ("light", 2, "go_breath"), ("stop", 1, "go_plain"), ("city", 2, "tap"),
     ("button", 2, "shut_folds"),
     ("light bulb", 2, "hold"), ("desk", 0, "go_voiced")],
)  # fmt: skip
def test_states_of_a_stop_are_told_apart(word: str, at: int, key: str) -> None:
    assert key in keys_of(how_to(say(word), at))


@pytest.mark.parametrize(
    ("word", "at", "check"),
    [("pool", 0, "paper"), ("key", 0, "palm"), ("thank", 0, "mirror_tip"), ("zone", 0, "throat_on"),
     ("night", 0, "nose"),
     ("hotel", 0, "mirror_breath"), ("light", 0, "cool_sides"), ("shower", 0, "straw"), ("map", 1, "chin")],
)  # fmt: skip
def test_checks_by_hand_and_eye(word: str, at: int, check: str) -> None:
    told = how_to(say(word), at).feel
    assert told is not None and told.key == f"feel.{check}"


@pytest.mark.parametrize(("word", "at"), [("is", 1), ("desk", 0), ("guest", 0), ("stop", 1)])
def test_no_check_is_told_where_it_would_not_be_true(word: str, at: int) -> None:
    told = how_to(say(word), at).feel
    assert told is None or not told.key.startswith(("feel.throat", "feel.pa"))
