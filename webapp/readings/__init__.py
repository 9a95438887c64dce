"""THE READINGS: what the physics means for one diver, in sentences and tables.

Pure; may import planner, records, rulebook and water.
"""
