"""Practice words and minimal pairs, read from an index."""
