"""Names of parts on leader lines: where each goes, and what its leader may cross."""
