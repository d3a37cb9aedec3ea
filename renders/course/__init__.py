"""The lesson folder: what a course hands out about two sounds."""
