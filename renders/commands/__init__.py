"""The commands, one module each: NAME, WHAT, EXAMPLE, ``add(parser)`` and ``run(args) -> Report``.

A module here imports at its top only what is instant; what draws and computes is imported inside ``run``, so that
help stays instant.
"""
