"""Two small views beside the side view: the vocal folds from above and the lips from the front."""

from renders.folds_above import VIBRATES, folds_view, folds_word
from renders.lips_front import lips_view, lips_word, tip_between_teeth

__all__ = ["VIBRATES", "folds_view", "folds_word", "lips_view", "lips_word", "tip_between_teeth"]
