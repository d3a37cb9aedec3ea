"""The ordered allophone rules of General American: phonemes in, sounds as they are said out.

Each rule is a value with a name, its reason in plain and in technical words, its source (data/rules.toml),
and a function that looks at one place of the line and says what changes there. Order matters: coalescence and
nasal flap come before flap, flap before aspiration, one long hold before unreleased stops.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType
from typing import Literal

from articulators.errors import BadInput, SurroundingsError, nearest
from articulators.records import Record, Row, table
from vocaltract.words.rules.chain import Chain, Edit
from vocaltract.words.rules.contexts import CHANGES, Change
from vocaltract.words.rules.segments import Segment, symbol
from vocaltract.words.utterance import FiredRule, Firing

_FINAL = "final stop kept shut"


Level = Literal["always", "usual", "optional"]


class RuleRow(Row, frozen=True):
    """A rule of data/rules.toml: its reason in plain and in technical words, and when it is on (see `Rule`)."""

    name: str
    level: Level
    plain: str
    technical: str
    released_in_careful_style: bool = False
    within_words_in_careful_style: bool = False


class RuleRows(Record, frozen=True):
    """data/rules.toml."""

    rule: tuple[RuleRow, ...]


@dataclass(frozen=True, slots=True)
class Options:
    """Speaking style.

    final_unreleased    a stop before a pause is not released
    careful             careful style: no reductions of connected speech, stops before stops are released
    connected           words are joined; otherwise each word is said as if alone
    optional            names of optional rules to apply as well (`optional_rules`)
    emphasis            words of the text that stand out, as written: they bear the main accent
    Raises BadInput for a name that is no optional rule.
    """

    final_unreleased: bool = False
    careful: bool = False
    connected: bool = True
    optional: frozenset[str] = frozenset()
    emphasis: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in self.optional:
            if name not in optional_rules():
                allowed = ", ".join(optional_rules())
                hint = nearest(name, optional_rules())
                raise BadInput(f"'{name}' is no optional rule{hint}; allowed: {allowed}")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `level` is "always", "usual" (off in careful style) or "optional" (off unless asked for).

    sounds   the sounds it looks at
    change   what it makes of one place of the line
    released_in_careful_style, within_words_in_careful_style   off, or off between words, in careful style
    """

    fired: FiredRule
    level: Level
    released_in_careful_style: bool
    within_words_in_careful_style: bool
    sounds: frozenset[str]
    change: Change

    @property
    def name(self) -> str:
        """As in data/rules.toml."""
        return self.fired.name

    def applies(self, options: Options) -> bool:
        """Whether the rule is on in a speaking style."""
        if self.level == "optional":
            return self.name in options.optional or (self.name == _FINAL and options.final_unreleased)
        return not (options.careful and (self.level == "usual" or self.released_in_careful_style))


@cache
def ordered_rules() -> tuple[Rule, ...]:
    """All rules in their order. Source: data/rules.toml, which names a book beside each rule."""
    listed = table("vocaltract.words", "rules.toml", RuleRows).rule
    if [row.name for row in listed] != list(CHANGES):
        raise SurroundingsError("data file rules.toml and the rule functions name different rules or another order")
    return tuple(
        Rule(
            FiredRule(row.name, row.plain, row.technical, row.source),
            row.level,
            row.released_in_careful_style,
            row.within_words_in_careful_style,
            *CHANGES[row.name],
        )
        for row in listed
    )


@cache
def optional_rules() -> Mapping[str, str]:
    """Name -> plain reason of the rules that are off unless asked for."""
    return MappingProxyType({rule.name: rule.fired.plain for rule in ordered_rules() if rule.level == "optional"})


@cache
def reasons() -> Mapping[str, tuple[str, str]]:
    """Name of each rule -> its reason in plain and in technical words."""
    return MappingProxyType({rule.name: (rule.fired.plain, rule.fired.technical) for rule in ordered_rules()})


def apply(segments: Sequence[Segment], options: Options | None = None) -> tuple[Segment, ...]:
    """The line after all rules, in order; each changed segment carries the rules that changed it."""
    return traced(segments, options)[0]


def traced(
    segments: Sequence[Segment], options: Options | None = None
) -> tuple[tuple[Segment, ...], tuple[Firing, ...]]:
    """As `apply`, with the firings of the rules in their order; `Firing.sound` counts the finished segments."""
    options = options or Options()
    line = list(segments)
    if not options.connected:
        line = [replace(segment, group=segment.word) for segment in line]
    log: list[Firing] = []
    targets = {segment.target for segment in line}
    for rule in ordered_rules():
        if rule.applies(options) and not rule.sounds.isdisjoint(targets):
            fired = len(log)
            line = _swept(rule, line, log, apart=options.careful and rule.within_words_in_careful_style)
            if len(log) > fired:
                targets = {segment.target for segment in line}
    places = {number: i for i, segment in reversed(list(enumerate(line))) for number in segment.fired}
    return tuple(line), tuple(replace(firing, sound=places.get(n, 0)) for n, firing in enumerate(log))


def _swept(rule: Rule, segments: list[Segment], log: list[Firing], apart: bool) -> list[Segment]:
    """As `_sweep`; with `apart` no word sees the next."""
    if not apart:
        return _sweep(rule, segments, log)
    groups = {segment.word: segment.group for segment in segments}
    swept = _sweep(rule, [replace(segment, group=segment.word) for segment in segments], log)
    return [replace(segment, group=groups[segment.word]) for segment in swept]


def _sweep(rule: Rule, segments: list[Segment], log: list[Firing]) -> list[Segment]:
    line = Chain(segments)
    i = 0
    while i < len(line.segments):
        edit = rule.change(line, i) if line.segments[i].target in rule.sounds else None
        if edit:
            line = Chain(_edited(rule, line.segments, edit, log))
        i += 1
    return line.segments


def _edited(rule: Rule, segments: list[Segment], edit: Edit, log: list[Firing]) -> list[Segment]:
    """The line with one change made in it; what is left of it carries the rule and the firings of what is gone."""
    old = [segments[at] for at in sorted(edit)]
    gone = tuple(number for at in sorted(edit) if edit[at] is None for number in segments[at].fired)
    changed: list[Segment] = []
    new: list[Segment] = []
    for at, segment in enumerate(segments):
        if at not in edit:
            changed.append(segment)
            continue
        put = edit[at]
        for piece in () if put is None else put if isinstance(put, tuple) else (put,):
            marked = replace(piece, rules=(*piece.rules, rule.fired), fired=(*piece.fired, *gone, len(log)))
            new.append(marked)
            changed.append(marked)
    before, after = (" ".join(symbol(segment, None) for segment in side) for side in (old, new))
    log.append(Firing(rule.fired, -1, old[0].word, before, after))
    return changed
