"""`vocaltract timing`: when each part of the mouth does what."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING

from articulators.errors import BadInput, nearest
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.commandline.speech import add_speech_options, speech_of, with_recording
from renders.files.formats import PICTURE_ENDINGS

if TYPE_CHECKING:
    from renders.tracks.wave_row import HeardWave
    from vocaltract.motion.timeline import Timeline
    from vocaltract.speech import Speech

NAME = "timing"
ORDER = 70
WHAT = "when lips, tongue, velum and glottis do what in a text, and when its stops are let go and voiced"
EXAMPLE = """vocaltract timing "front desk"                   gestures and stops, in ms
  vocaltract timing backpack --plot backpack.svg   how each part moves, under the transcription
  vocaltract timing "get it" --explain plain       with the rules that made the t a tap, for learners
  vocaltract timing ticket --final-unreleased --json
  vocaltract timing ticket --recording ticket.wav --boundaries ticket.toml    when a person's sounds are heard"""
SIZE_PX = (1800, 1250)
EXPLANATIONS = ("plain", "technical")


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_text(parser)
    add_speech_options(parser)
    arguments.add_recording(parser)
    parser.add_argument("--explain", metavar="WORDING", help="also tell the rules that fired: plain or technical")
    parser.add_argument("--plot", metavar="FILE", help=f"a figure of every track ({', '.join(PICTURE_ENDINGS)})")
    arguments.add_wave(parser)
    arguments.add_look(parser, SIZE_PX)
    parser.add_argument("--force", action="store_true", help="replace what exists")
    parser.add_argument("--json", action="store_true", help="report in JSON")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    if args.explain is not None and args.explain not in EXPLANATIONS:
        hint = nearest(args.explain, EXPLANATIONS)
        raise BadInput(f"explanation '{args.explain}' is unknown; allowed: {', '.join(EXPLANATIONS)}{hint}")
    if args.wave and args.plot is None:
        raise BadInput("--wave goes into a figure; name one with --plot, such as timing.svg")
    speech = speech_of(args)
    from renders.files.outputs import choose_path

    written = _to_write(args)
    speech = with_recording(args, speech, read_boundaries=written is None)

    out = None if args.plot is None else choose_path(args.plot, "", PICTURE_ENDINGS, args.force)
    from renders.tables.timing_table import timing_text, timing_values
    from vocaltract.speech import say

    text = " ".join(args.text)
    timeline = say(text, speech)
    if out is not None:
        from renders.tracks.timing_plot import write_timing_plot

        shows_wave = args.wave or timeline.leading is not None
        wave = _wave(timeline) if shows_wave else None
        size = args.size or (None if shows_wave else SIZE_PX)
        write_timing_plot(timeline, out, style=args.style, size=size, wave=wave, force=args.force)
    notes = list(timeline.utterance.notes)
    if written is not None and speech.recording is not None:
        _write_boundaries(text, speech, written, args.force)
    if args.json:
        plotted = {} if out is None else {"plot": out}
        plotted |= {} if written is None else {"boundaries": written}
        return {"text": text, **timing_values(timeline), "notes": notes, **plotted}
    print(timing_text(timeline, args.explain))
    for note in notes:
        print(f"note: {note}")
    for file in (out, written):
        if file is not None:
            print(f"wrote {file}")
    return {"printed": True}


def _to_write(args: argparse.Namespace) -> Path | None:
    """The file of boundaries that is to be written; None for one that is there, which is read."""
    from renders.files.outputs import choose_path

    if args.boundaries is None or args.recording is None or (os.path.lexists(args.boundaries) and not args.force):
        return None
    return choose_path(args.boundaries, "", (".toml",), args.force)


def _write_boundaries(text: str, speech: Speech, file: Path, force: bool) -> None:
    from renders.files.outputs import atomic_path
    from vocaltract.recording.boundaries import boundaries_text
    from vocaltract.recording.lead import found_in
    from vocaltract.words.text.transcribe import read

    assert speech.recording is not None
    asked = read(text, speech.options, choices=speech.choices)
    with atomic_path(file, force) as part:
        content = boundaries_text(asked, found_in(asked, speech.recording).sounds)
        part.write_text(content, encoding="utf-8", newline="\n")


def _wave(timeline: Timeline) -> HeardWave:
    from renders.tracks.wave_row import heard_wave
    from vocaltract.sound.hearing import HEARD_RATE_HZ, heard

    return heard_wave(heard(timeline), HEARD_RATE_HZ)
