"""THE WEB: HTTP only; views, forms, templates and what they share.

A view calls one action; nothing here imports planner, readings or store queries.
"""
