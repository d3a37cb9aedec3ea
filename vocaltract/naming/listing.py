"""Every sound that can be named, as plain data for tables."""

from __future__ import annotations

from typing import Any

from vocaltract.naming.named import name_of
from vocaltract.naming.names import known_names
from vocaltract.phonetics.inventory import entries, narrow_variants


def listing() -> list[dict[str, Any]]:
    """Every sound as a plain dictionary; "type" and each name of "also" lead back to it, however they are typed."""
    also: dict[str, list[str]] = {}
    for name, means in known_names().items():
        if len(means) == 1:
            also.setdefault(means[0].ipa, []).append(name)
    return [
        {
            "symbol": e.symbol,
            "type": name_of(e),
            "also": also.get(e.symbol, []),
            "kind": "allophone" if e.symbol in narrow_variants() else e.kind,
            "place": e.place,
            "manner": e.manner,
            "voiced": e.voiced,
            "name": e.name,
            "keyword": e.keyword,
        }
        for e in [*entries().values(), *narrow_variants().values()]
    ]
