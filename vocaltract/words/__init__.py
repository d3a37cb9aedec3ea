"""Words in: dictionary, transcription with ordered allophone rules, practice words and minimal pairs."""
