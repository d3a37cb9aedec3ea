"""`vocaltract measure`: a sound in numbers."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.commandline.sounds import sound_of, taken
from renders.files.formats import PICTURE_ENDINGS

NAME = "measure"
ORDER = 90
WHAT = "formants, areas and narrowest place of a sound, in numbers"
EXAMPLE = 'vocaltract measure "long e" --json'
SIZE_PX = (1800, 760)


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_sound(parser, optional=True)
    arguments.add_areas(parser)
    arguments.add_plot(parser)
    arguments.add_look(parser, SIZE_PX)
    arguments.add_speaker(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.tables import measurement, tract_shape

    if args.areas is not None:
        given = (args.sound, args.as_in, args.plot, args.speaker)
        if any(value is not None for value in given):
            raise BadInput("--areas measures a given shape; leave SOUND, --as-in, --plot and --speaker out")
        values = tract_shape.resonances_of(args.areas, lossless=args.lossless, sound_speed_cm_s=args.sound_speed)
        if not args.json:
            print(tract_shape.resonances_text(values))
            return {"printed": True}
        return values
    sound = sound_of(args)
    if sound is None:
        raise BadInput("measure needs a SOUND, such as i or t, or --areas FILE")
    if args.lossless:
        raise BadInput("--lossless goes with --areas FILE")
    from renders.files.outputs import choose_path
    from vocaltract.phonetics.measured import measured

    out = None if args.plot is None else choose_path(args.plot, "", PICTURE_ENDINGS, args.force)
    found = measured(sound, args.sound_speed, args.speaker)
    if out is not None:
        from renders.tables.measurement_plot import write_plot

        title, size = f"[{sound.symbol}] {sound.name}", args.size or SIZE_PX
        write_plot(found, out, title=title, style=args.style, size=size, force=args.force)
    values = {"sound": sound.symbol, "taken": taken(sound), **measurement.measurement_values(found)}
    if not args.json:
        print(f"{taken(sound)}\n{measurement.measurement_text(found)}")
        return {"printed": True}
    return values
