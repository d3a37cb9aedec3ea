"""How words are said: dictionary, syllables, letters of a phone, word lists, and the guess for what is in none."""
