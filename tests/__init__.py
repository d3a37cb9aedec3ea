"""Tests, the layers check and the benchmarks. Not part of the wheel."""
