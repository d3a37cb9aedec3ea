"""What is said of a pair, in the languages of the page. Outside: none; every English sentence must be found again."""

from __future__ import annotations

from itertools import combinations

import pytest

from renders.page.catalogue import messages, of_pairs
from renders.page.difference import compared
from renders.page.subject import Subject, subject_of
from renders.page.translated import headline, in_language, sentences, used
from renders.wording.pair_statement import statement_of
from tests.test_renders.test_page.conftest import Open
from vocaltract.pairs.chosen import told
from vocaltract.pairs.difference import difference
from vocaltract.phonetics.inventory import entries

# One or more of each kind of statement.
SOUNDS = [("t", "d"), ("b", "m"), ("d", "l"), ("s", "ʃ"), ("l", "ɹ"), ("i", "ɪ"), ("f", "θ"), ("s", "z"), ("ɡ", "ŋ"),
          ("tʃ", "ʃ"), ("n", "l"), ("s", "θ"), ("w", "v"), ("æ", "ɑ"), ("aɪ", "eɪ")]  # fmt: skip
TEXTS = [("bad", "bat"), ("ticket", "desk"), ("writer", "rider"), ("cart", "car"), ("let", "led")]


@pytest.mark.parametrize(("a", "b"), [*SOUNDS, *TEXTS])
def test_every_sentence_has_a_translation(a: str, b: str) -> None:
    two = told(a, b)
    d = difference(two.first.timeline, two.second.timeline, (two.first.index, two.second.index))
    said = statement_of(two, d)
    for text in (said.plain, said.technical, said.unseen):
        rows = sentences(text)
        assert " ".join(row["en"] for row in rows) == text
        assert [row["en"] for row in rows if "key" not in row] == []
        for language in ("es", "zh"):
            there = messages(language)
            assert [key for key in used(rows) if key.partition(".")[2] not in there[key.partition(".")[0]]] == []
            shown_text = in_language(rows, language)
            assert "{" not in shown_text
            # no English is left over inside a sentence
            assert not {"the", "for", "and", "is", "voice", "tongue"} & set(shown_text.replace("(", " ").split())
    assert [row.get("key", "").partition(".")[0] for row in headline(said.title)] == ["pair_headline"]


def test_a_sentence_that_no_text_fits_stays_as_it_is() -> None:
    rows = sentences("Nobody wrote this. The tongue is about 5 mm higher for i. Nor this one.")
    assert [("key" in row, row["en"]) for row in rows] == [
        (False, "Nobody wrote this."), (True, "The tongue is about 5 mm higher for i."), (False, "Nor this one."),
    ]  # fmt: skip
    assert in_language(rows, "es").startswith("Nobody wrote this. La lengua")


@pytest.mark.parametrize(
    "text", [f"\u201c{text}\u201d" for text in ("bad. For l air passes", "a / b, c", "{one} {ms}")]
)
def test_texts_of_the_user_in_a_sentence_are_kept_as_they_are(text: str) -> None:
    rows = sentences(f"In {text} t is held: no release is heard. A side view cannot show the sides of the tongue.")
    assert [row["key"] for row in rows] == ["pair_texts.held", "pair_unseen.sides"]
    assert text in in_language(rows, "zh")


def test_sentences_with_other_blanks_are_not_taken_for_one_another() -> None:
    # an "{one}" that would hold a sentence is no sound
    first = "For l the tongue tip touches the gum ridge; for ɹ the tongue tip touches nothing."
    rows = sentences(f"{first} For l air passes beside the tongue.")
    assert [row["key"] for row in rows] == ["pair_sentence.where", "pair_sentence.sides_flows"]


def test_names_of_all_sounds_are_there() -> None:
    for language in ("es", "zh"):
        assert {entry.name for entry in entries().values()} == set(messages(language)["pair_name"])


def test_names_tell_sounds_apart_as_in_english() -> None:
    for language in ("es", "zh"):
        names = messages(language)["pair_name"]
        same = [(a, b) for a, b in combinations(names, 2) if names[a] == names[b]]
        assert same == []


@pytest.mark.parametrize(("language", "begins"), [("es", "La misma boca"), ("zh", "口形相同")])
def test_the_page_says_it_in_the_language_that_is_chosen(
    language: str, begins: str, opened: Open, voiced_page: object, voiced_pair: Subject
) -> None:
    page = opened(voiced_page, f"#lang={language}")
    assert page.page.locator("#lead strong").inner_text().startswith(begins)
    said = compared(voiced_pair)
    assert said is not None
    assert page.page.locator(".cue-card").inner_text() == in_language(list(said.plain), language)
    assert page.page.locator("#difference [lang=en]").count() == 0
    assert page.page.locator("#lead [lang=en]").count() == 0


def test_what_has_no_translation_is_marked_as_english(opened: Open, folder: object) -> None:
    from renders.page.build import page as made

    path = folder / "uvular.html"  # type: ignore[operator]
    path.write_text(made(subject_of(("[q]", "k")), "es"), encoding="utf-8")
    page = opened(path)
    assert "uvular" in page.page.evaluate("document.querySelector('#difference details [lang=en]').textContent")
    page.page.select_option("#language", "en")
    assert page.page.locator("#difference [lang=en]").count() == 0


def test_texts_of_a_pair_are_those_of_the_pictures() -> None:
    assert of_pairs()["pair_sentence"]["breath"] == "Breath fills that time for {other}."
