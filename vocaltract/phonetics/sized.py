"""What is said of the adult man's mouth, for a head of another size: targets, wishes of the search, starting shapes.

Lengths grow with the mouth and, for heights in the throat, with the throat; a wish that is so much per mm weighs less
in a larger mouth, so that heads of one shape and different sizes find postures of one shape. On the man's head
everything is as it is said. What air decides does not grow: the gap of a hiss, and the least area that does not hiss
(see `places.degree_mm` and `places.lip_posture`).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from msgspec.structs import replace

from articulators.head import Head, adult_male
from articulators.posture import parts, posture_of
from articulators.section import section
from vocaltract.airway.areas import tract_areas
from vocaltract.phonetics.targets import Target
from vocaltract.phonetics.vowel_targets import VowelTarget
from vocaltract.phonetics.wishes import ConsonantWishes, ThroatWish, VowelWishes, wishes


def target_on(target: Target, head: Head) -> Target:
    """A target as it is asked of a head."""
    size = head.size
    return replace(
        target,
        jaw_mm=target.jaw_mm * size,
        body_drop_mm=_all(target.body_drop_mm, size),
        tip_at_mm=_all(target.tip_at_mm, size),
        throat_mm=target.throat_mm * size,
        shift_mm=target.shift_mm * size,
        larynx_mm=target.larynx_mm * head.head_of.throat,
        formants_hz=tuple(hz * shorter(head) for hz in target.formants_hz),
        throat_cm2=target.throat_cm2 * size**2,
    )


@lru_cache(maxsize=8)
def shorter(head: Head) -> float:
    """How many times shorter the tract of a head is than the adult man's, with the tongue and lips of a neutral vowel.

    Resonances go with the inverse of the length (Chiba & Kajiyama 1941; Fant 1960).
    """
    man, own = (float(tract_areas(section(h, posture_of(**parts_on({}, h)))).total_cm) for h in (adult_male(), head))
    return man / own


def vowel_on(target: VowelTarget, head: Head) -> VowelTarget:
    """A vowel's target as it is asked of a head; its formants are the speaker's."""
    size = head.size
    return replace(
        target,
        jaw_mm=target.jaw_mm * size,
        aperture_mm=target.aperture_mm * size,
        throat_cm2=_without_hiss(target.throat_cm2 * size**2),
        gap_mm=target.gap_mm * size,
    )


def parts_on(named: Mapping[str, float], head: Head) -> dict[str, float]:
    """Parts of a posture of the man's, those in mm for a head."""
    grows = {part.name: head.size if part.unit == "mm" else 1.0 for part in parts()}
    grows["larynx_mm"] = head.head_of.throat
    return {name: value * grows[name] for name, value in named.items()}


@lru_cache(maxsize=8)
def consonant_wishes(head: Head) -> ConsonantWishes:
    """What the search for a consonant weighs on a head."""
    own, size = wishes().consonant, head.size
    return replace(
        own,
        place=own.place / size,
        clear=own.clear / size,
        clear_mm=own.clear_mm * size,
        window_edge_mm=own.window_edge_mm * size,
        bend=own.bend / size,
        drop=own.drop / size,
        drop_at_mm=_all(own.drop_at_mm, size),
        effort_mm=own.effort_mm * size,
        effort_of_mm=parts_on(own.effort_of_mm, head),
        effort_far_back_mm=parts_on(own.effort_far_back_mm, head),
        throat_mm=own.throat_mm * size,
        throat=_throat(own.throat, head),
        throat_asked=_throat(own.throat_asked, head),
        tip=own.tip / size,
        low_tip=(own.low_tip[0] / size, own.low_tip[1] / size),
        low_tip_x_mm=own.low_tip_x_mm * size,
        low_tip_above_rim_mm=own.low_tip_above_rim_mm * size,
        corner_span_mm=own.corner_span_mm * size,
        corner_tip_mm=own.corner_tip_mm * size,
        sonorant=replace(
            own.sonorant,
            allowance_of=parts_on(own.sonorant.allowance_of, head),
            elsewhere=own.sonorant.elsewhere / size,
            elsewhere_mm=own.sonorant.elsewhere_mm * size,
            narrow=own.sonorant.narrow / size**2,
            least_throat_cm2=max(own.sonorant.least_throat_cm2 * size**2, own.sonorant.least_mouth_cm2),
        ),
    )


@lru_cache(maxsize=8)
def vowel_wishes(head: Head) -> VowelWishes:
    """What the search for a vowel weighs on a head."""
    own, size = wishes().vowel, head.size
    return replace(
        own,
        allowance=own.allowance * size,
        allowance_of=parts_on(own.allowance_of, head),
        bend=own.bend / size,
        tip=(own.tip[0] / size, own.tip[1] / size),
        tip_behind_rim_mm=own.tip_behind_rim_mm * size,
        tip_below_rim_mm=own.tip_below_rim_mm * size,
        gap=own.gap / size,
        gap_mm=own.gap_mm * size,
        uvula=own.uvula / size,
        uvula_mm=own.uvula_mm * size,
    )


def _without_hiss(area_cm2: float) -> float:
    """An area, or the least that the mouth of a vowel may have where that is more."""
    return max(area_cm2, wishes().vowel.least_mouth_cm2)


def _throat(wish: ThroatWish, head: Head) -> ThroatWish:
    return replace(wish, weight=wish.weight / head.size, levels_mm=_all(wish.levels_mm, head.head_of.throat))


def _all(lengths_mm: tuple[float, ...], size: float) -> tuple[float, ...]:
    return tuple(length * size for length in lengths_mm)
