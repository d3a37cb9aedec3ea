"""The passage of one section and the air in it: areas, gaps, pressure, flow, resonances. Knows no sounds."""
