"""Air, pressure, voice and contact as marks on a side view."""
