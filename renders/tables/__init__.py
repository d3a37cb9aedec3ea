"""Numbers and lists as text, CSV, JSON or a figure."""
