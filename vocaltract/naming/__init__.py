"""Sounds as people name them: symbols, letters and descriptions, a word with its letters marked, our respelling key."""
