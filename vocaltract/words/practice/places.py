"""Names of where a sound stands in a word and of how it is said there."""

from __future__ import annotations

from articulators.errors import BadInput, nearest

WORD_PLACES = {
    "initial": "the first sound of the word",
    "medial": "inside the word",
    "final": "the last sound of the word",
    "cluster": "beside another consonant of its syllable",
    "between-vowels": "between two vowels",
    "stressed": "in a stressed syllable",
    "unstressed": "in a syllable without stress",
    "plain": "said as itself: no flap, no held or other special release, voice as usual",
    "aspirated": "p, t or k with a puff of breath",
    "unaspirated": "p, t or k let go without a puff",
    "held": "kept shut before another stop: no release is heard",
    "flapped": "t or d as one quick tap",
    "glottal": "t cut off in the throat",
    "affricated": "t or d with friction before r",
    "nasal-release": "let go through the nose",
    "lateral-release": "let go over the sides of the tongue",
    "dental": "made at the teeth, before th",
    "fronted": "k or g further forward, before a front vowel",
    "dark": "l with the back of the tongue drawn back",
    "clear": "l without that",
    "syllabic": "a syllable by itself",
    "devoiced": "voice begins late or dies away",
    "nasalised": "a vowel or tap that goes through the nose as well",
    "short": "a vowel made shorter by a voiceless sound after it",
    "long": "one long hold for two equal sounds",
}
"""Name -> what it means, in the order in which they are listed."""

POSITIONS = ("initial", "medial", "final")

BY_FEATURE = {
    "aspirated": "aspirated",
    "weakly_aspirated": "aspirated",
    "unreleased": "held",
    "flap": "flapped",
    "glottal": "glottal",
    "affricated": "affricated",
    "nasal_release": "nasal-release",
    "lateral_release": "lateral-release",
    "dental": "dental",
    "fronted": "fronted",
    "dark": "dark",
    "syllabic": "syllabic",
    "devoiced": "devoiced",
    "partly_devoiced": "devoiced",
    "nasalised": "nasalised",
    "long": "long",
}
"""Feature of a sound in speech (`utterance.Sound.features`) -> the place whose words show it."""

ALIASES = {
    "beginning": "initial",
    "start": "initial",
    "middle": "medial",
    "end": "final",
    "unreleased": "held",
    "flap": "flapped",
    "tapped": "flapped",
    "tap": "flapped",
    "glottalised": "glottal",
    "glottalized": "glottal",
    "intervocalic": "between-vowels",
    "light": "clear",
    "nasalized": "nasalised",
    "nasal": "nasalised",
    "geminate": "long",
    "clipped": "short",
    "voiceless": "devoiced",
}


def places_of_feature(feature: str) -> str | None:
    """The place whose words show a feature of a sound (`utterance.Sound.features`), or None."""
    return BY_FEATURE.get("affricated" if feature == "retracted" else feature)


def word_place(given: str) -> str:
    """The name of a place as listed in WORD_PLACES, for a name or another word for it.

    Raises BadInput for an unknown one, naming the nearest.
    """
    plain = given.strip().lower().replace("_", "-").replace(" ", "-")
    name = ALIASES.get(plain, plain)
    if name not in WORD_PLACES:
        close = nearest(plain, [*WORD_PLACES, *ALIASES])
        raise BadInput(f"place '{given}' is unknown; allowed: {', '.join(WORD_PLACES)}{close}")
    return name
