"""What runs at build time only: it makes the databases that the package carries."""
