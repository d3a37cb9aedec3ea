"""The whole tract in use: sounds as targets, words to sounds, movement in time, airway and air. No drawing."""

__version__ = "0.1.0"
