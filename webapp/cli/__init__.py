"""THE COMMAND LINE: arguments in, one call, words out. `plan` runs on the standard library alone.
"""
