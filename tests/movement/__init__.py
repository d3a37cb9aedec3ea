"""How fast points of tissue move in planned speech, against published speeds: `python -m tests.movement`."""
