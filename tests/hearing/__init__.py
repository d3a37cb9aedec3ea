"""Whether words can be told apart by ear: two measures that share nothing with the synthesis.

`python -m tests.hearing` prints every figure. The voices to compare with are those of espeak-ng (a program of the
system), features and time warping are librosa's, the recogniser is pocketsphinx: tests only (extra `test-sound`).
"""
