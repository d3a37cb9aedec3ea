"""What a course is built from: a lesson as a plain value, and items that make files of it."""
