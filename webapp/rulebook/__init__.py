"""THE RULEBOOK: every number and sentence of the trade, and how a value is checked against them.

Pure: the standard library only; no clock, file, network or random. `webapp/rulebook_file.py` reads the file.
"""
