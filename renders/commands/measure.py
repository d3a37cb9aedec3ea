"""`vocaltract measure`: a sound in numbers."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.files.formats import PICTURE_ENDINGS

NAME = "measure"
ORDER = 90
WHAT = "formants, areas and narrowest place of a sound, in numbers"
EXAMPLE = "vocaltract measure i --json"
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
        if args.sound is not None or args.plot is not None or args.speaker is not None:
            raise BadInput("--areas measures a given shape; leave SOUND, --plot and --speaker out")
        values = tract_shape.resonances_of(args.areas, lossless=args.lossless, sound_speed_cm_s=args.sound_speed)
        if not args.json:
            print(tract_shape.resonances_text(values))
            return {"printed": True}
        return values
    if args.sound is None:
        raise BadInput("measure needs a SOUND, such as i or t, or --areas FILE")
    if args.lossless:
        raise BadInput("--lossless goes with --areas FILE")
    from renders.files.outputs import choose_path
    from vocaltract.phonetics.measured import measured

    out = None if args.plot is None else choose_path(args.plot, "", PICTURE_ENDINGS, args.force)
    entry, found = measured(args.sound, args.sound_speed, args.speaker)
    if out is not None:
        from renders.tables.measurement_plot import write_plot

        write_plot(found, out, title=f"[{entry.symbol}] {entry.name}", style=args.style, size=args.size or SIZE_PX)
    values = {"sound": entry.symbol, **measurement.measurement_values(found)}
    if not args.json:
        print(measurement.measurement_text(found))
        return {"printed": True}
    return values
