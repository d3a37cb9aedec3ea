"""Every simulated word of the commonest 5,000 looked at for faults: `python -m tests.sweep`."""
