"""A course: from a plan file to a folder of lessons, of which only what changed is built again."""
