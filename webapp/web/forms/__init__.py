"""Forms: they turn typed strings into plain values and keep what was typed; they judge nothing.

May import the planner (for its words and Fault) and Flask-WTF. The strict check is `webapp.records`, the same
for forms and for the phone; its faults are put back beside their fields by `forms.faults`.
"""
