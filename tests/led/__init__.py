"""Films led by recordings, against what shares nothing with the aligner: published labels, and voices of espeak-ng.

`python -m tests.led` prints every figure beside its limit; `python -m tests.led.weighing` weighs the signs of
`vocaltract/recording/data/fit.toml` anew. Voices are those of espeak-ng, a program of the system (extra `test-sound`).
"""
