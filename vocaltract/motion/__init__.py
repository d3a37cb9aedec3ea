"""Movement in time: gestures, durations, closures and voice of a row of sounds, and the mouth at any instant."""
