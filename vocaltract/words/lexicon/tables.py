"""Reading the data tables that lie beside this code: tab-separated rows under a header, comments with #."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from articulators.errors import SurroundingsError

DATA = Path(__file__).parent.parent / "data"


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """All rows of the table ``data/<name>``, each as header -> cell.

    Raises SurroundingsError where the file is missing or a row has not as many cells as the header.
    """
    try:
        text = (DATA / name).read_text(encoding="utf-8")
    except OSError as error:
        raise SurroundingsError(f"data file {name} cannot be read: {error.strerror}") from error
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    header = lines[0].split("\t")
    table = []
    for line in lines[1:]:
        cells = line.split("\t")
        if len(cells) != len(header):
            raise SurroundingsError(f"data file {name}: {line!r} has {len(cells)} cells, not {len(header)}")
        table.append(MappingProxyType(dict(zip(header, cells, strict=True))))
    return tuple(table)
