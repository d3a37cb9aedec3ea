"""Pictures, films, comparisons and lesson folders of what the mouth does, and the command line that makes them."""
