"""The small views: vocal folds from above, lips from the front, palate from below."""
