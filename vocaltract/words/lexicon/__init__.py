"""How words are said: the dictionary, the guess for what is not in it, phones and their letters."""
