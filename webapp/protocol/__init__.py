"""THE PROTOCOL: what travels between phone and server, and how it is merged.

Pure; knows neither store nor web. May import records and rulebook.
"""
