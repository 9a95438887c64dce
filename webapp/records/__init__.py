"""THE RECORDS: one file for each kind of record, with its fields, its strict check and its labels.

Pure; may import the rulebook. Forms and sync both go through these checks.
"""
