"""What may be typed: values checked one by one, options that were typed, sounds and speech by name."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

import pytest

from articulators.errors import BadInput
from renders.commandline import arguments, sounds, values
from renders.commandline.parser import Parser, add_version
from renders.commandline.speech import add_speech_options, as_phrase, speech_of
from renders.labels.sets import LABELS, check_labels
from vocaltract.speech import Speech


@pytest.mark.parametrize(
    ("check", "text", "value"),
    [
        (values.size, "1280x720", (1280, 720)),
        (values.size, "64×64", (64, 64)),
        (values.speed, "0.25", 0.25),
        (values.fps, "50", 50.0),
        (values.part_names, "tongue, palate,", ("tongue", "palate")),
        (values.style, "dark", "dark"),
        (values.sound_speed, "35000", 35000.0),
    ],
)
def test_what_fits_is_read(check: Callable[[str], Any], text: str, value: Any) -> None:
    assert check(text) == value


@pytest.mark.parametrize(
    ("check", "text", "said"),
    [
        (values.size, "big", "size 'big' is not WIDTHxHEIGHT in px; write for example 1280x720"),
        (values.size, "1281x720", "size 1281x720: width 1281 px is odd; it must be even (nearest: 1282)"),
        (values.speed, "half", "speed 'half' is not a number; write for example 0.5 for half speed"),
        (values.fps, "61", "frame rate 61 is out of range; allowed: 5 to 60 frames a second"),
        (values.part_names, ",", "no part is named in ','; allowed: "),
        (values.style, "drak", "style 'drak' is unknown"),
        (values.sound_speed, "1", "speed of sound 1 cm/s is not possible; allowed is 30000 to 40000"),
        (check_labels, "plane", "labels 'plane' are unknown; allowed: none, plain, technical (nearest: plain)"),
    ],
)
def test_what_does_not_fit_is_said_in_one_line(check: Callable[[str], Any], text: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        check(text)
    assert said in str(caught.value) and "\n" not in str(caught.value)
    with pytest.raises(argparse.ArgumentTypeError) as typed:
        values.typed(check)(text)
    assert str(typed.value) == str(caught.value)


def parser() -> Parser:
    made = Parser(prog="vocaltract")
    add_version(made)
    command: Parser = made.add_subparsers(dest="command").add_parser("film")
    arguments.add_look(command, (1280, 720))
    arguments.add_pace(command)
    arguments.add_labels(command)
    add_speech_options(command)
    made.commands["film"] = command
    return made


def test_what_was_not_typed_is_told_from_the_usual_value_typed() -> None:
    names = ("size", "speed", "fps")
    assert arguments.given(parser().parse(["film"]), *names) == {}
    typed = parser().parse(["film", "--size", "1280x720", "--speed", "0.5"])
    assert arguments.given(typed, *names) == {"size": (1280, 720), "speed": 0.5}


def test_what_is_not_understood_is_bad_input() -> None:
    for argv, said in (
        ([], "no command given; allowed: film"),
        (["flim"], "command 'flim' is unknown; allowed: film (nearest: film)"),
        (["film", "--siz", "1"], "option '--siz' is unknown; `vocaltract film --help` lists them (nearest: --size)"),
        (["film", "t"], "'t' is one argument too many"),
        (["film", "--labels", "plane"], "labels 'plane' are unknown"),
    ):
        with pytest.raises(BadInput) as caught:
            parser().parse(argv)
        assert said in str(caught.value)


def test_labels_offered_are_the_ones_checked() -> None:
    assert [check_labels(name) for name in LABELS] == list(LABELS)


@pytest.mark.parametrize(
    ("typed", "as_in", "symbol"),
    [("sh", None, "ʃ"), ("[ʈ]", None, "ʈ"), (None, "seat", "i"), ("ea", "breakfast", "ɛ"), ("t", "city", "ɾ")],
)
def test_a_sound_is_named_or_found_in_a_word(typed: str | None, as_in: str | None, symbol: str) -> None:
    """The words are said as dictionaries of American English have them, from memory."""
    found = sounds.sound_of(argparse.Namespace(sound=typed, as_in=as_in))
    assert found is not None and found.symbol == symbol


def test_no_sound_typed_is_none() -> None:
    assert sounds.sound_of(argparse.Namespace(sound=None, as_in=None)) is None


def test_two_sounds_are_two() -> None:
    a, b = sounds.two_sounds(argparse.Namespace(a="v", b="w"))
    assert (a.symbol, b.symbol) == ("v", "w") and sounds.taken(a, b) == "v as in view; w as in window"
    with pytest.raises(BadInput, match="'r' and 'ɹ' are the same sound; name two different ones"):
        sounds.two_sounds(argparse.Namespace(a="r", b="ɹ"))


def test_speech_is_what_was_typed() -> None:
    typed = parser().parse(["film", "--careful", "--rate", "0.8", "--emphasis", "desk"])
    assert speech_of(typed) == Speech(careful=True, rate=0.8, emphasis=("desk",))
    for rate, said in (("slow", "rate 'slow' is not a number; write for example 0.8"), ("9", "rate 9 is not possible")):
        with pytest.raises(BadInput, match=said):
            speech_of(parser().parse(["film", "--rate", rate]))


@pytest.mark.parametrize(
    ("text", "remarked"),
    [("seat sit", True), ("light right", True), ("front desk", False), ("seat", False), ("[sit]", False)],
)
def test_two_words_that_differ_in_one_sound_are_remarked_on(text: str, remarked: bool) -> None:
    """Minimal pairs as any course has them; common practice, no source."""
    assert bool(as_phrase(text)) == remarked
