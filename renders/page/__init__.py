"""The learner page: one HTML file that draws and explains the sounds of one or two texts, without a network."""
