"""Practice words and minimal pairs, looked up in an index that `make` has made."""
