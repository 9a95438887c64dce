"""Views: functions of about ten lines that check, call one action and answer.

May import actions, forms, records, rulebook and Flask. File = blueprint = template folder = URL prefix = test file.
"""
