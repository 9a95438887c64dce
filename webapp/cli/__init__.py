"""THE COMMAND LINE: read the arguments, make one call, print the result.

`plan` runs on the standard library alone.
"""
