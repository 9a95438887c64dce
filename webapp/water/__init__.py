"""THE WATER: pressure, lungs, buoyancy, times, mouthfill, pauses, load and the dive card.

Pure functions, standard library only; no I/O, clock, random or environment. Bad input raises `errors.OutOfRange`.
Published constants are in `constants`, accepted ranges in `ranges`; what a diver may change is an argument.
Nothing here is a limit: no function says that a depth, a time or a pause is safe.
"""
