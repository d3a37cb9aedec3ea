"""The organs of one section as shapes of a picture, in millimetres of the head."""
