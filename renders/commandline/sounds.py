"""Sounds as they are named on the command line."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from articulators.errors import BadInput

if TYPE_CHECKING:
    from vocaltract.phonetics.inventory import SoundEntry


def sound_of(args: argparse.Namespace) -> SoundEntry | None:
    """The sound that SOUND and --as-in name; None where neither was typed. BadInput for what is no one sound."""
    from vocaltract.naming.marked import as_in
    from vocaltract.naming.named import named

    if args.as_in is not None:
        return as_in(args.as_in, args.sound or "")
    return None if args.sound is None else named(args.sound)


def taken(*entries: SoundEntry) -> str:
    """What was taken for the names that were typed, such as "θ as in thank"."""
    from vocaltract.naming.named import echo

    return "; ".join(map(echo, entries))


def two_sounds(args: argparse.Namespace) -> tuple[SoundEntry, SoundEntry]:
    """The sounds that A and B name; BadInput where they are the same."""
    from vocaltract.naming.named import named

    a, b = named(args.a), named(args.b)
    if a == b:
        raise BadInput(f"'{args.a}' and '{args.b}' are the same sound; name two different ones")
    return a, b
