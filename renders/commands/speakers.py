"""`vocaltract speakers`: who can speak, a copy of one to change, and one that was changed."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar

NAME = "speakers"
ORDER = 125
WHAT = "the speakers to choose from, a copy of one to change, and a check of one that was changed"
EXAMPLE = """vocaltract speakers man --out guest.toml      a copy to change
  vocaltract speakers guest.toml --solve          finds a posture for every sound, once"""
SPEAKER_ENDINGS = (".toml",)


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    parser.add_argument(
        "speaker", metavar="SPEAKER", nargs="?", help="one to copy, or a .toml file to check; none: list the speakers"
    )
    parser.add_argument("--solve", action="store_true", help="find a posture for every sound of English, and keep it")
    arguments.add_output(parser, "file to write a copy of SPEAKER to (.toml); change it and use it with --speaker FILE")
    arguments.add_progress(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from vocaltract.phonetics.speaker import SPEAKERS
    from vocaltract.phonetics.speakers import speaker_of

    if args.speaker is None and (args.out is not None or args.solve):
        raise BadInput(f"which speaker? Name one: {', '.join(SPEAKERS)}, or a .toml file")
    if args.out is not None:
        if args.solve:
            raise BadInput("--out writes a copy, --solve solves what is there; leave one out")
        return _copied(args)
    speakers = [speaker_of(name) for name in (SPEAKERS if args.speaker is None else (args.speaker,))]
    rows = [
        {"name": who.name, "title": who.head.head_of.title, "pitch_hz": who.voice.pitch_hz, "rate": who.rate}
        for who in speakers
    ]
    solved = _solved(args) if args.solve else {}
    if args.json:
        return {"speakers": rows, **solved}
    wide = max(len(who.name) for who in speakers)
    for who in speakers:
        print(f"{who.name:<{wide}}  {who.head.head_of.title}, voice about {who.voice.pitch_hz:g} Hz")
    if solved:
        print(f"{solved['solved']} sounds are solved and kept")
    return {"printed": True}


def _copied(args: argparse.Namespace) -> Report:
    from renders.files.outputs import atomic_path, choose_path
    from vocaltract.phonetics.speaker_file import speaker_copy

    text = speaker_copy(args.speaker)
    out = choose_path(args.out, "", SPEAKER_ENDINGS, args.force)
    with atomic_path(out, args.force) as part:
        part.write_text(text, encoding="utf-8", newline="\n")
    return {"out": out, "copy_of": args.speaker, "notes": [f"change it, then use it: --speaker {out}"]}


def _solved(args: argparse.Namespace) -> dict[str, int]:
    """How many sounds were solved; BadInput, with the first of them, where some cannot be made."""
    from vocaltract.phonetics.solve_all import solve_english
    from vocaltract.phonetics.speakers import speaker_of

    with progress_bar(args, "sounds") as progress:
        found = solve_english(speaker_of(args.speaker), progress)
    if found.faults:
        first, *others = found.faults
        more = f"; nor can {', '.join(others)}" if others else ""
        raise BadInput(found.faults[first] + more)
    return {"solved": found.solved}
