"""Sounds as targets: the inventory, places and features, and the solver that finds a posture for each."""
