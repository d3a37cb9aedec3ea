"""Tests, the layers check and the benchmarks. Not part of the wheel."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: processes of a run share the cores already
