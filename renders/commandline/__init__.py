"""What all commands have in common: the parser, checked values and options, places of output, reporting."""
