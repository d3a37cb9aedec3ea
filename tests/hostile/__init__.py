"""Commands under generated mischief, and what must hold whatever happens: `python -m tests.hostile`."""
