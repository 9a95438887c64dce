"""Where the schedule may lead: chances from a log, and what they make of the dated dives to come.

Pure: everything comes as arguments; no clock, I/O or random. The rules of the ladder are the reader's, never
written again here. A forecast is about the schedule: nothing here says how a dive goes, or that it is safe.
"""
