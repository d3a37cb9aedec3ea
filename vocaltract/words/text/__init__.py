"""Written text or IPA in, sounds out: spelling, numerals, readings, transcription."""
