"""From phonemes to sounds as they are said: syllables, segments and the ordered allophone rules."""
