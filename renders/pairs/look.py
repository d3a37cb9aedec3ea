"""How a pair is dressed: the style that it is drawn in, and the language of what is said."""

from __future__ import annotations

from dataclasses import dataclass, field

from renders.paper.style import Style
from renders.wording.languages import Language, language_of


@dataclass(frozen=True)
class PairLook:
    """A style and a language."""

    style: Style
    language: Language = field(default_factory=language_of)
