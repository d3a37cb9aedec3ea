"""Two texts side by side: as a picture, a strip or a film."""
