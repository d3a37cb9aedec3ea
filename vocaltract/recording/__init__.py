"""A recording of a person's voice: whether it is the text that it goes with, and when in it each sound is made."""
