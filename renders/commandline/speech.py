"""Options of every command that says a text: how carefully and fast, which word stands out, with which vowels."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser

if TYPE_CHECKING:
    from vocaltract.speech import Speech, Speeches


def add_speech_options(parser: Parser) -> None:
    """--careful, --final-unreleased, --rate, --emphasis, --merge, --ending-vowel and --speaker"""
    parser.add_argument("--careful", action="store_true", help="careful speech: nothing run together, stops let go")
    parser.add_argument("--final-unreleased", action="store_true", help="a stop before a pause is kept shut")
    parser.add_argument(
        "--rate", default="1", metavar="N", help="how fast it is said, 0.5 to 2; 1 is natural (default: 1)"
    )
    parser.add_argument(
        "--emphasis",
        action="append",
        default=[],
        metavar="WORD",
        help="a word that stands out (repeatable)",
    )
    parser.add_argument(
        "--merge", action="append", default=[], metavar="NAME", help="vowels that are one: cot-caught (repeatable)"
    )
    parser.add_argument("--ending-vowel", metavar="NAME", help="of -ed and -es: short-i or schwa (default: short-i)")
    arguments.add_speaker(parser)


def speech_of(args: argparse.Namespace) -> Speech:
    """The way of speaking that was asked for. BadInput for a rate that is none or out of range."""
    from vocaltract.speech import Speech

    try:
        rate = float(args.rate)
    except ValueError:
        raise BadInput(f"rate '{args.rate}' is not a number; write for example 0.8") from None
    chosen = arguments.given(args, "speaker", "ending_vowel")
    return Speech(args.careful, args.final_unreleased, rate, tuple(args.emphasis), merge=tuple(args.merge), **chosen)


def with_recording(args: argparse.Namespace, speech: Speech, *, read_boundaries: bool = True) -> Speech:
    """The speech led by --recording; as it is where none was given. BadInput as of reading it."""
    return _led(speech, args.recording, args.boundaries if read_boundaries else None, "")


def with_recordings(args: argparse.Namespace, speech: Speech) -> Speeches:
    """The same for two texts: --recording-a, --recording-b."""
    first = _led(speech, args.recording_a, args.boundaries_a, "-a")
    second = _led(speech, args.recording_b, args.boundaries_b, "-b")
    return first if first == second else (first, second)


def _led(speech: Speech, file: str | None, boundaries: str | None, end: str) -> Speech:
    if file is None:
        if boundaries is not None:
            raise BadInput(f"--boundaries{end} is about a recording; name that with --recording{end}")
        return speech
    from dataclasses import replace

    from renders.files.recorded import read_recording
    from vocaltract.recording.boundaries import boundaries_file

    recording = read_recording(file)
    if boundaries is not None:
        recording = replace(recording, boundaries=boundaries_file(boundaries))
    return replace(speech, recording=recording)


def as_phrase(text: str) -> list[str]:
    """A remark where a text is two words that differ in one sound: they are one phrase here, and can be compared."""
    from vocaltract.words.text.transcribe import read

    words = text.split()
    if len(words) != 2 or not all(word.isalpha() for word in words):
        return []
    one, other = ([s.phoneme for s in read(word).sounds] for word in words)
    if len(one) != len(other) or sum(a != b for a, b in zip(one, other, strict=True)) != 1:
        return []
    return [f"one phrase of two words that differ in one sound; to compare them: vocaltract pair {text}"]
