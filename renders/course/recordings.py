"""Recordings of texts in a folder: one file a text, a sheet to record them by, and whose voice it is."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from articulators.errors import BadInput
from articulators.given_file import text_given
from renders.files.names import unique_slugs
from renders.files.recorded import ENDINGS, read_recording
from vocaltract.recording.boundaries import boundaries_file
from vocaltract.recording.recording import Recording

RIGHTS_FILE = "rights.txt"
LONGEST_RIGHTS = 200


@dataclass(frozen=True)
class RecordingsFolder:
    """A folder of recordings.

    rights  whose voice it is and what it may be used for, one line; "" where nobody says so
    files   its sound files by what stands before the ending, a number in front left out
    """

    path: Path
    rights: str = ""
    files: Mapping[str, Path] = field(default_factory=dict)

    def recording(self, name: str) -> Recording | None:
        """The recording of that name, with its boundaries where a .toml file lies beside it; None: there is none."""
        file = self.files.get(name)
        if file is None:
            return None
        made, beside = read_recording(file), file.with_suffix(".toml")
        if not beside.exists():
            return made
        return Recording(made.samples, made.name, made.apart_db, boundaries_file(beside))

    def missing(self, texts: Sequence[str]) -> list[str]:
        """Lines that name the texts without a recording."""
        names = recording_names(texts)
        absent = [(text, name) for text, name in zip(texts, names, strict=True) if name not in self.files]
        if not absent:
            return []
        listed = ", ".join(f"'{text}' ({name}{ENDINGS[0]})" for text, name in absent)
        return [f"not recorded, and so said by the model: {listed}"]


def recordings_folder(path: str | os.PathLike[str]) -> RecordingsFolder:
    """A folder of recordings. BadInput where there is none, for two files of one text, and for rights of two lines."""
    folder = Path(path)
    if not folder.is_dir():
        raise BadInput(f"recordings {folder}: no such folder; one with a sound file for each text is needed")
    files: dict[str, Path] = {}
    for file in sorted(folder.iterdir()):
        if file.suffix.lower() not in ENDINGS:
            continue
        name = _unnumbered(file.stem)
        if name in files:
            raise BadInput(f"recordings {folder}: {files[name].name} and {file.name} are both '{name}'; keep one")
        files[name] = file
    rights = ""
    if (folder / RIGHTS_FILE).exists():
        lines = [line.strip() for line in text_given(folder / RIGHTS_FILE, "rights").splitlines() if line.strip()]
        if len(lines) != 1 or len(lines[0]) > LONGEST_RIGHTS:
            wanted = f"one line of up to {LONGEST_RIGHTS} letters that says whose voice it is"
            raise BadInput(f"{folder / RIGHTS_FILE}: {wanted}")
        rights = lines[0]
    return RecordingsFolder(folder, rights, files)


def recording_names(texts: Sequence[str]) -> list[str]:
    """What the file of each text is called, without a number and ending."""
    return unique_slugs(texts)


def recording_sheet(texts: Sequence[str]) -> str:
    """A numbered sheet to record texts by: what to say, and what to call the file."""
    names = recording_names(texts)
    digits = max(2, len(str(len(texts))))
    wide = max((len(text) for text in texts), default=0)
    rows = [
        f"{number:>{digits}}  {text:<{wide}}  {number:0{digits}}-{name}{ENDINGS[0]}"
        for number, (text, name) in enumerate(zip(texts, names, strict=True), 1)
    ]
    advice = [
        "Say each once, in a quiet room, with half a second of silence before and after, into a file of its own",
        f"({', '.join(ENDINGS[:5])}). A line in {RIGHTS_FILE} says whose voice it is and what it may be used for.",
    ]
    return "\n".join([*advice, "", *rows])


def _unnumbered(stem: str) -> str:
    number, _, name = stem.partition("-")
    return name if number.isdigit() and name else stem
