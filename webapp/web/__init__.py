"""THE WEB: HTTP only; views, forms, templates and what stands around them.

A view calls one action; nothing here imports planner, readings or store queries.
"""
