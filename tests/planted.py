"""Faults planted in a data file: a key misspelt, a source absent, a source empty."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of

ROW = re.compile(r"^\[{1,2}([^\]]+)\]{1,2}", re.M)


def faults(text: str) -> Iterator[tuple[str, str]]:
    """Each row of a TOML text with one fault in it, and what must be told of it."""
    heads = list(ROW.finditer(text))
    for head, end in zip(heads, [*(h.start() for h in heads[1:]), len(text)], strict=True):
        row = text[head.start() : end]
        if "source = " not in row:
            continue
        key = re.search(r"^(\w+) = ", row, re.M)
        assert key is not None
        for fault, told in (
            (row.replace(f"\n{key[1]} = ", f"\n{key[1]}x = ", 1), f"key '{key[1]}x' is unknown; allowed: "),
            (re.sub(r"^source = .*\n", "", row, flags=re.M), "key 'source' is missing"),
            (re.sub(r"^source = .*\n", 'source = " "\n', row, flags=re.M), "'source' is empty"),
        ):
            assert fault != row
            yield text[: head.start()] + fault + text[end:], f"{head[1]}: {told}"


def refuses_planted_faults(package: str, file: str, kind: type[Any]) -> None:
    """Fails where a fault in a row of the file is not told with file, row, and what is wrong."""
    text = text_of(package, file)
    parsed(text, kind, file)
    planted = list(faults(text))
    assert planted
    for fault, told in planted:
        with pytest.raises(BadInput) as caught:
            parsed(fault, kind, file)
        assert f"{file}: {told}" in str(caught.value), str(caught.value)
