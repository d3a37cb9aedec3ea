"""The commands, one module each: whatever stands in this folder is a command.

A module has NAME, ORDER (where help lists it: lower first), WHAT, EXAMPLE, ``add(parser)`` and ``run(args) -> Report``.
It imports at its top only what is instant; what draws and computes is imported inside ``run``, so that help stays
instant.
"""
