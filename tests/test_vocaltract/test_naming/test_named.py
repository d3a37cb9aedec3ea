"""What people type is the sound that they mean, or a question; never a silent guess."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from vocaltract.naming.named import asked_about, echo, is_name, name_of, named
from vocaltract.phonetics.inventory import entries, narrow_variants

TABLE = Path(__file__).parents[2] / "reference" / "typed_names.tsv"
ROWS = list(
    csv.DictReader(
        (line for line in TABLE.read_text(encoding="utf-8").splitlines() if line[0] != "#"),
        delimiter="\t",
        quoting=csv.QUOTE_NONE,
    )
)
# answers of the table that are left out on purpose: a silent letter is no choice of a sound
NOT_SOUNDS = ("no", "left", "the")


def answers(start: str) -> list[dict[str, str]]:
    return [row for row in ROWS if row["answer"].startswith(start)]


@pytest.mark.parametrize(
    "row", [r for r in ROWS if ":" not in r["answer"] and not r["typed"].startswith("--")], ids=lambda r: r["typed"]
)
def test_a_name_of_one_sound_is_taken_and_echoed(row: dict[str, str]) -> None:
    found = named(row["typed"])
    assert found.symbol == row["answer"]
    assert echo(found) == row["echo"]


@pytest.mark.parametrize("row", answers("ask:"), ids=lambda r: r["typed"])
def test_a_name_of_several_sounds_is_asked_about(row: dict[str, str]) -> None:
    choices = [choice.split()[0] for choice in row["answer"].removeprefix("ask:").split(" / ")]
    with pytest.raises(BadInput) as caught:
        named(row["typed"])
    message = str(caught.value)
    assert message.count("\n") == 0 and repr(row["typed"])[1:-1] in message
    assert all(choice.rstrip(",") in message for choice in choices if choice not in NOT_SOUNDS)


@pytest.mark.parametrize("row", answers("refuse:"), ids=lambda r: r["typed"])
def test_a_name_of_no_sound_is_refused_with_advice(row: dict[str, str]) -> None:
    with pytest.raises(BadInput) as caught:
        named(row["typed"])
    assert row["typed"] in str(caught.value) and caught.value.exit_status == 2


# Forms of the same kinds that the table does not have; what each is, by the same practice
@pytest.mark.parametrize(
    ("typed", "symbol"),
    [
        ("the vowel in seat", "i"), ("short a sound", "æ"), ("the long e", "i"), ("e in desk", "ɛ"),
        ("ea in seat", "i"), ("ee as in seat", "i"), ("voiced s", "z"), ("voiceless z", "s"), ("held p", "p̚"),
        ("unreleased d", "d̚"), ("aspirated p", "pʰ"), ("i of seat", "i"), ("g in luggage", "ɡ"), ("r in right", "ɹ"),
        ("SH", "ʃ"), ("AY2", "aɪ"),
        ("s_ea_t", "i"), ("to[w]el", "aʊ"), ("key:UH", "ʌ"), ("key:uh", "ə"), ("[I]", "ɪ"), ("/θ/", "θ"), ("[r]", "r"),
        ("dental n", "n̪"), ("syllabic l", "l̩"), ("the t sound", "t"),
    ],
)  # fmt: skip
def test_forms_of_the_same_kinds_are_taken(typed: str, symbol: str) -> None:
    assert named(typed).symbol == symbol


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("th", "θ (th in thank) or ð (th in this); type the one that is meant in brackets, [θ], or in a word, [th]ank"),
        ("lnog a", "nearest: long a"),
        ("key:qq", "is not in the respelling key; allowed: ee, ih"),
        ("[sea]t", "'sea' stands for 2 sounds in 'seat', s and i; mark the letters of one"),
        ("nigh[x]t", "'x'"),
        ("ar", "ɑɹ (ar in card), more than one sound"),
        ("  ", "no sound given"),
    ],
)
def test_what_is_not_one_sound_is_told(typed: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        named(typed)
    assert said in str(caught.value)


def test_a_sound_can_be_typed_again() -> None:
    for entry in [*entries().values(), *narrow_variants().values(), named("[ʈ]")]:
        assert named(name_of(entry)).symbol == entry.symbol


@pytest.mark.parametrize(
    ("text", "asked"),
    [("long e", True), ("voiced th", True), ("dark l", True), ("long e.", False), ("front desk", False),
     ("tap", False), ("room 305", False), ("a table in room ten", False), ("ticket", False)],
)  # fmt: skip
def test_a_text_that_is_a_sounds_name_is_asked_about(text: str, asked: bool) -> None:
    question = asked_about(text)
    assert bool(question) == asked and ("full stop" in question) == asked


def test_names_of_several_sounds_are_names_and_words_are_not() -> None:
    assert is_name("th") and is_name("sh") and not is_name("towel") and not is_name("front desk")


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(max_size=14))
def test_any_text_is_a_sound_or_one_line(typed: str) -> None:
    try:
        assert named(typed).symbol
    except BadInput as error:
        assert "\n" not in str(error)
