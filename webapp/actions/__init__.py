"""The verbs: gather, decide, apply; each is one transaction.

May import planner, water and store. The time comes in as an argument; what is wrong goes out as a word of `errors`.
"""
