"""What is said about a moment or a difference, in words; draws nothing."""
