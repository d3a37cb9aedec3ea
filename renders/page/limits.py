"""The limits by which the page's script decides what it draws: those of the model, handed on."""

from __future__ import annotations

from vocaltract.airway import limits as airway
from vocaltract.airway.air import speech_air
from vocaltract.motion.limits import motion_limits


def drawn_from() -> dict[str, float]:
    """By name with unit: sides of the tongue open, midline shut, flow and pressure drawn, folds together, and so on."""
    way, facts = airway.airway_limits(), motion_limits()
    return {
        "sides_share": way.sides.open_from,
        "seam_mm": way.seam.width_mm,
        "seam_above": way.seam.above_gridline,
        "flow_ml_s": facts.flow.shown_ml_s,
        "full_ml_s": facts.flow.full_ml_s,
        "pressure_share": facts.pressure.shown_share,
        "voice_share": facts.voice.vibrates_from,
        "folds_mm": speech_air().glottis.voicing_gap_mm,
        "burst_s": facts.burst.lasts_s,
    }
