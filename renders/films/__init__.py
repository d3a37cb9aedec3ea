"""One text as frames of a film."""
