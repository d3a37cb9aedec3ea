"""A real recording with published phone labels."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from renders.files.recorded import read_recording
from vocaltract.recording.recording import Recording

FOLDER = Path(__file__).parents[2] / "reference" / "arctic"
TEXT = "He turned sharply, and faced Gregson across the table"
IPA = "[hi ˈtɝnd ˈʃɑɹpli ənd ˈfeɪst ˈɡɹɛɡsən əˈkɹɔs ðə ˈteɪbəl]"
"""The sounds that the labels name."""


@cache
def recording() -> Recording:
    """A woman's voice, 3 s at 16 kHz."""
    return read_recording(FOLDER / "arctic_a0009.wav")


def labels() -> list[tuple[float, float, str]]:
    """Start and end in seconds, and name of every phone; silence at the ends left out."""
    lines = (FOLDER / "arctic_a0009.csv").read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return [(float(row["start_s"]), float(row["end_s"]), row["phone"]) for row in rows if row["phone"] != "sil"]
