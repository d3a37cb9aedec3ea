"""Data files of airway, phonetics and motion: a misspelt key or a row without source is refused."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

import pytest

from articulators.errors import BadInput
from tests.data_faults import DataFile, Fault, faults, unsourced
from vocaltract.airway import limits as airway
from vocaltract.airway.air import SpeechAir
from vocaltract.airway.area_rules import AreaRules
from vocaltract.airway.losses import Acoustics
from vocaltract.motion import limits as motion
from vocaltract.motion.effort import Effort
from vocaltract.motion.timing import Timing
from vocaltract.pairs.least import LeastDifference
from vocaltract.phonetics.inventory import Inventory
from vocaltract.phonetics.places import Places
from vocaltract.phonetics.rule_table import RuleTable
from vocaltract.phonetics.shipped import SolvedPostures, StartingPostures
from vocaltract.phonetics.speaker import SPEAKERS, SpeakerTable
from vocaltract.phonetics.targets import Targets
from vocaltract.phonetics.vowel_targets import VowelTargets
from vocaltract.phonetics.wishes import Wishes
from vocaltract.recording.fit import FitTable
from vocaltract.recording.recording_rules import RecordingRules
from vocaltract.sound.hearing import Levels
from vocaltract.sound.loudness import LoudnessRules
from vocaltract.sound.sound_rules import SoundRules

FILES = (
    DataFile("vocaltract.airway", "air.toml", SpeechAir),
    DataFile("vocaltract.airway", "areas.toml", AreaRules),
    DataFile("vocaltract.airway", "acoustics.toml", Acoustics),
    DataFile("vocaltract.airway", "limits.toml", airway.AirwayLimits),
    DataFile("vocaltract.motion", "timing.toml", Timing),
    DataFile("vocaltract.motion", "effort.toml", Effort),
    DataFile("vocaltract.motion", "limits.toml", motion.MotionLimits),
    DataFile("vocaltract.pairs", "difference.toml", LeastDifference),
    DataFile("vocaltract.phonetics", "inventory.toml", Inventory),
    DataFile("vocaltract.phonetics", "places.toml", Places),
    DataFile("vocaltract.phonetics", "rules.toml", RuleTable),
    *(DataFile("vocaltract.phonetics", f"solved/{name}.toml", SolvedPostures) for name in SPEAKERS),
    DataFile("vocaltract.phonetics", "solver.toml", Wishes),
    *(DataFile("vocaltract.phonetics", f"speakers/{name}.toml", SpeakerTable) for name in SPEAKERS),
    DataFile("vocaltract.phonetics", "starting.toml", StartingPostures),
    DataFile("vocaltract.phonetics", "targets.toml", Targets),
    DataFile("vocaltract.phonetics", "vowels.toml", VowelTargets),
    DataFile("vocaltract.recording", "fit.toml", FitTable),
    DataFile("vocaltract.recording", "recording.toml", RecordingRules),
    DataFile("vocaltract.sound", "levels.toml", Levels),
    DataFile("vocaltract.sound", "loudness.toml", LoudnessRules),
    DataFile("vocaltract.sound", "sound.toml", SoundRules),
)


@pytest.mark.parametrize("package", sorted({file.package for file in FILES}))
def test_every_file_is_looked_at(package: str) -> None:
    data = Path(str(resources.files(package).joinpath("data")))
    there = {file.relative_to(data).as_posix() for file in data.rglob("*") if file.is_file()}
    assert there == {file.name for file in FILES if file.package == package}


@pytest.mark.parametrize("fault", [fault for file in FILES for fault in faults(file)], ids=str)
def test_a_planted_fault_is_refused_with_file_key_and_what_is_allowed(fault: Fault) -> None:
    with pytest.raises(BadInput) as caught:
        fault.read()
    assert str(caught.value).startswith(f"{fault.file.name}: ") and fault.message in str(caught.value)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_number_has_a_source(file: DataFile) -> None:
    assert unsourced(file.values(), file.kind) == []
