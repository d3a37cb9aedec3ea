"""An item of a course: some files that are made together, and what they are made from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

from vocaltract import __version__

Files = Mapping[str, bytes]
"""Bytes by name inside the folder of the course, with "/"."""
HIDDEN = ".course"
"""The folder, in that of the course, of what the builder and its items keep for themselves."""


@dataclass(frozen=True)
class LessonItem:
    """Files that are made together.

    name    unique in the course, such as "l-and-r: light"
    inputs  plain values that its bytes depend on
    make    gives the files; a function of a module, or a partial of one, so that any process can run it. It is given
            the files named in `reads`, as far as they were made
    reads   files of other items that it needs; an item that reads is run after those that do not
    """

    name: str
    inputs: Mapping[str, Any]
    make: Callable[[Files], Files]
    reads: tuple[str, ...] = field(default=())

    def key(self, given: Files | None = None) -> str:
        """A digest of all that its files depend on: inputs, files read, version and the code and data themselves."""
        read = {name: hashlib.sha256(data).hexdigest() for name, data in sorted((given or {}).items())}
        told = json.dumps([self.name, dict(self.inputs), read, __version__, project_digest()], sort_keys=True)
        return hashlib.sha256(told.encode()).hexdigest()


@cache
def project_digest() -> str:
    """A digest of the code and the tables of all three packages."""
    found = hashlib.sha256()
    for package in ("articulators", "vocaltract", "renders"):
        for name, file in sorted(_files(resources.files(package), package)):
            found.update(name.encode() + b"\0" + hashlib.sha256(file.read_bytes()).digest())
    return found.hexdigest()


def _files(folder: Traversable, path: str) -> list[tuple[str, Traversable]]:
    found: list[tuple[str, Traversable]] = []
    for one in folder.iterdir():
        if one.is_dir():
            found += _files(one, f"{path}/{one.name}") if one.name != "__pycache__" else []
        elif one.name.rpartition(".")[2] in ("py", "toml", "tsv", "css", "js", "html", "svg", "sqlite"):
            found.append((f"{path}/{one.name}", one))
    return found
