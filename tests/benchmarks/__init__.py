"""How fast the project is. `python -m tests.benchmarks` measures everything; no test asserts a time."""
