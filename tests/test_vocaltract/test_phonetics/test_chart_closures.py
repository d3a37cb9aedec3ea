"""Every stop, nasal, trill, tap and click of the chart is really shut in time, and by the organ its place names.

Places: chart of the IPA revised to 2020 (from memory). Closures are measured on the sections of the movement.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from articulators.head import adult_male
from articulators.section import section
from tests.test_vocaltract.spoken import by_itself
from vocaltract.airway.gaps import gaps
from vocaltract.ipa.alphabet import alphabet
from vocaltract.ipa.symbol import parse
from vocaltract.motion.closures import closures
from vocaltract.motion.schedule import schedule
from vocaltract.motion.timeline import alone
from vocaltract.phonetics.postures import posture

# who shuts what: lips (also against the teeth), front of the tongue (also against the upper lip), the rest down to the
# epiglottis, each by the columns of the chart
ORGAN = {
    "lips": ("bilabial", "labiodental"),
    "coronal": ("linguolabial", "dental", "alveolar", "postalveolar", "retroflex", "alveolo-palatal"),
    "dorsal": ("palatal", "velar", "uvular", "pharyngeal", "epiglottal"),
}
# [ʔ] shuts the folds; laterals that are no stops leave the sides open
LETTERS = [
    s
    for s, f in alphabet().letters.items()
    if f.way in ("plosive", "nasal", "trill", "tap", "click")
    or (f.way == "lateral click" or f.airstream == "implosive")
]
SHUT = [s for s in LETTERS if alphabet().letters[s].places != ("glottal",)]
MORE = ["t̼", "d̼", "n̼", "p̪", "b̪", "t̪", "d̪", "n̪", "t̠", "k̟", "pʼ", "tʼ", "kʼ", "qʼ", "t͡s", "t͡ɕ", "p͡f", "k͡x", "k͡p", "ŋ͡m"]
MORE += ["tʲ", "tˠ", "tˤ", "tʷ", "pʷ", "ɡ̊", "t̪ʰ"]


def organs(symbol: str) -> set[str]:
    """The organs that the places of a symbol name."""
    places = parse(symbol).places if parse(symbol).manner != "affricate" else parse(symbol).places[:1]
    return {organ for organ, names in ORGAN.items() if set(places) & set(names)}


def test_the_table_is_the_whole_chart() -> None:
    """The symbols that an earlier measure missed are among those tried; the chart has 36 (counted on it)."""
    assert {"ɱ", "ⱱ", "ǁ", "ʡ", "ʘ", "ɓ", "ʛ", "ɴ", "ʙ", "ɾ"} <= set(SHUT)
    assert len(SHUT) == 36


@pytest.mark.parametrize("symbol", [*SHUT, *MORE])
def test_closure_is_measured_at_its_place(symbol: str) -> None:
    made = by_itself(symbol)
    hold = made.spans[0].hold_s
    middle = sum(hold) / 2
    shut = {c.organ for c in made.closures if c.start_s <= middle <= c.end_s}
    assert shut & organs(symbol), f"shut at mid hold by {shut or 'nothing'}"
    assert hold[1] - hold[0] >= 0.015


@pytest.mark.parametrize("symbol", ["ɱ", "ʡ", "t̼", "p"])
def test_measure_sees_a_closure_that_is_opened(symbol: str) -> None:
    """The same plan over a mouth that stays as for [ə] has no closure."""
    plan = schedule(alone(symbol), alone=True)
    times = np.arange(0.0, plan.duration_s, 0.01)
    wide = gaps(section(adult_male(), posture("ə")))

    def open_mouth(at: np.ndarray) -> object:
        return replace(wide, **{f: np.full(len(at), float(getattr(wide, f))) for f in wide.__dataclass_fields__})

    assert closures(plan, times, open_mouth(times), open_mouth) == ()  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("symbol", "field"), [("ɱ", "teeth"), ("ⱱ", "teeth"), ("ʡ", "leaf"), ("t̼", "coronal"), ("ǁ", "dorsal")]
)
def test_it_is_the_named_parts_that_touch(symbol: str, field: str) -> None:
    """Lower lip on teeth, epiglottis on the throat wall, tip on the upper lip; lips and tongue elsewhere stay apart."""
    found = gaps(section(adult_male(), posture(symbol)))
    assert float(getattr(found, field)) == 0.0
    assert float(found.lips) > 0.0


@pytest.mark.parametrize("symbol", ["f", "v", "θ", "ʋ", "ħ", "ʕ", "ʜ", "ʢ", "ɑ", "ɔ", "w", "ʍ"])
def test_open_sounds_have_no_closure(symbol: str) -> None:
    assert by_itself(symbol).closures == ()


@pytest.mark.parametrize(
    ("symbol", "both"),
    [
        ("k͡p", "lips dorsal"),
        ("ŋ͡m", "lips dorsal"),
        ("ʘ", "lips dorsal"),
        ("ǃ", "coronal dorsal"),
        ("ǁ", "coronal dorsal"),
    ],
)
def test_sounds_with_two_closures_have_both(symbol: str, both: str) -> None:
    """Ladefoged & Maddieson 1996 (from memory): both are shut in the middle of the hold."""
    made = by_itself(symbol)
    middle = sum(made.spans[0].hold_s) / 2
    assert {c.organ for c in made.closures if c.start_s <= middle <= c.end_s} == set(both.split())
