"""Solve every target for the speakers of the package and write the tables that it carries.

Run ``python -m vocaltract.phonetics.build [NAME ...]`` after a change of targets, places, a head or the solver; a test
solves again and compares.
"""

from __future__ import annotations

import hashlib
import sys
import unicodedata
from importlib import resources
from pathlib import Path

from articulators.posture import Posture, parts, posture_of
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics import rules, vowels
from vocaltract.phonetics.anchors import sized_shape
from vocaltract.phonetics.places import places
from vocaltract.phonetics.rule_table import rule_table
from vocaltract.phonetics.solver import SOLVER_VERSION, solve
from vocaltract.phonetics.speaker import SPEAKERS, Speaker, shipped_speaker
from vocaltract.phonetics.targets import targets
from vocaltract.phonetics.vowel_targets import vowel_targets

INPUTS = (
    ("articulators", "data/posture.toml"),
    ("vocaltract.phonetics", "data/targets.toml"),
    ("vocaltract.phonetics", "data/places.toml"),
    ("vocaltract.phonetics", "data/rules.toml"),
    ("vocaltract.ipa", "data/ipa.toml"),
    ("vocaltract.phonetics", "data/vowels.toml"),
    ("vocaltract.phonetics", "data/starting.toml"),
    ("vocaltract.phonetics", "data/solver.toml"),
    ("vocaltract.airway", "data/areas.toml"),
    ("vocaltract.airway", "data/acoustics.toml"),
)


def inputs_hash(speaker: str) -> str:
    """SHA-256 of all that the solved table of a speaker depends on, the solver's version included."""
    digest = hashlib.sha256(f"solver {SOLVER_VERSION} vowels {vowels.VOWELS_VERSION}\n".encode())
    own = ("articulators", f"data/{shipped_speaker(speaker).head.name}.toml")
    formants = ("vocaltract.phonetics", f"data/speakers/{speaker}.toml")
    for package, file in (own, formants, *INPUTS):
        digest.update(resources.files(package).joinpath(file).read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def solved_targets(speaker: Speaker) -> dict[tuple[str, ...], Posture]:
    """Every target solved for a speaker; nasals of its mouth take its tongue and lips."""
    out: dict[tuple[str, ...], Posture] = {}
    by_symbol: dict[str, Posture] = {}
    for target in targets():
        out[target.symbols] = solve(target, speaker.head)
        if target.nasals:
            out[target.nasals] = out[target.symbols].with_parts(velum=places().velum.lowered_by["lowered"])
        by_symbol.update(dict.fromkeys(target.symbols, out[target.symbols]))
    for vowel in vowel_targets():
        start = by_symbol[vowel.start] if vowel.start else sized_shape(vowel.symbol, speaker)
        out[(vowel.symbol,)] = found = vowels.fit(vowel, speaker, start)
        before = posture_of(**speaker.solved[vowel.symbol]) if vowel.symbol in speaker.solved else found
        if vowels.meets(vowel, speaker, before) and not vowels.meets(vowel, speaker, found):
            out[(vowel.symbol,)] = before  # the search ended in a worse place than it once did
            print(f"{speaker.name}: [{vowel.symbol}] is kept as it was")
    for symbols in rule_table().variant.shipped:
        names = tuple(unicodedata.normalize("NFD", s) for s in symbols)
        out[names] = solve(rules.target(parse(names[0])), speaker.head)
    return out


def solved_table(name: str) -> str:
    """The solved postures of a speaker as TOML, rounded to 0.001 mm; neutral parts are left out."""
    speaker = shipped_speaker(name)
    lines = [
        "# Written by `python -m vocaltract.phonetics.build`; do not edit.",
        'unit = "of each part, as in posture.toml"',
        f'source = "solved from targets.toml, rules.toml and speakers/{name}.toml on {speaker.head.name}.toml"',
        'status = "computed"',
        f'inputs_sha256 = "{inputs_hash(name)}"',
    ]
    for symbols, posture in solved_targets(speaker).items():
        lines += ["", "[[posture]]", "symbols = [" + ", ".join(f'"{s}"' for s in symbols) + "]"]
        values = ((part, round(float(posture[part.name]), 3)) for part in parts())
        moved = (f"{part.name} = {value:g}" for part, value in values if value != part.neutral)
        lines.append("parts = { " + ", ".join(moved) + " }")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    for name in sys.argv[1:] or SPEAKERS:
        path = Path(str(resources.files("vocaltract.phonetics").joinpath(f"data/solved/{name}.toml")))
        path.write_text(solved_table(name), encoding="utf-8")
        print(f"wrote {path.name}")
