"""The numbers of practice films: data/practice.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table


class Waits(Row, frozen=True):
    """How long a practice film waits, in seconds of film and as multiples of the spoken word."""

    after_s: float
    slow_times: float
    slow_more_s: float
    natural_times: float
    natural_more_s: float
    natural_least_s: float
    title_s: float
    how_s: float

    def after_slow_s(self, word_s: float) -> float:
        """After a slow word that takes `word_s` seconds of film."""
        return self.slow_times * word_s + self.slow_more_s

    def after_natural_s(self, word_s: float) -> float:
        """After a natural word of `word_s` seconds."""
        return max(self.natural_least_s, self.natural_times * word_s + self.natural_more_s)


class Speeds(Row, frozen=True):
    """How slow words and phrases are played, and how many words a film has at most."""

    word: float
    phrase: float
    most_words: int


class CardSizes(Row, frozen=True):
    """A card, in px of a picture whose shorter side has `short_px`."""

    short_px: float
    edge_px: float
    word_px: float
    ipa_px: float
    prompt_px: float
    step_px: float
    leading: float
    lines: int


class PracticeTable(Record, frozen=True):
    """The file."""

    waits: Waits
    speeds: Speeds
    card: CardSizes


def practice_table() -> PracticeTable:
    """The numbers of data/practice.toml, read once."""
    return table("renders.films", "practice.toml", PracticeTable)
