"""The ordered allophone rules of General American: phonemes in, sounds as they are said out.

Each rule is a value with a name, its reason in plain and in technical words, its source (data/rules.toml),
and a function that looks at one place of the line and says what changes there. Order matters: coalescence and
nasal flap come before flap, flap before aspiration, one long hold before unreleased stops.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from articulators.errors import SurroundingsError
from vocaltract.words.rule_contexts import CHANGES, Line
from vocaltract.words.segments import Segment
from vocaltract.words.tables import DATA
from vocaltract.words.utterance import FiredRule

Edit = Mapping[int, Segment | None]
Change = Callable[[Line, int], Edit | None]


@dataclass(frozen=True, slots=True)
class Options:
    """Speaking style.

    final_unreleased    a stop before a pause is not released
    careful             careful style: no reductions of connected speech, stops before stops are released
    connected           words are joined; otherwise each word is said as if alone
    labiodental_nasal   m n before f v are made at the teeth (drawn as m until the inventory has [ɱ])
    """

    final_unreleased: bool = False
    careful: bool = False
    connected: bool = True
    labiodental_nasal: bool = False


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `level` is "always", "usual" (off in careful style) or "optional" (off unless asked for)."""

    fired: FiredRule
    level: str
    released_in_careful_style: bool
    change: Change

    @property
    def name(self) -> str:
        return self.fired.name

    def applies(self, options: Options) -> bool:
        if self.level == "optional":
            return {
                "final stop kept shut": options.final_unreleased,
                "lip-to-teeth nasal": options.labiodental_nasal,
            }.get(self.name, False)
        return not (options.careful and (self.level == "usual" or self.released_in_careful_style))


@cache
def rules() -> tuple[Rule, ...]:
    """All rules in their order. Source: data/rules.toml, which names a book beside each rule."""
    with (DATA / "rules.toml").open("rb") as file:
        table = tomllib.load(file)["rule"]
    if [row["name"] for row in table] != list(CHANGES):
        raise SurroundingsError(
            "data file rules.toml and the rule functions name different rules or another order"
        )
    return tuple(
        Rule(
            FiredRule(row["name"], row["plain"], row["technical"], row["source"]),
            row["level"],
            row.get("released_in_careful_style", False),
            CHANGES[row["name"]],
        )
        for row in table
    )


def apply(segments: Sequence[Segment], options: Options | None = None) -> tuple[Segment, ...]:
    """The line after all rules, in order; each changed segment carries the rules that changed it."""
    options = options or Options()
    line = list(segments)
    if not options.connected:
        line = [replace(segment, group=segment.word) for segment in line]
    for rule in rules():
        if rule.applies(options):
            line = _sweep(rule, line)
    return tuple(line)


def _sweep(rule: Rule, segments: list[Segment]) -> list[Segment]:
    line = Line(segments)
    i = 0
    while i < len(line.segments):
        edit = rule.change(line, i)
        if edit:
            changed = []
            for at, segment in enumerate(line.segments):
                new = edit.get(at, segment)
                if new is None:
                    continue
                changed.append(replace(new, rules=(*new.rules, rule.fired)) if at in edit else new)
            line = Line(changed)
        i += 1
    return line.segments
