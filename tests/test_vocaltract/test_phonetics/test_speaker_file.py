"""A speaker's own file: a copy is that speaker; what is broken, incomplete or out of range is told in one line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.head import adult_male
from tests.scaled_speaker import as_toml, scaled_values
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import SPEAKERS, man, shipped_speaker
from vocaltract.phonetics.speaker_file import read_speaker, speaker_copy, speaker_of_text
from vocaltract.phonetics.speakers import speaker_of

HEAD_NAMED = (
    '[speaker]\nunit = "1"\nsource = "a guest"\nstatus = "estimated"\nformat = 1\nrate = 0.9\nhead = "adult_male"\n\n'
    '[voice]\nunit = "Hz"\nsource = "a guest"\nstatus = "estimated"\npitch_hz = 100\n\n'
)


@pytest.mark.parametrize("name", SPEAKERS)
def test_a_copy_is_the_speaker_that_was_copied(name: str, tmp_path: Path) -> None:
    file = tmp_path / "guest.toml"
    file.write_text(speaker_copy(name), encoding="utf-8")
    own, shipped = speaker_of(file), shipped_speaker(name)
    assert own.name == "guest.toml" and own.voice == shipped.voice and own.rate == shipped.rate
    assert own.solved is shipped.solved, "the same head and formants: nothing is solved again"
    assert np.array_equal(own.head.palate.surface, shipped.head.palate.surface)
    assert speaker_of(str(file)) is own, "the same content is the same speaker, so that what is said is kept"


def test_a_file_may_name_a_head_that_comes_with_the_package(tmp_path: Path) -> None:
    vowels = speaker_copy("man").partition("[vowels]")[2].partition("# A head")[0]
    own = speaker_of_text(f"{HEAD_NAMED}[vowels]{vowels}", "guest.toml")
    assert own.head is adult_male() and own.voice.pitch_hz == 100 and own.rate == 0.9
    assert np.array_equal(posture("s", own).values, posture("s", man()).values)


def changed(old: str, new: str) -> str:
    """The man's file with one thing changed."""
    text = speaker_copy("man")
    assert text.count(old) >= 1, old
    return text.replace(old, new, 1)


def without(table: str) -> str:
    """The man's file without a table."""
    before, _, after = speaker_copy("man").partition(f"[{table}]\n")
    return before + "\n[" + after.partition("\n[")[2]


