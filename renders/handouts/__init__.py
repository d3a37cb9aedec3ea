"""What is printed and projected: handouts, answer keys, slides, practice lists, rights."""
