"""The limits by which the page's script decides what it draws: those of the model, handed on."""

from __future__ import annotations

from vocaltract.motion.limits import motion_limits


def drawn_from() -> dict[str, float]:
    """By name with unit: from which share of full vibration the voice counts as on, how long a burst lasts."""
    facts = motion_limits()
    return {"voice_share": facts.voice.vibrates_from, "burst_s": facts.burst.lasts_s}
