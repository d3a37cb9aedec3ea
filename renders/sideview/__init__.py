"""One moment composed: organs, marks, and what the sound works with."""
