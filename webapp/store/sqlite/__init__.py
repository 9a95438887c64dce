"""THE SQLITE SIDE of the store: the file, its locks, its migrations, its copies.

Only what is specific to SQLite is here; queries that any database can run are one folder up.
"""
