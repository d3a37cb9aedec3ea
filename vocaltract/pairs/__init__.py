"""Two texts compared: where each sound is said, which sounds answer each other, what is measured to differ."""
