"""IPA between brackets: what stands inside, taken as it is or as phonemes."""

from __future__ import annotations

import unicodedata

import pytest

from articulators.errors import BadInput
from vocaltract.words.text.bracketed import inside_of, narrow_utterance, phonemic_words


@pytest.mark.parametrize(
    ("text", "found"),
    [("[tu]", ("[", "tu", 1)), (" /ki/ ", ("/", "ki", 2)), ("two", None), ("record/2", None)],
)
def test_what_stands_in_brackets(text: str, found: tuple[str, str, int] | None) -> None:
    assert inside_of(text) == found


def test_a_bracket_without_partner_is_told() -> None:
    with pytest.raises(BadInput, match=r"'\[' at position 1 of '\[tu' has no matching '\]'"):
        inside_of("[tu")


def test_a_narrow_transcription_keeps_its_letters() -> None:
    said = narrow_utterance("[ˈkʰi ʍɪt͡ʃ]", "ˈkʰi ʍɪt͡ʃ", 1)
    assert [sound.target for sound in said.sounds] == ["k", "i", "w", "ɪ", "tʃ"]
    assert said.sounds[2].symbol == "ʍ"
    assert said.transcription == unicodedata.normalize("NFD", "[ˈkʰi ʍɪtʃ]")


def test_phonemes_are_dictionary_symbols_with_usual_forms_read_as_phonemes() -> None:
    """Dark l is the l of its place (Ladefoged & Johnson); a syllabic n is a weak vowel and n."""
    ((bill, _), (button, _)) = phonemic_words("/bɪɫ ˈbʌtn̩/", "bɪɫ ˈbʌtn̩", 1)
    assert bill.phones == ("B", "IH0", "L")
    assert button.phones == ("B", "AH1", "T", "AH0", "N")
    with pytest.raises(BadInput, match="'ɾ' at position 4 is no phoneme of English"):
        phonemic_words("/sɪɾi/", "sɪɾi", 1)


# A release through the nose lets go a closure of the mouth while the palate opens (Ladefoged & Johnson, from memory).
@pytest.mark.parametrize("text", ["[əⁿ]", "[tuⁿ]", "[ɹᵑ]", "[wᵐ]", "[ʔⁿ]", "[aɪⁿ]"])
def test_marks_that_no_speaker_can_make_are_refused_as_those_of_a_sound_alone(text: str) -> None:
    with pytest.raises(BadInput, match=r"cannot be made: .*(let go|closure)"):
        narrow_utterance(text, text[1:-1], 1)


def test_a_stop_can_be_let_go_through_the_nose() -> None:
    said = narrow_utterance("[ˈbʌtⁿn̩]", "ˈbʌtⁿn̩", 1)
    assert [sound.symbol for sound in said.sounds][2] == "tⁿ"
