"""Lineslate: a depth freediver's season. Imports nothing, so that the planner runs alone."""
