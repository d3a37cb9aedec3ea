"""One picture on paper: a sound, a strip of key moments, the chart of all sounds."""
