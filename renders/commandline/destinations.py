"""Where a command writes to: what --out may name, and what is written where it is not given."""

from __future__ import annotations

from pathlib import Path

from articulators.errors import BadInput


def file_of(command: str, endings: tuple[str, ...]) -> str:
    """Help for --out: what may be written, and the default name."""
    return f"file to write ({', '.join(endings)}); default: ./{command}-NAME{endings[0]}"


def default_name(command: str, text: str, ending: str) -> str:
    """Name of the file that is written where --out is not given."""
    from renders.files.names import slug

    return f"{command}-{slug(text)}{ending}"


def folder_of(given: str | None, default: str) -> Path:
    """The folder of --out; BadInput where it is given but has no name."""
    if given == "":
        raise BadInput("the folder given with --out has no name; write for example --out front-desk")
    return Path(given or default)
