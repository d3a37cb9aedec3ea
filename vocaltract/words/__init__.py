"""Words in, sounds out: dictionary, transcription with ordered allophone rules, practice words and minimal pairs."""
