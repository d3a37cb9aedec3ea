"""All sounds solved at once: each is counted, each fault is told by its sound, and progress comes to the end."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.posture import Posture, posture_of
from vocaltract.ipa.english import phones
from vocaltract.phonetics import solve_all
from vocaltract.phonetics.inventory import entries
from vocaltract.phonetics.postures import english_keys
from vocaltract.phonetics.speaker import Speaker, man


def test_the_keys_are_those_that_the_sounds_of_english_are_made_of() -> None:
    """Every phone of the General American inventory (data/english.toml) is among them, or a mixture of them."""
    keys = set(english_keys())
    made_of = [key for symbol in phones() if symbol in entries() for key in entries()[symbol].posture]
    asked = {part for key in made_of for part in key.split("+")}
    assert asked - {"next"} <= keys and {"rest", "ə"} <= keys and len(english_keys()) == len(keys)


def test_faults_are_told_by_sound_and_the_rest_is_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    def made(key: str, speaker: Speaker) -> Posture:
        if key in ("s", "k"):
            raise BadInput(f"{speaker.name}: [{key}] cannot be made")
        return posture_of()

    monkeypatch.setattr(solve_all, "posture", made)
    told: list[tuple[int, int]] = []
    found = solve_all.solve_english(man(), lambda done, total: told.append((done, total)))
    count = len(english_keys())
    assert found.faults == {"k": "man: [k] cannot be made", "s": "man: [s] cannot be made"}
    assert found.solved == count - 2 and told == [(n, count) for n in range(1, count + 1)]