BAD = {
    "no TOML": (
        lambda: changed("[voice]", "[voice"),
        "not TOML: Expected ']'",
    ),
    "another format": (
        lambda: changed("format = 1", "format = 2"),
        "speaker.format: 2 is unknown; allowed: 1",
    ),
    "no format": (
        lambda: changed("format = 1\n", ""),
        "speaker: key 'format' is missing; allowed: ",
    ),
    "no voice": (
        lambda: without("voice"),
        "key 'voice' is missing; allowed: speaker, voice, vowels",
    ),
    "a table of another name": (
        lambda: changed("[voice]", "[voise]"),
        "key 'voise' is unknown; allowed: speaker, voice",
    ),
    "a voice too deep": (
        lambda: changed("pitch_hz = 115.0", "pitch_hz = 20"),
        "voice: pitch_hz 20 is out of range; allowed: 50 to 600",
    ),
    "a pitch in words": (
        lambda: changed("pitch_hz = 115.0", 'pitch_hz = "low"'),
        "voice.pitch_hz: expected `float`, got `str`, not 'low'",
    ),
    "a pitch that is no number": (
        lambda: changed("pitch_hz = 115.0", "pitch_hz = nan"),
        "voice: pitch_hz nan is out of range",
    ),
    "too fast": (
        lambda: changed("rate = 1.0", "rate = 7.0"),
        "speaker: rate 7 is out of range; allowed: 0.5 to 2",
    ),
    "a vowel too few": (
        lambda: changed('"ɛ" = [530, 1840, 2480]\n', ""),
        "vowels.formants_hz: 'ɛ' is missing; allowed: i, ɪ, ɛ",
    ),
    "a vowel too many": (
        lambda: changed('"ɛ" =', '"e" = [400, 2000, 2600]\n"ɛ" ='),
        "vowels.formants_hz: 'e' is unknown; allowed: i, ɪ",
    ),
    "formants that fall": (
        lambda: changed("[530, 1840, 2480]", "[530, 2480, 1840]"),
        "vowels: formants_hz.ɛ is 530, 2480, 1840; allowed: F1 below F2 below F3",
    ),
    "a formant too low": (
        lambda: changed("[530, 1840, 2480]", "[53, 1840, 2480]"),
        "vowels: formants_hz.ɛ 53 is out of range; allowed: 100 to 6000",
    ),
    "two formants": (
        lambda: changed("[530, 1840, 2480]", "[530, 1840]"),
        "vowels.formants_hz.ɛ: ",
    ),
    "no palate": (
        lambda: without("palate"),
        "key 'palate' is missing; allowed: head_of, tongue",
    ),
    "half a point": (
        lambda: changed("hinge = [88.0, 42.0]", "hinge = [88.0]"),
        "jaw.hinge: [88.0] is no point [x, y]",
    ),
    "a landmark far away": (
        lambda: changed("hinge = [88.0, 42.0]", "hinge = [880.0, 42.0]"),
        "jaw.hinge: 880 mm is out of range; allowed: -250 to 250",
    ),
    "a giant": (
        lambda: changed("size = 1.0", "size = 3.0"),
        "head_of: size 3 is out of range; allowed: 0.4 to 1.4",
    ),
    "no place for a sound": (
        lambda: changed("palatal = [22.0, 36.0]\n", ""),
        "places: 'palatal' is missing; allowed: ",
    ),
    "a place off the roof": (
        lambda: changed("[22.0, 36.0]", "[-22.0, 36.0]"),
        "places.roof_mm.palatal: -22 to 36 lies off it; allowed: within 0 to 80",
    ),
    "a place from back to front": (
        lambda: changed("[22.0, 36.0]", "[36.0, 22.0]"),
        "places: palatal goes from 36 to 22; allowed: from the lesser",
    ),
    "a head and the name of another": (
        lambda: changed("rate = 1.0", 'rate = 1.0\nhead = "adult_male"'),
        "speaker.head 'adult_male' and the table [head_of] are two heads",
    ),
    "a name that is no head": (
        lambda: HEAD_NAMED.replace("adult_male", "adult_mail") + VOWELS,
        "speaker.head: 'adult_mail' is unknown; allowed: adult_male",
    ),
    "nothing": (lambda: "", "key 'speaker' is missing; allowed: speaker, voice, vowels"),
}
VOWELS = "[vowels]" + speaker_copy("man").partition("[vowels]")[2].partition("# A head")[0]


@pytest.mark.parametrize(("made", "said"), BAD.values(), ids=BAD)
def test_a_faulty_file_is_told_with_file_key_value_and_what_is_allowed(made: object, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        speaker_of_text(made(), "guest.toml")  # type: ignore[operator]
    message = str(caught.value)
    assert message.startswith("guest.toml: ") and said in message and "\n" not in message


def test_a_file_that_is_not_there_is_told_with_how_to_get_one(tmp_path: Path) -> None:
    (tmp_path / "guest.toml").write_text("", encoding="utf-8")
    with pytest.raises(BadInput, match=r"no such file; `vocaltract speakers` writes one to change.*guest\.toml"):
        read_speaker(tmp_path / "gest.toml")


def test_a_sound_that_a_head_cannot_make_is_refused_and_others_are_not() -> None:
    # no tongue of that size reaches a roof that lies 35 mm higher; lips need no roof: common practice, no source
    values = scaled_values(0.9)
    values["palate"]["surface"] = [[x, y + 35] for x, y in values["palate"]["surface"]]
    own = speaker_of_text(as_toml(values), "guest.toml")
    with pytest.raises(BadInput, match=r"^speaker guest\.toml: \[t\] cannot be made on this head: .*; allowed: .* mm$"):
        posture("t", own)
    with pytest.raises(BadInput, match=r"\[s\] cannot be made on this head: .*; allowed: .* mm$"):
        posture("s", own)
    assert posture("p", own).shape == ()


def test_a_vowel_that_a_head_does_not_reach_is_refused() -> None:
    # the first three resonances of 15 cm do not lie at 900, 3300 and 5000 Hz: a quarter wave of it is 580 Hz
    values = scaled_values(0.9)
    values["vowels"]["formants_hz"]["ɛ"] = [900, 3300, 5000]
    with pytest.raises(BadInput, match=r"vowels\.formants_hz\.ɛ: F\d of this head comes to \d+ Hz where"):
        posture("ɛ", speaker_of_text(as_toml(values), "guest.toml"))
