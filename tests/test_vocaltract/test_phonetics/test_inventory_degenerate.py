"""Every kind of bad input to the model in one matrix: one line each, what was given, what is allowed."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.head import Head, load_head
from articulators.posture import posture_from, posture_of
from articulators.records import parsed
from vocaltract.motion.playback import constant, dwelling
from vocaltract.motion.timeline import alone, timeline
from vocaltract.phonetics.inventory import sound
from vocaltract.phonetics.places import degree_mm
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.targets import target_of
from vocaltract.words.text.transcribe import read
from vocaltract.words.utterance import Utterance

NOTHING = Utterance("", (), (), "[]")
# (what is wrong, the call, a piece of what must be said)
MATRIX: list[tuple[str, Callable[[], object], str]] = [
    ("a head without tables", lambda: parsed("", Head, "empty.toml"), "is missing"),
    ("a head file that is not there", lambda: load_head(Path("no such head.toml")), "no such head.toml"),
    ("a head file that is a folder", lambda: load_head(Path(".")), "head file ."),
    ("a posture part that is none", lambda: posture_of(nose_mm=1.0), "'nose_mm'"),
    ("a part below its range", lambda: posture_of(jaw_mm=-3.0), "allowed is -2 to 24 mm"),
    ("a part above its range", lambda: posture_of(velum=1.1), "allowed is 0 to 1"),
    ("a part that is no number", lambda: posture_of(velum=math.nan), "velum is nan"),
    ("an endless part", lambda: posture_of(jaw_mm=math.inf), "jaw_mm is inf"),
    ("a vector that is too short", lambda: posture_from(np.zeros(3)), "shape (3,)"),
    ("no sound", lambda: sound(""), "no sound given"),
    ("a blank sound", lambda: sound(" \t"), "no sound given"),
    ("empty brackets", lambda: sound("[]"), "'[]'"),
    ("an unknown sound", lambda: sound("zzh"), "'zzh'"),
    ("another alphabet", lambda: sound("д"), "'д'"),
    ("an endless name", lambda: sound("p" * 100_000), "'ppp"),
    ("a name over two lines", lambda: sound("p\nb"), "p\\nb"),
    ("a name with a null", lambda: sound("\0"), "\\x00"),
    ("an unknown posture", lambda: posture("qq"), "'qq'"),
    ("half of a mixture", lambda: posture("i+"), "''"),
    ("an unknown target", lambda: target_of("ʘ"), "'ʘ'"),
    ("an unknown degree", lambda: degree_mm("close"), "nearest: closed"),
    ("speed nought", lambda: constant(1.0, 0.0), "speed 0 "),
    ("speed backwards", lambda: constant(1.0, -1.0), "speed -1 "),
    ("speed that is no number", lambda: constant(1.0, math.nan), "speed nan"),
    ("a dwelling at an absurd speed", lambda: dwelling(1.0, 99.0, [0.5]), "speed 99"),
    ("nothing to say", lambda: timeline(NOTHING), "no sound"),
    ("an unknown style", lambda: timeline(alone("t"), style="slow"), "'slow'"),
    ("an empty text", lambda: read(""), ""),
    ("an unknown word", lambda: read("qqzzxx"), "qqzzxx"),
]


@pytest.mark.parametrize(("call", "said"), [row[1:] for row in MATRIX], ids=[row[0] for row in MATRIX])
def test_bad_input_is_refused_in_one_line(call: Callable[[], object], said: str) -> None:
    with pytest.raises(BadInput) as caught:
        call()
    message = str(caught.value)
    assert said in message
    assert message
    assert len(message.splitlines()) == 1
    assert len(message) <= 500
    assert caught.value.exit_status == 2
