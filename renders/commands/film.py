"""`vocaltract film`: a slowed film."""

from __future__ import annotations

import argparse

from renders import arguments
from renders.commands.shared import Report, default_name, file_of, progress_bar
from renders.commands.speech import add_speech_options, speech_of

NAME = "film"
WHAT = "a slowed film of a text"
EXAMPLE = "vocaltract film luggage --out luggage.gif"
SIZE_PX = (1280, 720)
FILM_ENDINGS = (".mp4", ".gif")


def add(parser: arguments.Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_text(parser)
    add_speech_options(parser)
    arguments.add_look(parser, SIZE_PX)
    arguments.add_pace(parser)
    arguments.add_dwell(parser)
    arguments.add_output(parser, file_of(NAME, FILM_ENDINGS))
    arguments.add_progress(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, default_name("film", text, ".mp4"), FILM_ENDINGS, args.force)
    speech = speech_of(args)
    from renders.film import write_film_of

    with progress_bar(args, "film") as progress:
        made = write_film_of(
            text,
            out,
            speed=args.speed,
            size=args.size,
            fps=args.fps,
            style=args.style,
            dwell=args.dwell,
            speech=speech,
            progress=progress,
        )
    return {"text": text, "out": out, "size_px": args.size, "speed": args.speed, "fps": args.fps, **made}
