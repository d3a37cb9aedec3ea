"""`vocaltract still`: the picture of one sound, or of all."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.destinations import default_name, file_of, folder_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar
from renders.commandline.sounds import sound_of, taken
from renders.files.formats import PICTURE_ENDINGS

NAME = "still"
ORDER = 10
WHAT = "a labelled side view of one sound"
EXAMPLE = """vocaltract still ʃ --style dark
  vocaltract still l --hide spine,hyoid --labels technical --out l.pdf
  vocaltract still t --mirror --transparent"""
SIZE_PX = (1600, 1200)


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_sound(parser, optional=True)
    parser.add_argument("--all", action="store_true", help="every sound and three chart sheets, into the folder --out")
    arguments.add_labels(parser)
    arguments.add_parts(parser)
    arguments.add_facing(parser)
    arguments.add_look(parser, SIZE_PX)
    arguments.add_speaker(parser)
    arguments.add_language(parser)
    arguments.add_output(parser, file_of(NAME, PICTURE_ENDINGS) + "; with --all a folder")
    arguments.add_progress(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    if args.all:
        return _every(args)
    if args.show or args.hide:
        from renders.anatomy.layers import parts_to_draw

        parts_to_draw(args.show, args.hide or ())
    sound = sound_of(args)
    if sound is None:
        raise BadInput("still needs a SOUND, such as t or sh, or --all with --out FOLDER")
    from renders.files.outputs import choose_path
    from vocaltract.naming.named import name_of

    typed = args.sound or args.as_in
    out = choose_path(args.out, default_name("still", typed, ".png"), PICTURE_ENDINGS, args.force)
    from renders.stills.still import write_still

    size = args.size or SIZE_PX
    write_still(
        name_of(sound), out, labels=args.labels, style=args.style, size=size,
        show=args.show, hide=args.hide or (), mirrored=args.mirror, transparent=args.transparent,
        language=args.language, speaker=args.speaker, force=args.force,
    )  # fmt: skip
    return {"sound": sound.symbol, "out": out, "size_px": size, "notes": [taken(sound)]}


def _every(args: argparse.Namespace) -> Report:
    if args.sound is not None or args.as_in is not None:
        raise BadInput(f"--all draws every sound; leave '{args.sound or args.as_in}' out")
    if args.size is not None:
        raise BadInput("--all draws at its own sizes; leave --size out")
    if args.show or args.hide or args.mirror or args.transparent:
        raise BadInput("--all draws the whole side view; leave --show, --hide, --mirror and --transparent out")
    out = folder_of(args.out, "still-all")
    from renders.paper.style import load
    from renders.stills.chart import write_all
    from renders.stills.look import StillLook
    from renders.wording.languages import language_of

    look = StillLook(load(args.style), args.labels, language=language_of(args.language))
    with progress_bar(args, "stills") as progress:
        made = write_all(out, look, args.speaker, force=args.force, progress=progress)
    return {"out": out, **made}
