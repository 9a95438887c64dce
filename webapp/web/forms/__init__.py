"""Forms: they turn typed strings into plain values and keep what was typed; they check nothing.

May import records, rulebook and Flask-WTF. The strict check is `webapp.records`, the same
for forms and for the phone; `forms.faults` puts its faults beside their fields.
"""
