"""The International Phonetic Alphabet: its letters and marks, a symbol as features, a transcription as tokens."""
