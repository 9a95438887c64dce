"""THE RULES OF THE TRADE: what the log means and what comes next.

Standard library and `webapp.water` only; no I/O, clock, random or environment: everything is an argument.
Imports are relative, so that the folder runs under any parent.
"""
