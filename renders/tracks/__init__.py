"""Things along an axis of time: the strip under a picture, two texts in step, tracks of a timing."""
