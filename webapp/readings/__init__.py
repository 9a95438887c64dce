"""THE READINGS: what the physics means for one diver, and looking back at the log, in sentences and tables.

Pure; may import planner, records, rulebook and water.
"""
