"""The organs of speech: landmarks of a head, postures, outlines and contact. No time, no sounds, no drawing.

Head frame: millimetres, origin at the edge of the upper central incisor, x to the back, y up, speaker faces left.
"""
