"""THE PLANNER: what the log means and which dives come next.

Standard library and `webapp.water` only; no I/O, clock, random or environment: everything is an argument.
Imports are relative, so that the folder runs under any parent.
"""
