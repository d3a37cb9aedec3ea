"""The plan of a lesson: which words, what each shows, and words that do not show the sound."""

from __future__ import annotations

import dataclasses

import pytest

from articulators.errors import BadInput
from renders.course.plan import LessonPlan, plan_lesson
from tests.english import ENGLISH
from vocaltract.phonetics.inventory import entries


def places(plan: LessonPlan) -> dict[str, list[tuple[str, str]]]:
    return {word.text: [(s.key, s.place) for s in word.shown] for word in plan.words}


# Where a stop stands and what happens to it there: Ladefoged & Johnson, A Course in Phonetics, chapter on English
# consonants (from memory): aspirated at the start of a stressed syllable, unreleased before another stop.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two", [("t", "initial")]),
        ("seat", [("t", "final")]),
        ("hot tub", [("t", "initial")]),
        ("bad guest", [("d", "held"), ("t", "cluster")]),
        ("dot", [("d", "initial"), ("t", "final")]),
        ("hotel", [("t", "medial")]),
        ("stay", [("t", "cluster")]),
    ],
)
def test_where_t_and_d_stand(text: str, expected: list[tuple[str, str]]) -> None:
    assert places(plan_lesson("t", "d", [text]))[text] == expected


@pytest.mark.parametrize(
    ("a", "b", "text", "expected"),
    [
        ("ee", "ɪ", "key", [("i", "final")]),
        ("ee", "ɪ", "sheet", [("i", "inside")]),
        ("l", "ɹ", "pool", [("l", "final")]),
        ("ɫ", "l", "pool", [("ɫ", "final")]),
        ("ɾ", "t", "water", [("ɾ", "flapped")]),
        ("h", "k", "ahead", [("h", "medial")]),
    ],
)
def test_other_sounds(a: str, b: str, text: str, expected: list[tuple[str, str]]) -> None:
    assert places(plan_lesson(a, b, [text]))[text] == expected


def test_the_rules_say_why() -> None:
    plan = plan_lesson("t", "d", ["two", "seat", "bad guest", "do"])
    two, seat, bad, do = ([ENGLISH.say(reason) for reason in word.shown[0].why] for word in plan.words)
    assert "puff" in " ".join(two)
    assert "shorter" in " ".join(seat)  # the vowel, because of t: Peterson & Lehiste 1960, from memory
    assert "next closure" in " ".join(bad)
    assert do  # no rule: a line all the same
    assert "puff" not in " ".join(do)


# Kahn 1976, Syllable-based generalizations in English phonology (from memory): t and d are flaps between vowels before
# an unstressed vowel.
@pytest.mark.parametrize("text", ["water", "city", "lady", "elevator"])
def test_a_flapped_word_is_refused_for_t_and_d(text: str) -> None:
    with pytest.raises(BadInput, match=rf"word '{text}'.* flap.*as itself") as caught:
        plan_lesson("t", "d", ["two", text])
    assert "\n" not in str(caught.value)


def test_a_glottal_stop_is_refused_for_t() -> None:
    # Ladefoged & Johnson (from memory): t before a syllabic nasal is a glottal stop
    with pytest.raises(BadInput, match=r"word 'button'.*glottal"):
        plan_lesson("t", "d", ["button"])


@pytest.mark.parametrize(
    ("a", "b", "words", "message"),
    [
        ("t", "d", ["room"], "has neither t nor d.*such as"),
        ("t", "d", ["xqtzz"], "'xqtzz' is not in the dictionary"),
        ("t", "d", [""], "empty"),
        ("t", "d", ["  "], "empty"),
        ("t", "[t]", [], "same sound"),
        ("t", "dd", [], "not in the inventory"),
    ],
)
def test_bad_input(a: str, b: str, words: list[str], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        plan_lesson(a, b, words)


def test_a_misspelled_word_is_guessed_and_named() -> None:
    plan = plan_lesson("t", "d", ["towwel", "hotel"])
    assert [word.text for word in plan.words] == ["towwel", "hotel"]
    (note,) = plan.notes
    assert note == "'towwel': guessed pronunciation, please check (nearest word of the dictionary: towel)"


@pytest.mark.parametrize(("a", "b"), [("t", "d"), ("p", "b"), ("s", "ʃ"), ("ee", "ɪ"), ("l", "ɹ"), ("v", "w")])
def test_words_chosen_show_their_sound(a: str, b: str) -> None:
    plan = plan_lesson(a, b)
    assert len(plan.words) == 6
    assert {s.key for word in plan.words for s in word.shown} == {s.entry.symbol for s in plan.sounds}
    usual = {"ɫ": "l", "ɦ": "h"}
    for word in plan.words:
        for s in word.shown:
            target = word.utterance.sounds[s.position].target
            assert s.key in (target, usual.get(target))


def test_every_sound_can_be_taught() -> None:
    symbols = [f"[{symbol}]" for symbol in entries()]
    for a, b in zip(symbols, [*symbols[1:], symbols[0]], strict=True):
        plan = plan_lesson(a, b)
        assert plan.words, (a, b)
        assert all(word.shown for word in plan.words)


@pytest.mark.parametrize(("a", "b"), [("[ʈ]", "t"), ("t", "[ʈ]"), ("[ɬ]", "l"), ("[ɮ]", "z"), ("ɾ", "[r]")])
def test_a_sound_that_english_has_not_is_taught_with_words_of_the_other(a: str, b: str) -> None:
    """English has no retroflex stop, lateral fricative or trill (IPA chart; Ladefoged & Johnson, from memory)."""
    plan = plan_lesson(a, b)
    (english,) = {a, b} & set(entries())
    assert len({word.text for word in plan.words}) == 6
    assert {s.key for word in plan.words for s in word.shown} == {english}


def test_two_sounds_that_english_has_not_are_taught_without_words() -> None:
    plan = plan_lesson("[ʈ]", "[ɖ]")
    assert plan.words == ()
    assert plan.notes == ("English has neither ʈ nor ɖ; no word is shown",)
    with pytest.raises(BadInput, match="has neither ʈ nor ɖ"):
        plan_lesson("[ʈ]", "[ɖ]", ["two"])


def test_minimal_pairs_know_each_other() -> None:
    plan = plan_lesson("t", "d", ["two", "seat", "do", "seed", "towel"])
    assert [word.partner for word in plan.words] == ["do", "seed", "two", "seat", None]


def test_a_word_given_twice_is_shown_once_and_said_so() -> None:
    plan = plan_lesson("t", "d", ["two", "do", " Two "])
    assert [word.text for word in plan.words] == ["two", "do"]
    assert len(plan.notes) == 1
    assert "twice" in plan.notes[0]


def slugs(plan: LessonPlan) -> list[str]:
    return [*(s.slug for s in plan.sounds), *(w.slug for w in plan.words)]


def test_slugs_are_unique_and_never_reserved() -> None:
    # device names that some systems refuse (from memory, common practice): con, prn, aux, nul
    plan = plan_lesson("n", "k", ["con", "Con,", "sound", "[nʌl]", "sound n", "[kɑn]"])
    made = slugs(plan)
    assert len({name.casefold() for name in made}) == len(made)
    assert not {"con", "prn", "aux", "nul"} & set(made)
    assert all(name.isascii() and name.replace("-", "").isalnum() and name == name.lower() for name in made)


def test_a_plan_is_frozen() -> None:
    plan = plan_lesson("t", "d", ["two"])
    with pytest.raises(dataclasses.FrozenInstanceError):
        plan.slug = "other"  # type: ignore[misc]
