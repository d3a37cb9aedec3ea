"""From phonemes to sounds as they are said: segments and the ordered allophone rules."""
