"""Transcription: rule by rule against textbook examples, and every kind of bad input."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from vocaltract.ipa.english import phones
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.rules import allophones
from vocaltract.words.rules.allophones import Options
from vocaltract.words.text.transcribe import read
from vocaltract.words.utterance import Sound

FEATURES = frozenset(
    "aspirated weakly_aspirated unreleased flap dark syllabic nasalised devoiced partly_devoiced dental "
    "fronted retracted affricated nasal_release lateral_release glottal preglottalised long linked clipped "
    "onset nucleus coda".split()
)


def sound(text: str, phoneme: str, options: Options | None = None, which: int = 0) -> Sound:
    return [s for s in read(text, options).sounds if s.phoneme == phoneme][which]


# Sources of the rows, all from memory:
# LJ = Ladefoged & Johnson, A Course in Phonetics, chapter "The consonants of English" (rules, examples);
# LJv = the same, "English vowels"; K = Kahn 1976; C = Cruttenden, Gimson's Pronunciation of English.
HAS = [
    # voiceless stops aspirated when syllable initial: pip, test, kick (LJ)
    ("pip", "p", 0, "aspirated"),
    ("test", "t", 0, "aspirated"),
    ("kick", "k", 0, "aspirated"),
    # approximants partly voiceless after initial p t k: play, twin, cue (LJ)
    ("play", "l", 0, "devoiced"),
    ("twin", "w", 0, "devoiced"),
    ("cue", "j", 0, "devoiced"),
    # stops unexploded before stops: act, apt (LJ)
    ("act", "k", 0, "unreleased"),
    ("apt", "p", 0, "unreleased"),
    # glottal before syllabic nasal: beaten (LJ)
    ("beaten", "t", 0, "glottal"),
    ("button", "t", 0, "glottal"),
    # syllabic at the end of a word after an obstruent: leaden, panel is not (LJ); table, paddle (LJ)
    ("table", "l", 0, "syllabic"),
    ("sudden", "n", 0, "syllabic"),
    # tap before an unstressed vowel: fatty, data (LJ); matter, madder (K)
    ("fatty", "t", 0, "flap"),
    ("data", "t", 0, "flap"),
    ("matter", "t", 0, "flap"),
    ("madder", "d", 0, "flap"),
    ("little", "t", 0, "flap"),
    # alveolars dental before dentals: eighth, tenth, wealth (LJ)
    ("eighth", "t", 0, "dental"),
    ("tenth", "n", 0, "dental"),
    ("wealth", "l", 0, "dental"),
    # velars more front before front vowels: cap, kept, kit, key (LJ: increasingly front)
    ("key", "k", 0, "fronted"),
    ("gap gear", "ɡ", 1, "fronted"),
    # l velarised after a vowel or syllabic: file (LJ)
    ("file", "l", 0, "dark"),
    ("talc", "l", 0, "dark"),
    # vowels nasalised before a nasal in the syllable (LJv)
    ("ban", "æ", 0, "nasalised"),
    # voiced obstruents devoiced at the end of an utterance or before a voiceless sound: improve, add two (LJ)
    ("improve", "v", 0, "partly_devoiced"),
    ("add two", "d", 0, "partly_devoiced"),
    # t d before r: tr- dr- with friction and further back (C: tree, dry)
    ("tree", "t", 0, "affricated"),
    ("dry", "d", 0, "retracted"),
    # identical consonants: big game, top post (LJ)
    ("big game", "ɡ", 0, "long"),
    ("top post", "p", 0, "long"),
    # nasal and lateral release: sadden, hidden (LJ); handle (C)
    ("hidden", "d", 0, "nasal_release"),
    ("handle", "d", 0, "lateral_release"),
    # nt before an unstressed vowel: winter like winner (LJ)
    ("winter", "n", 0, "flap"),
]
HAS_NOT = [
    # no aspiration after s: spew, stew, skew (LJ)
    ("spin", "p", 0, "aspirated"),
    ("stop", "t", 0, "aspirated"),
    ("sky", "k", 0, "aspirated"),
    # no aspiration before an unstressed vowel inside a word: happy (C)
    ("happy", "p", 0, "aspirated"),
    # no tap before a stressed vowel: attack (LJ); attain, detain (K)
    ("attack", "t", 0, "flap"),
    ("hotel", "t", 0, "flap"),
    ("adopt", "d", 0, "flap"),
    # l clear before a vowel: life (LJ)
    ("life", "l", 0, "dark"),
    # no devoiced approximant after s + stop (C: spray, split)
    ("spray", "ɹ", 0, "devoiced"),
    ("split", "l", 0, "devoiced"),
    # stop released before a fricative or a vowel (C)
    ("cups", "p", 0, "unreleased"),
    ("stop it", "p", 0, "unreleased"),
    # compounds: no affrication over the joint (C: bedroom)
    ("bedroom", "d", 0, "affricated"),
    # back vowel: no fronting (LJ)
    ("cool", "k", 0, "fronted"),
    ("London", "n", 1, "syllabic"),
]


@pytest.mark.parametrize(("text", "phoneme", "which", "feature"), HAS)
def test_rule_applies(text: str, phoneme: str, which: int, feature: str) -> None:
    found = sound(text, phoneme, which=which)
    assert feature in found.features
    assert found.rules


@pytest.mark.parametrize(("text", "phoneme", "which", "feature"), HAS_NOT)
def test_rule_does_not_apply(text: str, phoneme: str, which: int, feature: str) -> None:
    assert feature not in sound(text, phoneme, which=which).features


@pytest.mark.parametrize(
    ("text", "phoneme", "target"),
    [
        ("city", "t", "ɾ"),
        ("body", "d", "ɾ"),
        ("kitten", "t", "ʔ"),
        ("feel", "l", "ɫ"),
        ("leaf", "l", "l"),
        ("tree", "t", "t"),  # drawn as t, so that tree is not read as chew (common practice)
        ("dry", "d", "d"),
        ("ahead", "h", "ɦ"),
        ("winter", "n", "ɾ"),
    ],
)
def test_what_is_drawn(text: str, phoneme: str, target: str) -> None:
    assert sound(text, phoneme).target == target


@pytest.mark.parametrize(
    ("text", "narrow"),
    [
        # A phonetician's correction of ours: k is not released before p.
        ("backpack", "[ˈbæk̚ˌpʰæk]"),
        # Textbook transcriptions (L&J, C, K), from memory, with our retracted tr dr.
        ("pie", "[pʰaɪ]"),
        ("spy", "[spaɪ]"),
        ("play", "[pl̥eɪ]"),
        ("tree", "[t̠ɹ̥i]"),
        ("dry", "[d̠ɹaɪ]"),
        ("apt", "[æp̚t]"),
        ("city", "[ˈsɪɾi]"),
        ("potato", "[pʰəˈtʰeɪɾoʊ]"),
        ("button", "[ˈbʌʔn̩]"),
        ("bottle", "[ˈbɑɾɫ̩]"),
        ("leaf", "[lif]"),
        ("feel", "[fiɫ]"),
        ("minibar", "[ˈmɪniˌbɑɹ]"),
        ("did you", "[ˈdɪdʒ ə]"),
        ("in Paris", "[ɪ̃m ˈpʰɛɹɪs]"),
        ("get it", "[ˈɡɛɾ ɪt]"),
    ],
)
def test_whole_transcriptions(text: str, narrow: str) -> None:
    assert read(text).transcription == unicodedata.normalize("NFD", narrow)


def test_final_release_is_an_option() -> None:
    assert "unreleased" not in sound("book", "k").features
    assert "unreleased" in sound("book", "k", Options(final_unreleased=True)).features


def test_careful_style_releases_and_keeps_words_apart() -> None:
    careful = Options(careful=True)
    assert "unreleased" in sound("backpack", "k").features
    assert "unreleased" not in sound("backpack", "k", careful).features
    assert [s.target for s in read("did you", careful).sounds] == ["d", "ɪ", "d", "j", "ə"]
    assert "flap" not in sound("winter", "n", careful).features


def test_unconnected_words_do_not_touch() -> None:
    assert "unreleased" in sound("hot bath", "t").features
    assert "unreleased" not in sound("hot bath", "t", Options(connected=False)).features


def test_a_pause_parts_words() -> None:
    joined, parted = read("hot bath"), read("hot, bath")
    assert joined.pauses_after == (5,)
    assert parted.pauses_after == (2, 5)
    assert "unreleased" not in sound("hot, bath", "t").features
    assert " | " in parted.transcription


@pytest.mark.parametrize(
    ("text", "word", "sounds"),
    # Weak forms: Cruttenden, table of weak forms, from memory.
    [
        ("the key", 0, "ð ə"),
        ("in the", 1, "ð ə"),
        ("the elevator", 0, "ð i"),
        ("a key", 0, "ə"),
        ("to go", 0, "t ə"),
        ("what for", 1, "f ɔ ɹ"),
        ("a key for you", 2, "f ɚ"),
        ("bread and butter", 1, "ə n"),
    ],
)
def test_weak_forms(text: str, word: int, sounds: str) -> None:
    assert [s.phoneme for s in read(text).sounds if s.word == word] == sounds.split()


def test_a_pronoun_bears_no_stress_in_a_phrase() -> None:
    # Content words are stressed, pronouns are not (L&J, chapter on stress, from memory).
    assert read("can I help you").transcription == unicodedata.normalize("NFD", "[kʰə̃n aɪ ˈhɛɫp jə]")
    assert read("I").sounds[0].stress == 1


def test_ipa_is_taken_as_given() -> None:
    said = read("[ˈbæk̚ˌpʰæk]")
    assert said.transcription == unicodedata.normalize("NFD", "[ˈbæk̚ˌpʰæk]")
    assert [s.target for s in said.sounds] == list("bækpæk")
    assert [s.stress for s in said.sounds] == [None, 1, None, None, 2, None]
    assert [s.syllable for s in said.sounds] == [0, 0, 0, 1, 1, 1]
    assert "unreleased" in said.sounds[2].features
    assert "aspirated" in said.sounds[3].features
    assert not any(s.rules for s in said.sounds)
    # No rule touches it: a coach may ask for a wrong form.
    assert [s.target for s in read("[sɪti]").sounds] == list("sɪti")


def test_phonemes_get_the_rules() -> None:
    assert read("/ˈsɪti/").transcription == read("city").transcription
    assert read("/ˈbʌtən/").transcription == read("button").transcription
    assert read("/kæt/").sounds[1].stress == 1


def test_unknown_words_can_be_guessed() -> None:
    said = read("blorf towel", guess=lambda word: Pronunciation.parse("B L AO1 R F", "guessed"))
    assert said.guessed == ("blorf",)
    assert said.words == ("blorf", "towel")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "the text is empty"),
        (" \t\n", "the text is empty"),
        ("...", "only punctuation"),
        ("'", "only punctuation"),
        ("?!\u2014", "only punctuation"),
        ("tow\u0435l", r"mixed alphabets: '\u0435' \(CYRILLIC SMALL LETTER IE\) at position 4"),
        (
            "\u03c9",
            r"'\u03c9' \(GREEK SMALL LETTER OMEGA\) at position 1 is not a letter of the Latin alphabet",
        ),
        ("\u0442", "is not a letter of the Latin alphabet"),
        ("\u623f\u95f4", "is not a letter of the Latin alphabet"),
        ("\u03b8\u026an", r"'\u03b8' \(GREEK SMALL LETTER THETA\) at position 1 is IPA; put IPA between"),
        ("the 1990s", "'1990s' at position 5 cannot be read as a number; write it in words"),
        ("12,50", "a comma parts groups of three digits"),
        ("1" * 13, "has 13 digits; at most 12"),
        ("\u00bd", "is a digit of another kind"),
        ("\u0663", "is a digit of another kind"),
        ("a" * 201, "201 characters; at most 200"),
        ("bad/good", "IPA must fill the whole text"),
        ("say [t] now", "IPA must fill the whole text"),
        ("x@y", r"'@' \(COMMERCIAL AT\) at position 2 cannot be read"),
        ("a\x00b", "U\\+0000 at position 2 cannot be read"),
        ("\U0001f600", "GRINNING FACE"),
        ("[t", r"no matching '\]'"),
        ("t]", r"no matching '\['"),
        ("/t", "no matching '/'"),
        ("[", r"no matching '\]'"),
        ("/", "no matching '/'"),
        ("[]", "no sound in it"),
        ("//", "no sound in it"),
        ("[ \u02c8 ]", "no sound in it"),
        ("[ta\u02c8]", "stress mark '\u02c8' at position 4 has no sound after it"),
        ("[\u02b0a]", "position 2 has no sound before it"),
        ("[t\u2206]", r"'\u2206' \(INCREMENT\) at position 3 is not an IPA symbol"),
        ("[\u0278a]", "at position 2 is IPA but not in the English inventory"),
        ("/\u027e/", "is no phoneme of English; write it between"),
        ("xqzzvqqx", "word 'xqzzvqqx' is not in the dictionary, and a word without a vowel letter is not guessed"),
        ("ba" * 16, "has 32 letters and is not in the dictionary"),
        ("stra\u00dfe", r"'\u00df' \(LATIN SMALL LETTER SHARP S\) at position 5 is not a letter of English"),
        ("hello [t]", r"'\[' at position 7 of 'hello \[t\]': IPA must fill the whole text"),
        ("[ta]]", r"'\]' at position 4 stands inside \[ \]"),
        ("/t/ /t/", "'/' at position 3 stands inside / /"),
        ("[t/", r"'\[' at position 1 of '\[t/' has no matching '\]'"),
        ("[t\u0361]", "tie bar at position 3 joins 't' to nothing"),
        ("[\u0361t]", "position 2 has no sound before it"),
        ("record/9", "'9' is no reading of 'record'; allowed: record/noun"),
        ("record/adverb", "'adverb' is no reading of 'record'"),
        ("blorf/2", "word 'blorf' is not in the dictionary.*no reading '2'"),
        ("\u200b\u200e", "the text is empty"),
    ],
)
def test_bad_input_is_one_clear_line(text: str, message: str) -> None:
    with pytest.raises(BadInput, match=message) as caught:
        read(text)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 230


@pytest.mark.parametrize("text", ["hmm", "shh", "[s]", "/s/", "a", "the", "I", "[n\u0329]", "caf\u00e9", "two; two"])
def test_degenerate_but_good(text: str) -> None:
    check(read(text))


def check(said) -> None:
    """What must hold for any utterance."""
    assert said.sounds
    assert said.pauses_after[-1] == len(said.sounds) - 1
    assert said.transcription == unicodedata.normalize("NFD", said.transcription)
    syllables = [s.syllable for s in said.sounds]
    assert syllables == sorted(syllables)
    for s in said.sounds:
        assert s.target in phones()
        assert s.phoneme in phones()
        assert s.features <= FEATURES
        assert 0 <= s.word < len(said.words)
        assert (s.stress is None) is ("nucleus" not in s.features)


_IPA = "".join(phones()) + "ˈˌ.ːʰ̩̥̃̚ |g'"


@settings(deadline=None, max_examples=150)
@given(
    st.one_of(
        st.text(max_size=220),
        st.text(alphabet=_IPA, max_size=30).map(lambda text: f"[{text}]"),
        st.text(alphabet=_IPA, max_size=30).map(lambda text: f"/{text}/"),
        st.lists(
            st.sampled_from("the a to you did get it hot tub bad drop key-card front desk's , . ? what time".split()),
            max_size=8,
        ).map(" ".join),
    ),
    st.builds(
        Options,
        st.booleans(),
        st.booleans(),
        st.booleans(),
        st.frozensets(st.sampled_from(list(allophones.optional_rules()))),
    ),
)
def test_any_text_is_read_or_refused(text: str, options: Options) -> None:
    try:
        said = read(text, options)
    except BadInput as refused:
        assert "\n" not in str(refused)
    else:
        check(said)
