"""THE PROTOCOL: what phone and server send each other, and how it is merged.

Pure; knows neither store nor web. May import records and rulebook.
"""
