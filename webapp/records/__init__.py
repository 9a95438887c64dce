"""THE RECORDS: one file for each kind of record: its fields, its strict check, its labels.

Pure; may import the rulebook. Forms and sync both go through these checks.
"""
