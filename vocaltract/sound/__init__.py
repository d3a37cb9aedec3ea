"""The sound of a timeline: sources of voice and noise, the tract that they sound through, slowing, loudness."""
