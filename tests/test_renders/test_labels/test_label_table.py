"""Names of parts and what leaders cost: what the file says fits the organs, and faults are refused. A rule of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.posture import posture_of
from articulators.records import text_of
from articulators.section import section
from renders.anatomy.places import anchors
from renders.labels.table import LABELS_FILE, label_table, labels_by_part, read_label_table
from renders.wording.languages import language_of
from renders.wording.line import Line
from renders.wording.shipped import languages
from tests.planted import Planted, planted

TEXT = text_of("renders.labels", LABELS_FILE)
FAULTS = list(planted(TEXT, free=("crossing.organs_px",)))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        read_label_table(fault.text)
    assert str(caught.value).startswith("labels.toml: ") and fault.said in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('shown_with = "velum"', 'shown_with = "vellum"', "shown_with of soft_palate: 'vellum' is unknown; allowed: "),
        ('own = ["upper_lip"]', 'own = ["upper_lop"]', "own of upper_lip: 'upper_lop' is unknown; allowed: tongue, "),
        ('"nose_floor"] # lines', '"nose_flor"] # lines', "crossing.open: 'nose_flor' is unknown; allowed: tongue, "),
    ],
)
def test_a_name_that_is_none_is_refused(old: str, new: str, said: str) -> None:
    assert old in TEXT
    with pytest.raises(BadInput) as caught:
        read_label_table(TEXT.replace(old, new, 1))
    assert str(caught.value).startswith(f"labels.toml: {said}")


def test_every_part_has_a_place_and_every_outline_is_one() -> None:
    rest = section(adult_male(), posture_of())
    assert set(labels_by_part()) == set(anchors(rest))
    for organ in label_table().crossing.organs_px:
        assert rest[organ].shape[-1] == 2


def test_no_two_parts_have_the_same_name() -> None:
    for language in languages():
        for technical in (False, True):
            names = [language_of(language).say(Line(f"part.{part}"), technical) for part in labels_by_part()]
            assert len(set(names)) == len(names), language
