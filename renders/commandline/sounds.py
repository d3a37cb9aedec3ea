"""Sounds as they are named on the command line."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput


def one_sound(name: str) -> str:
    """Symbol of a sound of the inventory, or one in brackets for any other; BadInput where it is no sound."""
    from vocaltract.phonetics.inventory import name_of, sound

    return name_of(sound(name))


def two_sounds(args: argparse.Namespace) -> tuple[str, str]:
    """Symbols of A and B; BadInput where they are the same sound."""
    a, b = one_sound(args.a), one_sound(args.b)
    if a == b:
        raise BadInput(f"'{args.a}' and '{args.b}' are the same sound; name two different ones")
    return a, b
