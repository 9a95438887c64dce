"""Views: ten-line functions that check, call one action and answer.

May import actions, forms, store reads and Flask. File = blueprint = template folder = URL prefix = test file.
"""
