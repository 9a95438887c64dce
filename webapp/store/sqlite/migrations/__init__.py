"""The schema's history: m0001_first.py, m0002_….py, each with `up(connection)`.

A released migration is never changed. `up` uses execute only: executescript would end the transaction.
"""
