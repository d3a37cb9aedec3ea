"""Solve every target on the shipped head and write the table that the package carries.

Run ``python -m vocaltract.phonetics.build`` after a change of targets, places, head or solver; a test
solves again and compares.
"""

from __future__ import annotations

import contextlib
import hashlib
import unicodedata
from importlib import resources
from pathlib import Path

from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.posture import Posture, parts
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics import rules, vowels
from vocaltract.phonetics.places import places
from vocaltract.phonetics.rule_table import rule_table
from vocaltract.phonetics.shipped import shipped, starting
from vocaltract.phonetics.solver import SOLVER_VERSION, solve
from vocaltract.phonetics.targets import targets

INPUTS = (
    ("articulators", "data/adult_male.toml"),
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


def inputs_hash() -> str:
    """SHA-256 of all that the solved table depends on, the solver's version included."""
    digest = hashlib.sha256(f"solver {SOLVER_VERSION} vowels {vowels.VOWELS_VERSION}\n".encode())
    for package, file in INPUTS:
        digest.update(resources.files(package).joinpath(file).read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def solved_targets() -> dict[tuple[str, ...], Posture]:
    """Every target solved on the shipped head; nasals of its mouth take its tongue and lips."""
    head = adult_male()
    out: dict[tuple[str, ...], Posture] = {}
    by_symbol: dict[str, Posture] = {}
    for target in targets():
        out[target.symbols] = solve(target, head)
        if target.nasals:
            out[target.nasals] = out[target.symbols].with_parts(velum=places().velum.lowered_by["lowered"])
        by_symbol.update(dict.fromkeys(target.symbols, out[target.symbols]))
    for vowel in vowels.vowel_targets():
        start = by_symbol[vowel.start] if vowel.start else starting(vowel.symbol)
        out[(vowel.symbol,)] = vowels.fit(vowel, head, start, _before(vowel.symbol))
    for symbols in rule_table().variant.shipped:
        names = tuple(unicodedata.normalize("NFD", s) for s in symbols)
        out[names] = solve(rules.target(parse(names[0])), head)
    return out


def _before(symbol: str) -> Posture | None:
    """The posture that the table holds now; None where there is none that can be read."""
    with contextlib.suppress(BadInput):
        return shipped(symbol)
    return None


def solved_table() -> str:
    """The solved postures as TOML, rounded to 0.001 mm; neutral parts are left out."""
    lines = [
        "# Written by `python -m vocaltract.phonetics.build`; do not edit.",
        'unit = "of each part, as in posture.toml"',
        'source = "solved from targets.toml, rules.toml and places.toml on adult_male.toml"',
        'status = "computed"',
        f'inputs_sha256 = "{inputs_hash()}"',
    ]
    for symbols, posture in solved_targets().items():
        lines += ["", "[[posture]]", "symbols = [" + ", ".join(f'"{s}"' for s in symbols) + "]"]
        values = ((part, round(float(posture[part.name]), 3)) for part in parts())
        moved = (f"{part.name} = {value:g}" for part, value in values if value != part.neutral)
        lines.append("parts = { " + ", ".join(moved) + " }")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    path = Path(str(resources.files("vocaltract.phonetics").joinpath("data/solved.toml")))
    path.write_text(solved_table(), encoding="utf-8")
    print(f"wrote {path.name}")
