"""Imported by the process from which the servers are forked: they find every template compiled."""

from support.templates import compile_all

compile_all()
